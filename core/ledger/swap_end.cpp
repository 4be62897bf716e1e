#include "core/ledger/swap_end.h"

namespace restand {
namespace {

Result<Prediction> predicted_as_set(const Result<SwapCase>& as_set, const Result<LengthsSet>& set) {
    if (!as_set) return as_set.error();
    if (!set) return set.error();
    if (const Outcome plausible = validate(*as_set); !plausible) return plausible.error();
    return predict(*as_set, set->length, set->installed);
}

// The heights before and after, each with the instrument it was read with.
Result<CheckResult> checked(const SwapInputs& read, const Result<Prediction>& as_set,
                            const Result<SwapCase>& swap_case, const Result<Answer>& answer) {
    if (!as_set) return as_set.error();
    if (!swap_case) return swap_case.error();
    CheckInput input{{}, {}, *as_set, read.site.bike.setup(read.end).tolerance};
    if (answer) input.promised = answer->predicted_detent;
    for (const State state : all_states) {
        const auto i = static_cast<std::size_t>(state);
        const Slot before{Phase::before, ride_heights[i]};
        const StoredReading* after = read.swap().stored({Phase::check, read.end, ride_heights[i]});
        input.before[i] = read.height_before(state);
        if (input.before[i]) input.before[i]->value += swap_case->raise.value;
        if (!input.before[i] || !after) continue;
        input.after[i] = measured(after->reading);
        const SwapInput* known = read.find(before);
        input.same_instrument[i] = !known->beside && known->instrument == after->reading.instrument;
    }
    return judge(input);
}

// A height on the spring was read again, and before.
bool judged_by_load(const SwapInputs& read) {
    const auto both = [&](State state) {
        return read.height_before(state) &&
               read.values.get(Phase::check, ride_heights[static_cast<std::size_t>(state)]);
    };
    return both(State::static_) || both(State::rider);
}

Result<Answer> corrected(const SwapInputs& read, const Result<SwapCase>& as_set,
                         const Result<LengthsSet>& set) {
    if (!as_set) return as_set.error();
    if (!set) return set.error();
    for (const ReadAt& spot : unread(read.site, Phase::check))
        if (spot.end == read.end && is_ride_height(spot.point) && !judged_by_load(read))
            return Error{ErrorCode::missing, std::string(facts(spot.point).key), "check"};
    // A height that was assumed before is no aim.
    const auto again = [&](State state) {
        return read.height_before(state)
                   ? read.values.maybe(Phase::check, ride_heights[static_cast<std::size_t>(state)])
                   : std::nullopt;
    };
    return correct(*as_set, {.length = set->length,
                             .installed_length = set->installed,
                             .topped_out = again(State::topped_out),
                             .static_ = again(State::static_),
                             .rider = again(State::rider)});
}

}  // namespace

Result<CaseInput> case_input(const SwapInputs& in, const Result<SwapCase>& swap_case) {
    if (!swap_case) return swap_case.error();
    // Where the swap leaves the spring, it is the old one's free length that counts.
    const Phase phase =
        replaces(in.swap(), in.end, Point::spring_free_length) ? Phase::new_part : Phase::before;
    const bool known = in.values.get(phase, Point::spring_free_length) ||
                       in.values.get(phase, Point::spring_installed_length);
    return CaseInput{*swap_case, in.list, known};
}

EndSolution unsolved_end(End end, const Error& why) {
    return {end, why, why, why, why, why};
}

EndSolution solve_end(const SwapInputs& read) {
    const Result<SwapCase> swap_case = case_as_answered(read), as_set = case_as_set(read, swap_case);
    const Result<LengthsSet> set = as_set ? lengths_set(read, *as_set) : Result<LengthsSet>(as_set.error());
    const Result<Answer> answer = swap_case ? restore(*swap_case) : Result<Answer>(swap_case.error());
    const Result<Prediction> predicted = predicted_as_set(as_set, set);
    return {.end = read.end,
            .input = case_input(read, swap_case),
            .answer = answer,
            .as_set = predicted,
            .check = checked(read, predicted, swap_case, answer),
            .correction = corrected(read, as_set, set)};
}

}  // namespace restand
