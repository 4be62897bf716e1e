#pragma once
// How sure is an answer? One way for a swap's readings and for a case file.
//
// Two questions with one set of inputs: how well is the setting known (length, installed length: the case is
// solved again for each input), and how well the heights at the setting that was answered (predicted again
// with the setting held, because that is what will stand on the bike).

#include <functional>
#include <span>

#include "core/ledger/swap_answer.h"

namespace restand {

// The case with other input values, in the order of `inputs`.
using Remake = std::function<Result<SwapCase>(std::span<const double> values)>;

// Errors as restore(). Without inputs the Uncertain values stay empty.
Result<UncertainAnswer> uncertain_answer(const SwapCase& swap, std::span<const Input> inputs, const Remake& remake);

}  // namespace restand
