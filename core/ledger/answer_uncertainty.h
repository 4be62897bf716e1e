#pragma once
// The uncertainty of an answer, for a swap's readings and for a case file alike.
//
// Two questions with one set of inputs: how well is the setting known (length, installed length: the case is
// solved again for each input), and how well are the heights known at the setting that was answered
// (predicted again with the setting held, because that is what will stand on the bike).

#include <array>
#include <functional>
#include <span>

#include "core/measure/uncertainty.h"
#include "core/restore/restore.h"

namespace restand {

// Each Uncertain names the inputs behind it (budget order).
struct UncertainAnswer {
    Answer answer;
    std::optional<Uncertain> length, installed_length, preload;   // of the setting
    std::optional<Uncertain> rider, static_, topped_out;          // heights at the setting
    // Heights at the setting less those before, by State: what a height read before has in common with the
    // one predicted cancels.
    std::array<std::optional<Uncertain>, 3> change;
};
// The change of the height that must hold: rider, else static, else topped out. Its budget says which input
// would narrow the answer most. nullptr: nothing is uncertain.
const Uncertain* must_hold_change(const UncertainAnswer& answer);

// The case with other input values, in the order of `inputs`.
using Remake = std::function<Result<SwapCase>(std::span<const double> values)>;

// Without inputs the Uncertain values stay empty. `nominal`: the case's own answer. Errors as restore().
Result<UncertainAnswer> uncertain_answer(const Answer& nominal, std::span<const Input> inputs,
                                         const Remake& remake);
Result<UncertainAnswer> uncertain_answer(const SwapCase& swap, std::span<const Input> inputs,
                                         const Remake& remake);

}  // namespace restand
