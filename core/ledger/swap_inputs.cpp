#include "core/ledger/swap_inputs.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/ledger/fitted_unit.h"
#include "core/ledger/map_of.h"
#include "core/machine/tyre_size.h"

namespace restand {
namespace {

using P = Point;

struct AssumedRange {
    double middle, half;
};
constexpr AssumedRange damper_gas{225, 225}, fork_gas{90, 90}, shock_rate{95, 25}, fork_rate{9.5, 1.5},
    usual_preload{10, 8}, rider_sag{35, 10}, free_sag{10, 5}, rider_lowers{25, 8}, usual_position{6, 6},
    rear_unsprung{20, 5}, front_unsprung{16, 4}, mass_ahead{750, 300};
constexpr double rate_share = 0.15, unit_length_half = 10, fork_length_half = 10, roll_half = 30;
constexpr std::size_t fewest = 2;  // from two numbers on there is an answer
// Only differences from it count.
constexpr double usual_shock_length = 310, usual_roll = 1900;

// The readings whose value moves the answer. Where adjusters stand now, their pitch and their ends only move
// turns and limits; they are no inputs.
constexpr Slot moving_slots[] = {{Phase::before, P::ride_height_topped_out},
                                 {Phase::before, P::ride_height_static},
                                 {Phase::before, P::ride_height_rider},
                                 {Phase::before, P::spring_rate},
                                 {Phase::before, P::spring_free_length},
                                 {Phase::before, P::spring_installed_length},
                                 {Phase::before, P::spring_preload},
                                 {Phase::before, P::preload_turns},
                                 {Phase::before, P::gas_force},
                                 {Phase::new_part, P::spring_rate},
                                 {Phase::new_part, P::spring_free_length},
                                 {Phase::new_part, P::gas_force},
                                 {Phase::before, P::eye_to_eye},
                                 {Phase::before, P::fork_position},
                                 {Phase::before, P::fork_length},
                                 {Phase::new_part, P::fork_length},
                                 {Phase::before, P::rolling_circumference},
                                 {Phase::new_part, P::rolling_circumference},
                                 {Phase::before, P::link_rod},
                                 {Phase::new_part, P::link_rod},
                                 {Phase::before, P::fork_oil_level},
                                 {Phase::new_part, P::fork_oil_level},
                                 {Phase::before, P::fork_bore},
                                 {Phase::before, P::fitted_mass},
                                 {Phase::new_part, P::fitted_mass},
                                 {Phase::before, P::fitted_mass_ahead},
                                 {Phase::new_part, P::fitted_mass_ahead}};

std::string_view marking_of(const StoredReading* tyre) {
    return tyre ? std::string_view(tyre->reading.repeats.back().text) : std::string_view();
}

// Makes the list: first what was read, then what is carried beside it, then what is assumed.
class Making {
public:
    explicit Making(SwapInputs& inputs) : in_(inputs) {}

    void read_and_carried() {
        for (const Phase phase : all_phases)
            for (const PointFacts& point : all_points()) {
                const StoredReading* stored = used({phase, point.point});
                if (stored && point.dimension != Dimension::text)
                    in_.values.at(phase, point.point) = measured(stored->reading).value;
            }
        if (preload_read_alone()) in_.values.at(Phase::before, P::spring_installed_length).reset();
        for (const Slot slot : moving_slots) add_stored(slot);
        for (const PointFacts& point : all_points())
            if (is_inside(point.point))
                for (const Phase phase : {Phase::before, Phase::new_part}) add_stored({phase, point.point});
    }

    void heights() {
        carried_sags();
        const Slot top{Phase::before, P::ride_height_topped_out}, still{Phase::before, P::ride_height_static},
            rider{Phase::before, P::ride_height_rider};
        if (!has(top) && has(still)) assume(top, free_sag, still);
        if (!has(top) && has(rider)) assume(top, rider_sag, rider);
        if (!has(top)) in_.values.at(top) = datum();
        if (has(rider)) return;
        const bool alone = has(still);
        if (!alone) assume(still, {-free_sag.middle, free_sag.half}, top);
        if (alone)
            assume(rider, {-rider_lowers.middle, rider_lowers.half}, still);
        else
            assume(rider, {-rider_sag.middle, rider_sag.half}, top);
    }

    // Of the two sides the one that was read stands in for the other; on neither: the usual range.
    void springs() {
        const Slot old{Phase::before, P::spring_rate}, fresh{Phase::new_part, P::spring_rate};
        const bool another = replaces(in_.swap(), in_.end, P::spring_rate);
        if (!has(old) && another && has(fresh)) assume(old, share_of(fresh), fresh);
        if (!has(old)) assume(old, in_.rear() ? shock_rate : fork_rate);
        if (another && !has(fresh)) assume(fresh, share_of(old), old);
        if (!preload_known()) assume({Phase::before, P::spring_preload}, usual_preload);
    }

