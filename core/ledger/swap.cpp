// The table of the readings that a swap asks for. A new reading is one line here.

#include "core/ledger/swap.h"

#include <algorithm>
#include <array>
#include <span>

#include "core/ledger/moved_by.h"

namespace restand {
namespace {

// Sets of parts.
using Parts = unsigned;
constexpr Parts of(SwapPart part) {
    return 1u << static_cast<int>(part);
}
constexpr Parts shock = of(SwapPart::shock), shock_spring = of(SwapPart::shock_spring),
                rod = of(SwapPart::link_rod), rear_tyre = of(SwapPart::rear_tyre),
                sprockets = of(SwapPart::sprockets), chain = of(SwapPart::chain), fork = of(SwapPart::fork),
                fork_springs = of(SwapPart::fork_springs), oil = of(SwapPart::fork_oil),
                front_tyre = of(SwapPart::front_tyre), load = of(SwapPart::load);
// A load is of both ends: asked at the front, it has a bit of its own.
constexpr Parts load_front = 1u << swap_part_count, loads = load | load_front;
constexpr Parts none = 0, units = shock | fork, springs = shock_spring | fork_springs,
                refit = sprockets | chain, tyres = rear_tyre | front_tyre,
                rear = shock | shock_spring | rod | rear_tyre | refit | load,
                front = fork | fork_springs | oil | front_tyre | load_front, all = rear | front;
static_assert((rear & front) == none, "a part belongs to one end");
static_assert(all == (1u << (swap_part_count + 1)) - 1, "every part belongs to an end");
// These parts determine how an end stands; sprockets and chain only move its axle.
constexpr Parts stands = all & ~refit;

// The parts that ask for a point. `wanted`: it narrows the answer or the verdict. `useful`: for later work or a
// fuller answer. `needed`: of those that want it, the parts about which nothing can be said without it.
struct Line {
    Point point;
    Parts wanted, useful, needed = 0;
};
using P = Point;

// clang-format off
// First at the standing bike, then with the old unit on the bench.
constexpr Line before[] = {
    {P::ride_height_topped_out,  all,                    none,                refit},
    {P::ride_height_static,      none,                   all},
    {P::ride_height_rider,       stands,                 refit},
    {P::fuel,                    none,                   stands},
    {P::rider_mass,              none,                   stands},
    {P::wheel_weight,            none,                   stands},
    {P::damper_temperature,      none,                   units | springs},
    {P::fitted_mass,             load,                   none,                load},
    {P::fitted_mass_ahead,       none,                   load},
    {P::fork_position,           front & ~load_front,    load_front},
    {P::chain_slack,             refit,                  rear,                refit},
    {P::axle_position,           refit,                  rear,                refit},
    {P::clicks_compression_low,  none,                   units | springs},
    {P::clicks_compression_high, none,                   units | springs},
    {P::clicks_rebound_low,      none,                   units | springs},
    {P::clicks_rebound_high,     none,                   units | springs},
    {P::sprocket_front,          refit,                  rear,                refit},
    {P::sprocket_rear,           refit,                  rear,                refit},
    {P::chain_links,             refit,                  rear,                refit},
    {P::tyre,                    none,                   all},
    {P::rolling_circumference,   none,                   tyres},
    {P::tyre_pressure_cold,      none,                   all},
    {P::link_rod,                rod,                    none,                rod},
    {P::fork_oil_level,          oil,                    fork | fork_springs, oil},
    {P::fork_bore,               oil,                    fork | fork_springs, oil},
    {P::eye_to_eye,              shock | shock_spring | rod | rear_tyre | load, refit, rod | rear_tyre},
    {P::fork_length,             none,                   front},
    {P::spring_free_length,      units | springs,        all},
    {P::spring_installed_length, units | springs,        all},
    {P::spring_preload,          none,                   all},
    {P::preload_turns,           none,                   units | springs | loads},
    {P::collar_mm_per_turn,      none,                   units | springs | loads},
    {P::spring_rate,             units | springs | loads, all},
    {P::gas_force,               shock,                  all},
    {P::travel,                  oil,                    none,                oil},
    {P::unsprung_mass,           none,                   stands},
    {P::top_out_rate,            none,                   stands},
    {P::top_out_reach,           none,                   stands},
    {P::helper_rate,             none,                   stands},
    {P::helper_free_length,      none,                   stands},
    {P::helper_block_length,     none,                   stands},
    {P::other_leg_rate,          none,                   front & stands},
    {P::other_leg_free_length,   none,                   front & stands},
    {P::other_leg_installed_length, none,                front & stands},
    {P::bump_travel,             none,                   stands},
    {P::bump_rate,               none,                   stands},
    {P::rod_diameter,            none,                   rear & stands},
    {P::gas_volume,              none,                   rear & stands},
};
// If only the spring is new, travel is that of the old unit; it gives the margin to block length. The
// installed length as found is needed only for the turns; the answer gives the length to set without it.
constexpr Line new_part[] = {
    {P::part_name,               none,                   units},
    {P::spring_moved,            none,                   units},
    {P::eye_to_eye,              shock,                  none},
    {P::eye_to_eye_min,          none,                   shock | rod | rear_tyre | refit},
    {P::eye_to_eye_max,          none,                   shock | rod | rear_tyre | refit},
    {P::length_mm_per_turn,      none,                   shock | rod | rear_tyre | refit},
    {P::fork_length,             none,                   fork},
    {P::fork_position,           none,                   fork},
    {P::fork_position_min,       none,                   fork | front_tyre},
    {P::fork_position_max,       none,                   fork | front_tyre},
    {P::travel,                  none,                   units | springs},
    {P::gas_force,               shock,                  fork},
    {P::spring_rate,             units | springs,        none},
    {P::spring_free_length,      units | springs,        none},
    {P::spring_block_length,     none,                   units | springs},
    {P::spring_installed_length, none,                   units | springs},
    {P::spring_preload,          none,                   units | springs},
    {P::preload_turns,           none,                   units | springs},
    {P::collar_mm_per_turn,      none,                   units | springs | oil},
    {P::fork_oil_level,          oil,                    fork | fork_springs, oil},
    {P::fork_bore,               none,                   fork},
    {P::link_rod,                rod,                    none,                rod},
    {P::tyre,                    none,                   tyres},
    {P::rolling_circumference,   none,                   tyres},
    {P::sprocket_front,          none,                   sprockets},  // one of the two is enough: missing()
    {P::sprocket_rear,           none,                   sprockets},
    {P::chain_links,             chain,                  sprockets,           chain},
    {P::fitted_mass,             load,                   none,                load},
    {P::fitted_mass_ahead,       none,                   load},
    {P::top_out_rate,            none,                   units},
    {P::top_out_reach,           none,                   units},
    {P::helper_rate,             none,                   units | springs},
    {P::helper_free_length,      none,                   units | springs},
    {P::helper_block_length,     none,                   units | springs},
    {P::other_leg_rate,          none,                   fork | fork_springs},
    {P::other_leg_free_length,   none,                   fork | fork_springs},
    {P::other_leg_installed_length, none,                fork | fork_springs},
    {P::bump_travel,             none,                   units},
    {P::bump_rate,               none,                   units},
    {P::rod_diameter,            none,                   shock},
    {P::gas_volume,              none,                   shock},
};
// Every setting that the answer changes is read after it was set. A setting that is not read counts as not
// moved.
constexpr Line set[] = {
    {P::eye_to_eye,              shock | rod | rear_tyre, shock_spring,       shock | rod | rear_tyre},
    {P::fork_position,           fork | front_tyre,      fork_springs | oil,  fork | front_tyre},
    {P::spring_installed_length, stands,                 none},                // or its preload: missing()
    {P::spring_preload,          none,                   stands},
    {P::chain_slack,             none,                   rear},
    {P::axle_position,           refit,                  rear & ~refit,       refit},
    {P::chain_links,             refit,                  none,                refit},
    {P::clicks_compression_low,  none,                   units | springs},
    {P::clicks_compression_high, none,                   units | springs},
    {P::clicks_rebound_low,      none,                   units | springs},
    {P::clicks_rebound_high,     none,                   units | springs},
};
constexpr Line check_[] = {
    {P::ride_height_topped_out,  stands,                 refit},
    {P::ride_height_static,      none,                   all},
    {P::ride_height_rider,       stands,                 refit},
    {P::fuel,                    none,                   stands},
    {P::rider_mass,              none,                   stands},
    {P::wheel_weight,            none,                   stands},
    {P::damper_temperature,      none,                   units | springs},
    {P::chain_slack,             refit,                  rear,                refit},
};
// clang-format on

// Either of two readings is enough: one sprocket may stay, a tyre is identified by its marking or by its rolling
// circumference, a collar is set by the spring's length or by its preload. `needed`: nothing can be said without
// one of them.
struct OneOf {
    Phase phase;
    Parts parts;
    Point other, asked_for;
    bool needed;
};
constexpr OneOf one_of[] = {
    {Phase::new_part, sprockets, P::sprocket_front, P::sprocket_rear, true},
    {Phase::new_part, rear_tyre, P::rolling_circumference, P::tyre, false},
    {Phase::new_part, front_tyre, P::rolling_circumference, P::tyre, false},
    {Phase::set, stands, P::spring_preload, P::spring_installed_length, true},
};

std::span<const Line> lines(Phase phase) {
    switch (phase) {
        case Phase::before:
            return before;
        case Phase::new_part:
            return new_part;
        case Phase::set:
            return set;
        case Phase::check:
            return check_;
    }
    return {};
}

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
           p == P::other_leg_rate || p == P::other_leg_free_length || p == P::other_leg_installed_length;
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
            !those.empty() && newest(those).at > stored.at)
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

namespace {
// Of the old spring, where the new unit takes it over: all but how it is set.
bool stays_with(const Swap& swap, End end, Point point) {
    const StoredReading* moved = swap.stored({Phase::new_part, end, P::spring_moved});
    return moved && measured(moved->reading).value == 1.0 && of_the_spring(point) &&
           point != P::spring_installed_length && point != P::spring_preload && point != P::preload_turns &&
           point != P::other_leg_installed_length;
}
}  // namespace

bool brings(SwapPart part, Point point) {
    return of(part) & replacing(point);
}

bool replaces(const Swap& swap, End end, Point point) {
    // One sprocket may stay while the other goes.
    const bool sprocket = point == P::sprocket_front || point == P::sprocket_rear;
    if (sprocket && !swap.stored({Phase::new_part, end, point})) return false;
    return (parts_at(swap, end) & replacing(point)) && !stays_with(swap, end, point);
}

std::vector<Asked> asked(const Swap& swap, Phase phase) {
    std::vector<Asked> list;
    const auto ends = ends_of(swap);
    for (const End end : ends) {
        const Parts parts = parts_at(swap, end);
        for (const Line& line : lines(phase))
            if ((parts & (line.wanted | line.useful)) && !(is_of_bike(line.point) && end != ends.front()) &&
                !(phase == Phase::new_part && stays_with(swap, end, line.point)))
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
            const auto one = std::find_if(std::begin(one_of), std::end(one_of), [&](const OneOf& o) {
                return o.phase == phase && o.asked_for == line.point && (o.parts & parts);
            });
            const bool pair = one != std::end(one_of);
            if (phase == Phase::new_part && stays_with(swap, end, line.point)) continue;
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
