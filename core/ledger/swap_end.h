#pragma once
// One end of a swap solved: what to set, what was set, what the check says, the correction. Inside
// core/ledger only.

#include "core/ledger/swap_case.h"
#include "core/ledger/swap_solution.h"

namespace restand {

EndSolution solve_end(const CaseReadings& read);
EndSolution unsolved_end(End end, const Error& why);

}  // namespace restand