    void gas() {
        const Slot old{Phase::before, P::gas_force}, fresh{Phase::new_part, P::gas_force};
        if (!in_.rear() && air_known()) return;
        const AssumedRange usual = in_.rear() ? damper_gas : fork_gas;
        const bool another = in_.whole(), both_unknown = !has(old) && (!another || !has(fresh));
        if (!has(old)) both_unknown ? assume(old, usual) : assume(old, {0, usual.half}, fresh);
        if (!another || has(fresh)) return;
        both_unknown ? assume(fresh, usual) : assume(fresh, {0, usual.half}, old);
    }

    // Error missing: the map knows the unit by its length, and nobody read that.
    Outcome lengths() {
        const Slot old{Phase::before, P::eye_to_eye}, fresh{Phase::new_part, P::eye_to_eye};
        if (!in_.rear()) return forks(), Done{};
        if (in_.whole() && has(old) && !has(fresh)) return assume(fresh, {0, unit_length_half}, old), Done{};
        if (has(old)) return Done{};
        if (in_.whole() && has(fresh)) return assume(old, {0, unit_length_half}, fresh), Done{};
        const auto map = map_of(in_.site.bike, in_.end);
        if (in_.whole() || (map && std::isfinite(in_mm(map->length_range().second))))
            return Error{ErrorCode::missing, std::string(facts(P::eye_to_eye).key),
                         std::string(key(Phase::before))};
        in_.values.at(old) = usual_shock_length;
        return Done{};
    }

    // Where the wheel hangs on a top-out spring, its weight pulls that.
    void hanging() {
        const Slot weight{Phase::before, P::unsprung_mass};
        const bool hangs = has({Phase::before, P::top_out_rate}) || has({Phase::new_part, P::top_out_rate});
        if (hangs && !has(weight)) assume(weight, in_.rear() ? rear_unsprung : front_unsprung);
    }

    void loads() {
        if (!swaps_load(in_.swap())) return;
        const Slot old{Phase::before, P::fitted_mass_ahead}, fresh{Phase::new_part, P::fitted_mass_ahead};
        if (!has(old) && has(fresh)) return assume(old, {0, mass_ahead.half / 2}, fresh);
        if (!has(old)) assume(old, mass_ahead);
        if (!has(fresh)) assume(fresh, {0, mass_ahead.half / 2}, old);
    }

    void tyres() {
        const SwapPart part = in_.rear() ? SwapPart::rear_tyre : SwapPart::front_tyre;
        const Slot old{Phase::before, P::rolling_circumference}, fresh{Phase::new_part, old.point};
        const bool by_size = tyre_size(in_.old_tyre) && tyre_size(in_.new_tyre);
        if (!in_.swap().has(part) || by_size || (has(old) && has(fresh))) return;
        if (has(fresh)) return assume(old, {0, roll_half}, fresh);
        if (!has(old)) in_.values.at(old) = usual_roll;
        assume(fresh, {0, roll_half}, old);
    }

private:
    bool has(Slot slot) const { return in_.values.get(slot).has_value(); }

    void add_stored(Slot slot) {
        const StoredReading* stored = counts(slot) ? used(slot) : nullptr;
        if (!stored) return;
        const bool own = of_this_swap(slot) != nullptr;
        in_.list.push_back({slot,
                            own ? Origin::read : Origin::carried,
                            measured(stored->reading),
                            {},
                            stored->reading.instrument,
                            stored->by,
                            stored->at});
    }

    void add(Slot slot, Origin origin, const Measured& known, std::optional<Slot> beside) {
        in_.values.at(slot) = known.value + (beside ? in_.values.get(*beside).value_or(0.0) : 0.0);
        in_.list.push_back({slot, origin, known, beside});
    }
    void assume(Slot slot, AssumedRange range, std::optional<Slot> beside = std::nullopt) {
        add(slot, Origin::assumed,
            {.value = range.middle, .u = range.half / std::sqrt(3.0), .dof = infinite_dof, .spread = 0.0},
            beside);
    }
    AssumedRange share_of(Slot rate) const { return {0, rate_share * *in_.values.get(rate)}; }

