// A swap's readings become a case for the solver, its answer, and what follows from what was set and checked.
//
// What was not read is taken so, and nothing else is assumed:
//   gas force 0; an end of an adjuster's range unknown = not limited there; a pitch unknown = no turns;
//   a shock without ends and without pitch = its length is fixed;
//   fork length unknown = the other fork's, or 700 mm (only differences count on a leverage map);
//   height map of the front from the rake when nothing better is known.
// A spring swap keeps the unit's length: the adjuster is held where it was.

#include <algorithm>
#include <array>
#include <cmath>

#include "core/ledger/map_of.h"
#include "core/ledger/sure.h"

namespace restand {
namespace {

constexpr Length usual_fork_length = mm(700.0);
// Stands for 'no end known' on an adjuster: beyond any part that fits a motorcycle.
constexpr Length lowest = mm(1.0);
constexpr Length highest = mm(2000.0);
// Fork tubes are set by rule or calliper, no thread: half a millimetre (common practice, checkvalues P-19).
constexpr Length fork_step = mm(0.5);

bool whole_unit(SwapKind kind) {
    return kind == SwapKind::shock || kind == SwapKind::fork;
}

// All numbers the case is made of, by phase and point; canonical units.
class Values {
public:
    std::optional<double>& at(Phase phase, Point point) { return v_[index(phase, point)]; }
    std::optional<double> get(Phase phase, Point point) const { return v_[index(phase, point)]; }
    Length length(Phase phase, Point point) const { return mm(get(phase, point).value_or(0.0)); }

private:
    static std::size_t index(Phase phase, Point point) {
        return static_cast<std::size_t>(phase) * point_count + static_cast<std::size_t>(point);
    }
    std::array<std::optional<double>, 4 * point_count> v_;
};

struct Parts {
    SwapKind kind;
    HeightMap map;
    Length tolerance;
    Values values;
    std::vector<std::pair<Phase, Point>> slots;  // of the inputs, same order
    std::vector<Input> inputs;
};

// The readings whose value moves the answer. Where adjusters stand now, their pitch and their ends only move
// turns and limits; they are no inputs.
std::vector<std::pair<Phase, Point>> moving(SwapKind kind) {
    std::vector<std::pair<Phase, Point>> slots = {{Phase::before, Point::ride_height_topped_out},
                                                  {Phase::before, Point::ride_height_static},
                                                  {Phase::before, Point::ride_height_rider},
                                                  {Phase::before, Point::spring_rate},
                                                  {Phase::before, Point::spring_free_length},
                                                  {Phase::before, Point::spring_installed_length},
                                                  {Phase::before, Point::gas_force},
                                                  {Phase::new_part, Point::spring_rate},
                                                  {Phase::new_part, Point::spring_free_length}};
    if (whole_unit(kind)) slots.emplace_back(Phase::new_part, Point::gas_force);
    if (end_of(kind) == End::rear) {
        slots.emplace_back(Phase::before, Point::eye_to_eye);
    } else {
        slots.emplace_back(Phase::before, Point::fork_position);
        slots.emplace_back(Phase::before, Point::fork_length);
        if (kind == SwapKind::fork) slots.emplace_back(Phase::new_part, Point::fork_length);
    }
    return slots;
}

Result<Parts> parts_of(const Bike& bike, const Swap& swap) {
    for (const Phase phase : {Phase::before, Phase::new_part})
        for (const Point point : missing(swap, phase))
            return Error{ErrorCode::missing, std::string(facts(point).key), std::string(key(phase))};
    const End end = end_of(swap.kind);
    const Result<HeightMap> map = map_of(bike.body, end);
    if (!map) return map.error();

    Parts parts{swap.kind, *map, bike.body.setup(end).tolerance, {}, {}, {}};
    for (const auto& [where, takes] : swap.takes) {
        if (facts(where.second).dimension == Dimension::text) continue;
        if (const Take* take = swap.take(where.first, where.second))
            parts.values.at(where.first, where.second) = measured(take->reading).value;
    }
    for (const auto& [phase, point] : moving(swap.kind)) {
        const Take* take = swap.take(phase, point);
        if (!take) continue;
        const Measured m = measured(take->reading);
        parts.slots.emplace_back(phase, point);
        parts.inputs.push_back(
            {std::string(key(phase)) + "." + std::string(facts(point).key), m.value, m.u, m.dof});
    }
    return parts;
}

// Both fork lengths, old and new; where only one was read the other is taken as the same.
std::pair<Length, Length> fork_lengths(const Values& values) {
    const auto before = values.get(Phase::before, Point::fork_length);
    const auto after = values.get(Phase::new_part, Point::fork_length);
    const Length any = mm(before.value_or(after.value_or(in_mm(usual_fork_length))));
    return {mm(before.value_or(in_mm(any))), mm(after.value_or(in_mm(any)))};
}

Spring spring_of(const Values& values, Phase phase) {
    Spring spring{newton_per_mm(values.get(phase, Point::spring_rate).value_or(0.0)),
                  values.length(phase, Point::spring_free_length), std::nullopt};
    if (const auto block = values.get(phase, Point::spring_block_length)) spring.block_length = mm(*block);
    return spring;
}

SuspensionUnit old_unit(SwapKind kind, const Values& values) {
    SuspensionUnit unit;
    const bool rear = end_of(kind) == End::rear;
    unit.length = rear ? values.length(Phase::before, Point::eye_to_eye)
                       : fork_lengths(values).first - values.length(Phase::before, Point::fork_position);
    unit.legs = rear ? 1 : 2;
    unit.spring = spring_of(values, Phase::before);
    unit.installed_length = values.length(Phase::before, Point::spring_installed_length);
    unit.gas.topped_out = newton(values.get(Phase::before, Point::gas_force).value_or(0.0));
    return unit;
}

Adjuster range(Length now, std::optional<double> min, std::optional<double> max) {
    Adjuster adjuster;
    adjuster.min = min ? mm(*min) : lowest;
    adjuster.max = max ? mm(*max) : highest;
    adjuster.now = now;
    return adjuster;
}

Adjuster length_adjuster(SwapKind kind, const Values& values, Length old_length) {
    constexpr Phase bench = Phase::new_part;
    if (kind == SwapKind::shock) {
        const Length found = values.length(bench, Point::eye_to_eye);
        const auto min = values.get(bench, Point::eye_to_eye_min),
                   max = values.get(bench, Point::eye_to_eye_max);
        const auto pitch = values.get(bench, Point::length_mm_per_turn);
        // Neither ends nor a pitch read: a shock whose length cannot be changed.
        if (!min && !max && !pitch) return range(found, in_mm(found), in_mm(found));
        Adjuster adjuster = range(found, min, max);
        if (pitch) adjuster.per_turn = mm(*pitch);
        return adjuster;
    }
    if (kind == SwapKind::fork) {
        const Length tube = fork_lengths(values).second;
        const auto position = [&](Point p) -> std::optional<double> {
            const auto v = values.get(bench, p);
            return v ? std::optional(in_mm(tube) - *v) : std::nullopt;
        };
        const auto now = position(Point::fork_position);
        const Length as_before = tube - values.length(Phase::before, Point::fork_position);
        Adjuster adjuster = range(now ? mm(*now) : as_before, position(Point::fork_position_max),
                                  position(Point::fork_position_min));
        adjuster.detent = fork_step;
        return adjuster;
    }
    return range(old_length, in_mm(old_length), in_mm(old_length));
}

SwapCase make(const Parts& parts, const Values& values) {
    const SuspensionUnit before = old_unit(parts.kind, values);
    SwapCase swap{.end = end_of(parts.kind),
                  .map = parts.map,
                  .before = {before, values.length(Phase::before, Point::ride_height_topped_out), {}, {}},
                  .new_unit = before,
                  .length = length_adjuster(parts.kind, values, before.length),
                  .installed = {},
                  .load_scale = 1.0,
                  .tolerance = parts.tolerance};
    if (const auto h = values.get(Phase::before, Point::ride_height_static)) swap.before.static_ = mm(*h);
    if (const auto h = values.get(Phase::before, Point::ride_height_rider)) swap.before.rider = mm(*h);

    SuspensionUnit& unit = swap.new_unit;
    unit.spring = spring_of(values, Phase::new_part);
    unit.length = swap.length.now;
    if (whole_unit(parts.kind))
        unit.gas.topped_out = newton(values.get(Phase::new_part, Point::gas_force).value_or(0.0));
    if (const auto travel = values.get(Phase::new_part, Point::travel)) unit.travel = mm(*travel);

    // Turns are counted from the collar as found. Not read: the installed length is answered, turns are not,
    // because turns from an unknown start would be wrong by as much as the start.
    const auto found = values.get(Phase::new_part, Point::spring_installed_length);
    swap.installed = range(found ? mm(*found) : unit.spring.free_length, std::nullopt, std::nullopt);
    const auto pitch = values.get(Phase::new_part, Point::collar_mm_per_turn);
    if (found && pitch) swap.installed.per_turn = mm(*pitch);
    unit.installed_length = swap.installed.now;
    return swap;
}

Remake remake_of(const Parts& parts) {
    return [&parts](std::span<const double> inputs) -> Result<SwapCase> {
        Values values = parts.values;
        for (std::size_t i = 0; i < inputs.size(); ++i)
            values.at(parts.slots[i].first, parts.slots[i].second) = inputs[i];
        return make(parts, values);
    };
}

// Unit length and installed length as they were really set.
Result<std::pair<Length, Length>> as_set(const Parts& parts) {
    const SwapCase swap = make(parts, parts.values);
    const bool rear = end_of(parts.kind) == End::rear;
    const Point at = rear ? Point::eye_to_eye : Point::fork_position;
    const auto read = parts.values.get(Phase::set, at);
    if (!read && whole_unit(parts.kind)) return Error{ErrorCode::missing, std::string(facts(at).key), "set"};
    const auto installed = parts.values.get(Phase::set, Point::spring_installed_length);
    if (!installed) return Error{ErrorCode::missing, "spring_installed_length", "set"};

    Length length = swap.length.now;
    if (read) {
        const auto [old_tube, new_tube] = fork_lengths(parts.values);
        const Length tube = parts.kind == SwapKind::fork ? new_tube : old_tube;
        length = rear ? mm(*read) : tube - mm(*read);
    }
    return std::pair(length, mm(*installed));
}

constexpr std::array<Point, 3> height_points = {Point::ride_height_topped_out, Point::ride_height_static,
                                                Point::ride_height_rider};  // by State

}  // namespace

Result<HeightMap> map_of(const BikeBody& bike, End end) {
    const EndSetup& setup = bike.setup(end);
    if (end == End::rear && bike.mechanism.linkage && bike.geometry.swingarm) {
        const auto linkage = LinkageMap::of(*bike.mechanism.linkage);
        // One that does not close yet, half typed, is none.
        if (linkage) return HeightMap::linkage(*linkage, *bike.geometry.swingarm);
    }
    if (setup.pairs.size() >= 2) return HeightMap::pairs(setup.pairs);
    if (setup.leverage) return HeightMap::leverage(*setup.leverage);
    if (end == End::front && bike.geometry.rake) return HeightMap::leverage(cos(*bike.geometry.rake));
    return Error{ErrorCode::missing, "leverage", end == End::rear ? "rear" : "front"};
}

Result<CaseInput> case_of(const Bike& bike, const Swap& swap) {
    const Result<Parts> parts = parts_of(bike, swap);
    if (!parts) return parts.error();
    return CaseInput{make(*parts, parts->values), parts->inputs};
}

Result<SureAnswer> answer_of(const Bike& bike, const Swap& swap) {
    const Result<Parts> parts = parts_of(bike, swap);
    if (!parts) return parts.error();
    return sure_answer(make(*parts, parts->values), parts->inputs, remake_of(*parts));
}

Result<Prediction> prediction_as_set(const Bike& bike, const Swap& swap) {
    const Result<Parts> parts = parts_of(bike, swap);
    if (!parts) return parts.error();
    const auto set = as_set(*parts);
    if (!set) return set.error();
    const SwapCase swap_case = make(*parts, parts->values);
    if (const Outcome plausible = validate(swap_case); !plausible) return plausible.error();
    return predict(swap_case, set->first, set->second);
}

Result<CheckResult> check_of(const Bike& bike, const Swap& swap) {
    const Result<Prediction> predicted = prediction_as_set(bike, swap);
    if (!predicted) return predicted.error();
    CheckInput input{{}, {}, *predicted, bike.body.setup(end_of(swap.kind)).tolerance};
    if (const auto input_case = case_of(bike, swap))
        if (const Result<Answer> answer = restore(input_case->swap_case))
            input.promised = answer->predicted_detent;
    for (std::size_t i = 0; i < height_points.size(); ++i) {
        const Take* before = swap.take(Phase::before, height_points[i]);
        const Take* after = swap.take(Phase::check, height_points[i]);
        if (before) input.before[i] = measured(before->reading);
        if (after) input.after[i] = measured(after->reading);
        input.same_instrument[i] = before && after && before->reading.instrument == after->reading.instrument;
    }
    return judge(input);
}

Result<Answer> correction_of(const Bike& bike, const Swap& swap) {
    const Result<Parts> parts = parts_of(bike, swap);
    if (!parts) return parts.error();
    const auto set = as_set(*parts);
    if (!set) return set.error();
    for (const Point point : missing(swap, Phase::check))
        return Error{ErrorCode::missing, std::string(facts(point).key), "check"};
    Checked checked{set->first, set->second, {}, {}, {}};
    const auto height = [&](Point point) -> std::optional<Length> {
        const auto v = parts->values.get(Phase::check, point);
        return v ? std::optional(mm(*v)) : std::nullopt;
    };
    checked.topped_out = height(Point::ride_height_topped_out);
    checked.static_ = height(Point::ride_height_static);
    checked.rider = height(Point::ride_height_rider);
    return correct(make(*parts, parts->values), checked);
}

}  // namespace restand
