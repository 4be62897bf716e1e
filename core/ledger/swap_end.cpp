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
Result<CheckResult> checked(const CaseReadings& read, const Result<Prediction>& as_set,
                            const Result<SwapCase>& swap_case, const Result<Answer>& answer) {
    if (!as_set) return as_set.error();
    if (!swap_case) return swap_case.error();
    CheckInput input{{}, {}, *as_set, read.site.bike.setup(read.end).tolerance};
    if (answer) input.promised = answer->predicted_detent;
    for (std::size_t i = 0; i < ride_heights.size(); ++i) {
        const StoredReading* before = read.swap().stored({Phase::before, read.end, ride_heights[i]});
        const StoredReading* after = read.swap().stored({Phase::check, read.end, ride_heights[i]});
        if (before) input.before[i] = measured(before->reading);
        if (before) input.before[i]->value += swap_case->raise.value;
        if (after) input.after[i] = measured(after->reading);
        input.same_instrument[i] = before && after && before->reading.instrument == after->reading.instrument;
    }
    return judge(input);
}

Result<Answer> corrected(const CaseReadings& read, const Result<SwapCase>& as_set,
                         const Result<LengthsSet>& set) {
    if (!as_set) return as_set.error();
    if (!set) return set.error();
    for (const ReadAt& spot : missing(read.swap(), Phase::check))
        if (spot.end == read.end)
            return Error{ErrorCode::missing, std::string(facts(spot.point).key), "check"};
    return correct(*as_set, {.length = set->length,
                             .installed_length = set->installed,
                             .topped_out = read.values.maybe(Phase::check, Point::ride_height_topped_out),
                             .static_ = read.values.maybe(Phase::check, Point::ride_height_static),
                             .rider = read.values.maybe(Phase::check, Point::ride_height_rider)});
}

}  // namespace

EndSolution unsolved_end(End end, const Error& why) {
    return {end, why, why, why, why, why};
}

EndSolution solve_end(const CaseReadings& read) {
    const Result<SwapCase> swap_case = case_as_answered(read), as_set = case_as_set(read, swap_case);
    const Result<LengthsSet> set = as_set ? lengths_set(read, *as_set) : Result<LengthsSet>(as_set.error());
    const Result<Answer> answer = swap_case ? restore(*swap_case) : Result<Answer>(swap_case.error());
    const Result<Prediction> predicted = predicted_as_set(as_set, set);
    return {.end = read.end,
            .input = swap_case ? Result<CaseInput>(CaseInput{*swap_case, read.inputs}) : swap_case.error(),
            .answer = answer,
            .as_set = predicted,
            .check = checked(read, predicted, swap_case, answer),
            .correction = corrected(read, as_set, set)};
}

}  // namespace restand