    // The reading a value comes from. A height of another day belongs to another mark, rider or fuel: as soon
    // as one of this swap is there, it counts as a difference only (carried_sags).
    const StoredReading* used(Slot slot) const {
        if (slot.phase == Phase::new_part && stays(in_.swap(), in_.end, slot.point)) return nullptr;
        const StoredReading* own = of_this_swap(slot);
        if (own || (is_ride_height(slot.point) && in_.height_read())) return own;
        return stored_at(in_.site, in_.end, slot.phase, slot.point);
    }
    const StoredReading* of_this_swap(Slot slot) const {
        return read_at(in_.swap(), in_.end, slot.phase, slot.point);
    }

    // Of what the swap leaves in place only new readings of the old part count, not those of a part still on
    // the bench. A preload as such counts only where the lengths do not give it.
    bool counts(Slot slot) const {
        const bool of_the_unit = slot.point == P::gas_force || slot.point == P::fork_length ||
                                 slot.point == P::top_out_rate || slot.point == P::top_out_reach ||
                                 slot.point == P::bump_travel || slot.point == P::bump_rate ||
                                 slot.point == P::rod_diameter || slot.point == P::gas_volume;
        if (slot.phase == Phase::new_part && of_the_unit && !in_.whole()) return false;
        const auto spring = [&](Point p) { return used({slot.phase, p}) != nullptr; };
        const bool alone = slot.phase == Phase::before && preload_read_alone();
        const bool by_lengths = !alone && spring(P::spring_free_length) && spring(P::spring_installed_length);
        if (slot.point == P::spring_installed_length) return !alone;
        if (slot.point == P::spring_preload) return !by_lengths;
        if (slot.point == P::preload_turns)
            return !by_lengths && !spring(P::spring_preload) && spring(P::collar_mm_per_turn);
        return true;
    }

    // A preload that this swap read counts before lengths that it did not.
    bool preload_read_alone() const {
        const auto own = [&](Point p) { return in_.swap().stored({Phase::before, in_.end, p}) != nullptr; };
        return own(P::spring_preload) && !(own(P::spring_free_length) && own(P::spring_installed_length));
    }

    // Another height of the bike as it stood, as its difference from one that was read today: the nearest.
    void carried_sags() {
        if (!in_.height_read()) return;
        constexpr Point near[3][2] = {{P::ride_height_static, P::ride_height_rider},
                                      {P::ride_height_topped_out, P::ride_height_rider},
                                      {P::ride_height_static, P::ride_height_topped_out}};
        for (std::size_t i = 0; i < ride_heights.size(); ++i) {
            const StoredReading* carried = stored_at(in_.site, in_.end, Phase::before, ride_heights[i]);
            if (has({Phase::before, ride_heights[i]}) || !carried) continue;
            for (const Point other : near[i]) {
                const StoredReading* then = stood_at(other);
                if (!then || !in_.swap().stored({Phase::before, in_.end, other})) continue;
                carry(ride_heights[i], *carried, {Phase::before, other}, *then);
                if (!in_order()) drop_last();
                break;
            }
        }
    }
    // Topped out over static over rider; otherwise one of them was read from another mark.
    bool in_order() const {
        double above = std::numeric_limits<double>::infinity();
        for (const Point p : ride_heights)
            if (const auto h = in_.values.get(Phase::before, p)) {
                if (*h > above + in_mm(height_slack)) return false;
                above = *h;
            }
        return true;
    }
    void drop_last() {
        in_.values.at(in_.list.back().slot).reset();
        in_.list.pop_back();
    }
    const StoredReading* stood_at(Point point) const {
        return in_.site.stood.stale.contains({in_.end, point}) ? nullptr
                                                               : in_.site.stood.stored(in_.end, point);
    }
    void carry(Point point, const StoredReading& stored, Slot beside, const StoredReading& other) {
        const bool same = stored.reading.instrument == other.reading.instrument;
        const auto of = [same](const StoredReading& s) {
            const Measured m = measured(s.reading);
            return same ? without_common(m) : m;
        };
        const Measured a = of(stored), b = of(other);
        add({Phase::before, point}, Origin::carried,
            {.value = a.value - b.value,
             .u = std::hypot(a.u, b.u),
             .dof = std::min(a.dof, b.dof),
             .spread = 0.0},
            beside);
        in_.list.back().by = stored.by;
        in_.list.back().at = stored.at;
    }

    // With no height read the map's own datum serves.
    double datum() const {
        const auto map = map_of(in_.site.bike, in_.end);
        const auto at = map ? map->at(length_before()) : Result<MapPoint>(map.error());
        return at ? in_mm(at->height) : 0.0;
    }
    Length length_before() const {
        return mm(in_.values.get(Phase::before, P::eye_to_eye).value_or(usual_shock_length));
    }

