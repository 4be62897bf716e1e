#pragma once
// One end of a swap solved: what to set, what was set, what the check says, the correction. Inside
// core/ledger only.

#include "core/ledger/swap_case.h"
#include "core/ledger/swap_solution.h"

namespace restand {

EndSolution solve_end(const SwapInputs& in);
// The case with what it was made of. Error: that of the case.
Result<CaseInput> case_input(const SwapInputs& in, const Result<SwapCase>& swap_case);
EndSolution unsolved_end(End end, const Error& why);

}  // namespace restand
