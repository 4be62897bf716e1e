#pragma once
// The uncertainty of an answer, for a swap's readings and for a case file alike.
//
// Two questions with one set of inputs: how well is the setting known (length, installed length: the case is
// solved again for each input), and how well are the heights known at the setting that was answered
// (predicted again with the setting held, because that is what will stand on the bike).

#include <functional>
#include <span>

#include "core/measure/uncertainty.h"
#include "core/restore/restore.h"

namespace restand {

// Each Uncertain names the readings behind it (budget order). Of the predicted setting.
struct UncertainAnswer {
    Answer answer;
    std::optional<Uncertain> length, installed_length, rider, static_, topped_out;
};

// The case with other input values, in the order of `inputs`.
using Remake = std::function<Result<SwapCase>(std::span<const double> values)>;

// Without inputs the Uncertain values stay empty. `nominal`: the case's own answer. Errors as restore().
Result<UncertainAnswer> uncertain_answer(const Answer& nominal, std::span<const Input> inputs,
                                         const Remake& remake);
Result<UncertainAnswer> uncertain_answer(const SwapCase& swap, std::span<const Input> inputs,
                                         const Remake& remake);

}  // namespace restand
