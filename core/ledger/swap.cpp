// What a swap asks for, what its parts replace, which of its readings counts.

#include "core/ledger/swap.h"

#include <algorithm>
#include <array>
#include <span>

#include "core/ledger/fitted_unit.h"
#include "core/ledger/moved_by.h"
#include "core/ledger/swap_table.h"

namespace restand {
using namespace swap_table;
namespace {

using P = Point;

Parts parts_at(const Swap& swap, End end) {
    Parts parts = none;
    for (const SwapPart part : swap.parts) {
        if (end_of(part) == end) parts |= of(part);
        if (part == SwapPart::load && end == End::front) parts |= load_front;
    }
    return parts;
}

bool of_the_spring(Point p) {
    return p == P::spring_rate || p == P::spring_free_length || p == P::spring_installed_length ||
           p == P::spring_block_length || p == P::spring_preload || p == P::preload_turns ||
           p == P::helper_rate || p == P::helper_free_length || p == P::helper_block_length ||
           p == P::other_leg_rate || p == P::end_rate || p == P::rate_rises_from || p == P::rate_rises_to;
}

bool of_the_unit(Point p) {
    switch (p) {
        case P::eye_to_eye:
        case P::eye_to_eye_min:
        case P::eye_to_eye_max:
        case P::length_mm_per_turn:
        case P::fork_length:
        case P::fork_position:
        case P::fork_position_min:
        case P::fork_position_max:
        case P::travel:
        case P::gas_force:
        case P::part_name:
        case P::collar_mm_per_turn:
        case P::fork_oil_level:
        case P::fork_bore:
        case P::clicks_compression_low:
        case P::clicks_compression_high:
        case P::clicks_rebound_low:
        case P::clicks_rebound_high:
        case P::top_out_rate:
        case P::top_out_reach:
        case P::bump_travel:
        case P::bump_rate:
        case P::rod_diameter:
        case P::gas_volume:
            return true;
        default:
            return of_the_spring(p);
    }
}

// The parts whose swap makes the old value of this point void.
Parts replacing(Point p) {
    Parts parts = none;
    if (of_the_unit(p)) parts |= units;
    if (of_the_spring(p)) parts |= springs;
    if (p == P::fork_oil_level) parts |= oil;
    if (p == P::link_rod) parts |= rod;
    if (p == P::tyre || p == P::rolling_circumference) parts |= tyres;
    if (p == P::sprocket_front || p == P::sprocket_rear) parts |= sprockets;
    if (p == P::chain_links || p == P::chain_gauge_length || p == P::chain_gauge_links) parts |= chain;
    if (p == P::chain_slack || p == P::axle_position) parts |= refit;
    if (p == P::fitted_mass || p == P::fitted_mass_ahead) parts |= loads;
    return parts;
}

// Parts that another part includes: dropped if the whole is swapped.
constexpr std::pair<SwapPart, SwapPart> comes_with[] = {{SwapPart::shock_spring, SwapPart::shock},
                                                        {SwapPart::fork_springs, SwapPart::fork},
                                                        {SwapPart::fork_oil, SwapPart::fork}};
constexpr bool one_pass_is_enough() {
    Parts included = none, wholes = none;
    for (const auto& [part, whole] : comes_with) {
        const Parts both = of(part) | of(whole);
        if (part == whole || ((both & rear) && (both & front)) || (included & of(part))) return false;
        included |= of(part);
        wholes |= of(whole);
    }
    return (included & wholes) == none;
}
static_assert(one_pass_is_enough(), "a part comes with one other, of its end, that comes with no third");

}  // namespace

End end_of(SwapPart part) {
    return of(part) & front ? End::front : End::rear;
}

std::string_view key(SwapPart part) {
    constexpr std::array<std::string_view, swap_part_count> names = {
        "shock", "shock_spring", "link_rod", "rear_tyre",  "sprockets", "chain",
        "fork",  "fork_springs", "fork_oil", "front_tyre", "load"};
    return names[static_cast<std::size_t>(part)];
}

std::vector<SwapPart> tidy(std::vector<SwapPart> parts) {
    std::sort(parts.begin(), parts.end());
    parts.erase(std::unique(parts.begin(), parts.end()), parts.end());
    for (const auto& [part, whole] : comes_with)
        if (std::binary_search(parts.begin(), parts.end(), whole)) std::erase(parts, part);
    return parts;
}

std::string_view key(Step6 step) {
    constexpr std::array<std::string_view, step_count> names = {"before", "new_part", "answer",
                                                                "set",    "check",    "keep"};
    return names[static_cast<std::size_t>(step)];
}

std::string_view key(Phase phase) {
    constexpr std::array<std::string_view, 4> names = {"before", "new_part", "set", "check"};
    return names[static_cast<std::size_t>(phase)];
}

bool Swap::has(SwapPart part) const {
    return std::find(parts.begin(), parts.end(), part) != parts.end();
}

namespace {
// If two have the same clock, the id decides, so that every device shows the same one.
const StoredReading& newest(const std::vector<StoredReading>& stored_readings) {
    return *std::max_element(stored_readings.begin(), stored_readings.end(),
                             [](const StoredReading& a, const StoredReading& b) {
                                 return std::tie(a.at, a.entry) < std::tie(b.at, b.entry);
                             });
}
}  // namespace

const StoredReading* Swap::stored(const ReadAt& spot) const {
    const auto found = stored_readings.find(spot);
    if (found == stored_readings.end() || found->second.empty()) return nullptr;
    const StoredReading& stored = newest(found->second);
    if (spot.phase != Phase::check) return &stored;
    // A check made before a later setting does not describe the bike as it is now.
    for (const auto& [other, those] : stored_readings)
        if (other.phase == Phase::set && other.end == spot.end && moves(other.point, spot.point) &&
            !those.empty() && newest(those).set_at() > stored.at)
            return nullptr;
    return &stored;
}

std::vector<Id> Swap::entries(const ReadAt& spot) const {
    std::vector<Id> ids;
    if (const auto found = stored_readings.find(spot); found != stored_readings.end())
        for (const StoredReading& stored : found->second) ids.push_back(stored.entry);
    return ids;
}

std::vector<End> ends_of(const Swap& swap) {
    std::vector<End> ends;
    for (const End end : {End::rear, End::front})
        if (parts_at(swap, end)) ends.push_back(end);
    return ends;
}

bool sets(const Swap& swap, End end) {
    return parts_at(swap, end) & stands;
}

bool swaps_load(const Swap& swap) {
    return swap.has(SwapPart::load);
}

bool refits_chain(const Swap& swap) {
    return parts_at(swap, End::rear) & refit;
}

bool brings(SwapPart part, Point point) {
    return of(part) & replacing(point);
}

bool stays(const Swap& swap, End end, Point point) {
    const StoredReading* moved = swap.stored({Phase::new_part, end, P::spring_moved});
    return moved && measured(moved->reading).value == 1.0 && of_the_spring(point) && !is_of_preload(point);
}

bool replaces(const Swap& swap, End end, Point point) {
    // One sprocket may stay while the other goes.
    const bool sprocket = point == P::sprocket_front || point == P::sprocket_rear;
    // So may a tank's place.
    const bool may_stay = sprocket || point == P::fitted_mass_ahead;
    if (may_stay && !swap.stored({Phase::new_part, end, point})) return false;
    return (parts_at(swap, end) & replacing(point)) && !stays(swap, end, point);
}

std::vector<Asked> asked(const Swap& swap, Phase phase) {
    std::vector<Asked> list;
    const auto ends = ends_of(swap);
    for (const End end : ends) {
        const Parts parts = parts_at(swap, end);
        for (const Line& line : lines(phase))
            if ((parts & (line.wanted | line.useful)) && !(is_of_bike(line.point) && end != ends.front()) &&
                !(phase == Phase::new_part && stays(swap, end, line.point)))
                list.push_back({end, line.point, (parts & line.wanted) != none, is_inside(line.point)});
    }
    return list;
}

namespace {
// Not read, of those that `asks` for; and of two readings of which one is enough, if neither was read.
std::vector<ReadAt> not_read(const Swap& swap, Phase phase, Parts Line::*asks, bool needed) {
    std::vector<ReadAt> spots;
    for (const End end : ends_of(swap)) {
        const Parts parts = parts_at(swap, end);
        const auto read = [&](Point p) { return swap.stored({phase, end, p}) != nullptr; };
        for (const Line& line : lines(phase)) {
            const auto one = std::find_if(one_of().begin(), one_of().end(), [&](const OneOf& o) {
                return o.phase == phase && o.asked_for == line.point && (o.parts & parts);
            });
            const bool pair = one != one_of().end();
            if (phase == Phase::new_part && stays(swap, end, line.point)) continue;
            if (pair ? (one->needed || !needed) && !read(line.point) && !read(one->other)
                     : (parts & line.*asks) && !read(line.point))
                spots.push_back({phase, end, line.point});
        }
    }
    return spots;
}
}  // namespace

std::vector<ReadAt> missing(const Swap& swap, Phase phase) {
    return not_read(swap, phase, &Line::needed, true);
}

std::vector<ReadAt> unread(const Swap& swap, Phase phase) {
    return not_read(swap, phase, &Line::wanted, false);
}

}  // namespace restand