    // Air over oil of a known level is closed at the day's pressure: it pushes only from there on.
    bool air_known() const {
        const auto after = [&](Point p) {
            const auto own = in_.values.get(Phase::new_part, p);
            return own || replaces(in_.swap(), in_.end, p) ? own : in_.values.get(Phase::before, p);
        };
        return fork_air([&](Point p) { return in_.values.get(Phase::before, p); }) && fork_air(after);
    }

    bool preload_known() const {
        const auto at = [&](Point p) { return in_.values.get(Phase::before, p); };
        return preload_of(at).has_value();
    }

    void forks() {
        const Slot at{Phase::before, P::fork_position}, old{Phase::before, P::fork_length},
            fresh{Phase::new_part, P::fork_length};
        if (!has(at)) assume(at, usual_position);
        if (!in_.whole() || (has(old) && has(fresh))) return;
        if (!has(old) && has(fresh)) return assume(old, {0, fork_length_half}, fresh);
        if (!has(old)) in_.values.at(old) = in_mm(usual_fork_length);
        assume(fresh, {0, fork_length_half}, old);
    }

    SwapInputs& in_;
};

// How far the axle sits further back after the swap.
Length axle_moved(const SwapInputs& in, std::optional<Length> axle_by) {
    if (!in.rear()) return mm(0);
    if (refits_chain(in.swap())) return axle_by.value_or(mm(0));
    const auto was = in.values.get(Phase::before, P::axle_position),
               is = in.values.get(Phase::new_part, P::axle_position);
    return was && is ? mm(*is - *was) : mm(0);  // of two set-ups; a swap asks for it only where it is set
}

}  // namespace

std::string_view key(Origin origin) {
    constexpr std::string_view keys[] = {"read", "carried", "assumed"};
    return keys[static_cast<std::size_t>(origin)];
}

std::string name_of(const Slot& slot) {
    return std::string(key(slot.phase)) + "." + std::string(facts(slot.point).key);
}

const SwapInput* SwapInputs::find(Slot slot) const {
    const auto found =
        std::find_if(list.begin(), list.end(), [slot](const SwapInput& i) { return i.slot == slot; });
    return found == list.end() ? nullptr : &*found;
}

bool SwapInputs::height_read() const {
    return std::any_of(ride_heights.begin(), ride_heights.end(), [this](Point p) {
        return swap().stored({Phase::before, end, p});
    });
}

std::optional<Measured> SwapInputs::height_before(State state) const {
    const SwapInput* input = find({Phase::before, height_point(state)});
    if (!input || input->origin == Origin::assumed) return std::nullopt;
    if (!input->beside) return input->known;
    const SwapInput* other = find(*input->beside);
    check(other != nullptr, "an input beside one that is not there");
    return Measured{.value = input->known.value + other->known.value,
                    .u = std::hypot(input->known.u, other->known.u),
                    .dof = std::min(input->known.dof, other->known.dof),
                    .spread = 0.0};
}

CaseValues SwapInputs::with(std::span<const double> numbers) const {
    CaseValues v = values;
    for (std::size_t i = 0; i < list.size(); ++i)
        v.at(list[i].slot) = numbers[i] + (list[i].beside ? v.get(*list[i].beside).value_or(0.0) : 0.0);
    return v;
}

Result<SwapInputs> swap_inputs(const SwapSite& site, End end, std::optional<Length> axle_by) {
    const auto lacks = [](const ReadAt& spot) {
        return Error{ErrorCode::missing, std::string(facts(spot.point).key), std::string(key(spot.phase))};
    };
    for (const Phase phase : {Phase::before, Phase::new_part})
        for (const ReadAt& spot : missing(site, phase))
            if (spot.end == end || is_of_bike(spot.point)) return lacks(spot);
    SwapInputs in{site, end, {}};
    in.old_tyre = marking_of(stored_at(site, end, Phase::before, P::tyre));
    in.new_tyre = marking_of(stored_at(site, end, Phase::new_part, P::tyre));
    Making making(in);
    making.read_and_carried();
    for (const Phase phase : {Phase::before, Phase::new_part})
        for (const ReadAt& spot : unread(site, phase))
            if (spot.end == end && in.list.size() < fewest) return lacks(spot);
    if (const Outcome lengths = making.lengths(); !lengths) return lengths.error();
    making.heights();
    making.springs();
    making.gas();
    making.tyres();
    making.hanging();
    making.loads();
    in.arm_longer = axle_moved(in, axle_by);
    return in;
}

std::vector<Input> as_inputs(std::span<const SwapInput> list) {
    std::vector<Input> inputs;
    for (const SwapInput& i : list)
        inputs.push_back({name_of(i.slot), i.known.value, i.known.u, i.known.dof});
    return inputs;
}

}  // namespace restand
