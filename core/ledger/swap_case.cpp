// The inputs of one end as a case for the solver.

#include <algorithm>
#include <array>
#include <cmath>

#include "core/ledger/fitted_unit.h"
#include "core/ledger/load_change.h"
#include "core/ledger/map_of.h"
#include "core/ledger/swap_case.h"
#include "core/machine/bike.h"
#include "core/machine/tyre_size.h"

namespace restand {
namespace {

using P = Point;

// Stands for 'no end known' on an adjuster: beyond any part that fits a motorcycle.
constexpr Length lowest = mm(1.0);
constexpr Length highest = mm(2000.0);
// Fork tubes are set by rule or calliper, no thread: half a millimetre (common practice, checkvalues P-19).
constexpr Length fork_step = mm(0.5);

// With the unit staying in, is its length free to make up for what else changed?
bool length_is_free(const Swap& swap, End end) {
    if (end == End::front) return swap.has(SwapPart::front_tyre);
    return swap.has(SwapPart::link_rod) || swap.has(SwapPart::rear_tyre);
}

// Which rod another one takes the place of is known with the linkage alone.
Outcome rod_has_a_linkage(const BikeBody& bike) {
    if (!bike.mechanism.linkage) return Error{ErrorCode::missing, "linkage", "bike"};
    if (!bike.geometry.swingarm) return Error{ErrorCode::missing, "swingarm", "bike"};
    return Done{};
}

// What the new parts do not bring is as it was.
CaseValues carried_over(const SwapInputs& parts, CaseValues values) {
    // A free length that follows from the others goes along with a spring that stays.
    const NumberAt old = [&values](Point point) { return values.get(Phase::before, point); };
    if (const auto installed = old(P::spring_installed_length);
        installed && !old(P::spring_free_length) && preload_of(old))
        values.at(Phase::before, P::spring_free_length) =
            in_mm(fitted_unit(parts.end, old).spring.free_length);
    for (const PointFacts& facts_ : all_points()) {
        const Point point = facts_.point;
        if (auto& after = values.at(Phase::new_part, point);
            !after && !replaces(parts.swap(), parts.end, point))
            after = values.get(Phase::before, point);
    }
    return values;
}

// Both fork lengths, old and new. Without a new fork there is one, and only differences from it count.
std::pair<Length, Length> fork_lengths(const CaseValues& values) {
    const auto before = values.maybe(Phase::before, P::fork_length);
    const auto after = values.maybe(Phase::new_part, P::fork_length);
    const Length any = before.value_or(after.value_or(usual_fork_length));
    return {before.value_or(any), after.value_or(any)};
}

// Where the collar of the new part was found.
bool is_installed_known(const CaseValues& values) {
    return preload_of([&](Point point) { return values.get(Phase::new_part, point); }).has_value();
}

SuspensionUnit unit_of(const SwapInputs& parts, const CaseValues& values, Phase phase) {
    const auto in = [&](Phase of) { return [&values, of](Point point) { return values.get(of, point); }; };
    SuspensionUnit unit = fitted_unit(parts.end, in(phase));
    if (phase != Phase::new_part) unit.travel.reset();  // the old unit is a load cell: no limit counts
    // Known on one side alone, the gas over the piston would look like a change.
    const auto chamber = parts.rear() ? reservoir : fork_air;
    const auto was = chamber(in(Phase::before)), is = chamber(in(Phase::new_part));
    unit.gas.chamber.reset();
    if (was && is) unit.gas.chamber = phase == Phase::before ? was : is;
    return unit;
}

Adjuster range(Length now, std::optional<double> min, std::optional<double> max) {
    Adjuster adjuster;
    adjuster.min = min ? mm(*min) : lowest;
    adjuster.max = max ? mm(*max) : highest;
    adjuster.now = now;
    return adjuster;
}

// `as_found`: the length was read; turns from an assumed one would be wrong by as much.
Adjuster shock_adjuster(const CaseValues& values, Length found, bool as_found) {
    constexpr Phase bench = Phase::new_part;
    const auto min = values.get(bench, P::eye_to_eye_min), max = values.get(bench, P::eye_to_eye_max);
    const auto pitch = values.get(bench, P::length_mm_per_turn);
    // Neither ends nor a pitch read: a shock whose length cannot be changed.
    if (!min && !max && !pitch) return range(found, in_mm(found), in_mm(found));
    Adjuster adjuster = range(found, min, max);
    if (pitch && as_found) adjuster.per_turn = mm(*pitch);
    return adjuster;
}

Adjuster fork_adjuster(const CaseValues& values) {
    constexpr Phase bench = Phase::new_part;
    const Length tube = fork_lengths(values).second;
    const auto position = [&](Point p) -> std::optional<double> {
        const auto v = values.get(bench, p);
        return v ? std::optional(in_mm(tube) - *v) : std::nullopt;
    };
    const auto now = position(P::fork_position);
    const Length as_before = tube - values.length(Phase::before, P::fork_position);
    Adjuster adjuster =
        range(now ? mm(*now) : as_before, position(P::fork_position_max), position(P::fork_position_min));
    adjuster.detent = fork_step;
    return adjuster;
}

// The new shock was not measured on the bench: an input stands for it only then.
bool is_length_assumed(const SwapInputs& parts) {
    return parts.find({Phase::new_part, P::eye_to_eye}) != nullptr;
}

Adjuster length_adjuster(const SwapInputs& parts, const CaseValues& values, Length old_length) {
    if (!parts.whole() && !length_is_free(parts.swap(), parts.end))
        return range(old_length, in_mm(old_length), in_mm(old_length));
    if (!parts.rear()) return fork_adjuster(values);
    if (!parts.whole()) return shock_adjuster(values, old_length, true);
    return shock_adjuster(values, values.maybe(Phase::new_part, P::eye_to_eye).value_or(old_length),
                          !is_length_assumed(parts));
}

Result<HeightMap> map_for(const SwapInputs& parts, const CaseValues& values, Phase phase, Length arm_longer) {
    return map_of(parts.site.bike, parts.end, {values.maybe(phase, P::link_rod), arm_longer});
}

}  // namespace

Result<SwapCase> make_case(const SwapInputs& parts, const CaseValues& read, Length arm_longer) {
    const CaseValues values = carried_over(parts, read);
    const Result<HeightMap> map = map_for(parts, values, Phase::before, mm(0));
    if (!map) return map.error();
    SuspensionUnit before = unit_of(parts, values, Phase::before);
    before.length = parts.rear()
                        ? values.length(Phase::before, P::eye_to_eye)
                        : fork_lengths(values).first - values.length(Phase::before, P::fork_position);
    SwapCase swap{.end = parts.end,
                  .map = *map,
                  .before = {before, values.length(Phase::before, P::ride_height_topped_out), {}, {}},
                  .new_unit = unit_of(parts, values, Phase::new_part),
                  .length = length_adjuster(parts, values, before.length),
                  .installed = {},
                  .load_scale = 1.0,
                  .tolerance = parts.site.bike.setup(parts.end).tolerance};
    if (!parts.rear()) swap.set_from = fork_lengths(values).second;
    swap.more_load = load_of_parts(parts, read);
    swap.hanging = newton(standard_gravity * values.get(Phase::before, P::unsprung_mass).value_or(0.0));
    swap.before.static_ = values.maybe(Phase::before, P::ride_height_static);
    swap.before.rider = values.maybe(Phase::before, P::ride_height_rider);
    // A height that was read is held rather than one that is assumed.
    if (parts.height_before(State::static_) && !parts.height_before(State::rider)) swap.hold = State::static_;
    const bool another_rod =
        values.get(Phase::before, P::link_rod) != values.get(Phase::new_part, P::link_rod);
    if (another_rod)
        if (const auto linked = rod_has_a_linkage(parts.site.bike); !linked) return linked.error();
    if (arm_longer.value != 0.0 || another_rod) {
        const Result<HeightMap> after = map_for(parts, values, Phase::new_part, arm_longer);
        if (!after) return after.error();
        swap.new_map = *after;
    }
    swap.raise = -(1.0 / upright_rise(parts.site.bike, parts.end)) *
                 radius_gained({values.maybe(Phase::before, P::rolling_circumference), parts.old_tyre},
                               {values.maybe(Phase::new_part, P::rolling_circumference), parts.new_tyre});

    SuspensionUnit& unit = swap.new_unit;
    unit.length = swap.length.now;
    // Turns are counted from the collar as found. Not read: the installed length is answered, turns are not,
    // because turns from an unknown start would be wrong by as much as the start.
    const bool found = is_installed_known(values);
    swap.installed = range(found ? unit.installed_length : free_length(unit), std::nullopt, std::nullopt);
    const auto pitch = values.get(Phase::new_part, P::collar_mm_per_turn);
    if (found && pitch) swap.installed.per_turn = mm(*pitch);
    unit.installed_length = swap.installed.now;
    return swap;
}

Result<SwapCase> case_as_answered(const SwapInputs& parts) {
    return make_case(parts, parts.values, parts.arm_longer);
}

Result<SwapCase> case_as_set(const SwapInputs& parts, const Result<SwapCase>& as_answered) {
    const auto was = parts.values.get(Phase::before, P::axle_position),
               is = parts.values.get(Phase::set, P::axle_position);
    Result<SwapCase> swap = was && is ? make_case(parts, parts.values, mm(*is - *was)) : as_answered;
    // A shock that was measured only as it was set was found so.
    const auto set = parts.values.maybe(Phase::set, P::eye_to_eye);
    if (!swap || !parts.whole() || !set || !is_length_assumed(parts)) return swap;
    Adjuster& length = swap->length;
    if (length.min == length.max) length.min = length.max = *set;
    length.now = *set;
    swap->new_unit.length = *set;
    return swap;
}

bool is_free_length_known(const SwapInputs& in) {
    const Phase phase = replaces(in.swap(), in.end, P::spring_free_length) ? Phase::new_part : Phase::before;
    const auto at = [&](Point point) { return in.values.get(phase, point); };
    return at(P::spring_free_length) || (at(P::spring_installed_length) && preload_of(at));
}

namespace {
// Of the new spring as it was set: the length between its seats, or its preload.
std::optional<Length> installed_set(const SwapInputs& parts, const SwapCase& swap) {
    if (const auto read = parts.values.maybe(Phase::set, P::spring_installed_length);
        read && is_free_length_known(parts))
        return read;
    const auto at = [&](Point point) {
        const Phase phase = point == P::collar_mm_per_turn ? Phase::new_part : Phase::set;
        return parts.values.get(phase, point);
    };
    const auto preload = preload_of(at);
    return preload ? std::optional(free_length(swap.new_unit) - *preload) : std::nullopt;
}
}  // namespace

Result<LengthsSet> lengths_set(const SwapInputs& parts, const SwapCase& swap) {
    const Point at = parts.rear() ? P::eye_to_eye : P::fork_position;
    const auto read = parts.values.get(Phase::set, at);
    if (!read && parts.whole()) return Error{ErrorCode::missing, std::string(facts(at).key), "set"};
    const auto installed = installed_set(parts, swap);
    if (!installed && replaces(parts.swap(), parts.end, P::spring_installed_length))
        return Error{ErrorCode::missing, "spring_installed_length", "set"};

    LengthsSet set{swap.length.now, installed.value_or(swap.installed.now)};
    // Of a shock that stays in and was not measured before, a length read now says nothing of a change.
    const bool compares =
        !parts.rear() || parts.whole() || stored_at(parts.site, parts.end, Phase::before, at);
    if (read && compares) {
        const auto [old_tube, new_tube] = fork_lengths(parts.values);
        set.length = parts.rear() ? mm(*read) : (parts.whole() ? new_tube : old_tube) - mm(*read);
    }
    return set;
}

}  // namespace restand
