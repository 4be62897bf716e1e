#pragma once
// A swap in a case of format 2: the parts, and the readings of its four steps, on the bike of the case. It is
// solved by the functions that the app uses: what the swap did not read is as the bike stands, or assumed
// within its range (ledger/swap_inputs.h). case.md lists every key.

#include "core/casefile/case_json.h"
#include "core/casefile/ledger_case.h"
#include "core/ledger/swap_solution.h"

namespace restand {

struct LedgerSwap {
    LedgerCase in_case;
    Swap swap;
    // A reading without an instrument has the usual one. A computed height counts as not read.
    SetUp stood{}, described{};
    SwapSite site() const { return {in_case.bike, swap, stood, described}; }
};

// True if the text is a case of format 2 with a swap in it.
bool is_ledger_swap(std::string_view text);
// Errors: as read_ledger_case(); a bike outside the ranges of format 1.
Result<LedgerSwap> read_ledger_swap(std::string_view text);
// One end as a case of format 1 is, for the same printers; `end` has an input.
CaseFile end_case(const LedgerSwap& of, const EndSolution& end);
// What the solution of an end misses or refuses, by its place in the file.
Error in_swap(Error error, const LedgerSwap& of, End end);

}  // namespace restand
