#include "core/ledger/swap_end.h"

#include <cmath>

namespace restand {
namespace {

Result<Prediction> predicted_as_set(const Result<SwapCase>& as_set, const Result<LengthsSet>& set) {
    if (!as_set) return as_set.error();
    if (!set) return set.error();
    if (const Outcome plausible = validate(*as_set); !plausible) return plausible.error();
    return predict(*as_set, set->length, set->installed);
}

// What the load at the check does to the heights as they were set, with its standard uncertainty.
struct HeightShift {
    std::array<Length, 3> by{}, u{};
};
HeightShift shift_of(const SwapCase& as_set, const LengthsSet& set, const LoadChange& load) {
    HeightShift shift;
    if (!load.any()) return shift;
    SwapCase loaded = as_set, warmer = as_set;
    for (std::size_t i = 0; i < loaded.more_load.size(); ++i) loaded.more_load[i] += load.by[i];
    if (load.damper) {
        GasTemperatures more = *load.damper;
        more.now_c += load.damper_u;
        if (const auto gas = at_temperature(as_set.new_unit.gas, *load.damper)) loaded.new_unit.gas = *gas;
        warmer = loaded;
        if (const auto gas = at_temperature(as_set.new_unit.gas, more)) warmer.new_unit.gas = *gas;
    }
    const auto at_set = [&set](const SwapCase& c) { return predict(c, set.length, set.installed); };
    const Prediction was = at_set(as_set), is = at_set(loaded), by_u = at_set(load.damper ? warmer : loaded);
    for (const State state : {State::static_, State::rider}) {
        const auto i = static_cast<std::size_t>(state);
        if (!was.at(state) || !is.at(state)) continue;
        shift.by[i] = is.at(state)->height - was.at(state)->height;
        const Length by_damper = by_u.at(state) ? by_u.at(state)->height - is.at(state)->height : mm(0);
        shift.u[i] = mm(std::hypot(in_mm(load.u[i] / is.at(state)->wheel_rate), in_mm(by_damper)));
    }
    return shift;
}

// What the readings after the swap are held against.
struct AsSet {
    Result<SwapCase> swap_case;
    Result<LengthsSet> lengths;
    Result<Prediction> predicted;
    HeightShift shift{};
};

// The heights before and after, each with the instrument it was read with.
Result<CheckResult> checked_heights(const SwapInputs& read, const AsSet& as_set,
                                    const Result<SwapCase>& swap_case, const Result<Answer>& answer) {
    if (!as_set.predicted) return as_set.predicted.error();
    if (!swap_case) return swap_case.error();
    CheckInput input{{}, {}, *as_set.predicted, read.site.bike.setup(read.end).tolerance};
    if (answer) input.promised = answer->predicted_detent;
    for (const State state : all_states) {
        const auto i = static_cast<std::size_t>(state);
        const StoredReading* after = read.swap().stored({Phase::check, read.end, ride_heights[i]});
        input.before[i] = read.height_before(state);
        if (!input.before[i]) continue;
        input.before[i]->value += in_mm(swap_case->raise + as_set.shift.by[i]);
        input.before[i]->u = std::hypot(input.before[i]->u, in_mm(as_set.shift.u[i]));
        if (auto& standing = input.predicted.standing[i]) standing->height += as_set.shift.by[i];
        if (!after) continue;
        input.after[i] = measured(after->reading);
        const SwapInput* known = read.find({Phase::before, ride_heights[i]});
        input.same_instrument[i] = !known->beside && known->instrument == after->reading.instrument;
    }
    CheckResult result = judge(input);
    // Rates that nobody read may put static and rider apart by themselves.
    const auto unread = [&read](Phase phase) {
        const SwapInput* rate = read.find({phase, Point::spring_rate});
        return rate && rate->origin == Origin::assumed;
    };
    if (unread(Phase::before) || unread(Phase::new_part)) result.alone.reset();
    // So does a tube of unknown length to all of them.
    const SwapInput* tube = read.find({Phase::new_part, Point::fork_length});
    if (tube && tube->origin == Origin::assumed) result.all_off.reset();
    return result;
}

// A height on the spring was read again, and before.
bool judged_by_load(const SwapInputs& read) {
    const auto both = [&](State state) {
        return read.height_before(state) && read.values.get(Phase::check, height_point(state));
    };
    return both(State::static_) || both(State::rider);
}

Result<Answer> corrected(const SwapInputs& read, const AsSet& as_set) {
    if (!as_set.predicted) return as_set.predicted.error();
    for (const ReadAt& spot : unread(read.site, Phase::check))
        if (spot.end == read.end && is_ride_height(spot.point) && !judged_by_load(read))
            return Error{ErrorCode::missing, std::string(facts(spot.point).key), "check"};
    // As it would stand with the load of before. A height that was assumed before is no aim.
    const auto again = [&](State state) -> std::optional<Length> {
        const auto i = static_cast<std::size_t>(state);
        const auto height = read.values.maybe(Phase::check, ride_heights[i]);
        return height && read.height_before(state) ? std::optional(*height - as_set.shift.by[i])
                                                   : std::nullopt;
    };
    return correct(*as_set.swap_case, {.length = as_set.lengths->length,
                                       .installed_length = as_set.lengths->installed,
                                       .topped_out = again(State::topped_out),
                                       .static_ = again(State::static_),
                                       .rider = again(State::rider)});
}

}  // namespace

Result<CaseInput> case_input(const SwapInputs& in, const Result<SwapCase>& swap_case) {
    if (!swap_case) return swap_case.error();
    return CaseInput{*swap_case, in.list, is_free_length_known(in)};
}

EndSolution unsolved_end(End end, const Error& why) {
    return {end, why, why, why, why, why};
}

EndSolution solve_end(const SwapInputs& read) {
    const Result<SwapCase> swap_case = case_as_answered(read), set_case = case_as_set(read, swap_case);
    const Result<LengthsSet> lengths =
        set_case ? lengths_set(read, *set_case) : Result<LengthsSet>(set_case.error());
    const LoadChange load = load_change(read);
    AsSet as_set{set_case, lengths, predicted_as_set(set_case, lengths)};
    if (as_set.predicted) as_set.shift = shift_of(*set_case, *lengths, load);
    const Result<Answer> answer = swap_case ? restore(*swap_case) : Result<Answer>(swap_case.error());
    return {.end = read.end,
            .input = case_input(read, swap_case),
            .answer = answer,
            .as_set = as_set.predicted,
            .check = checked_heights(read, as_set, swap_case, answer),
            .correction = corrected(read, as_set),
            .load = load,
            .load_shift = as_set.shift.by};
}

}  // namespace restand
