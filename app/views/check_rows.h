#pragma once
// What a check found, as rows: after a swap, and at the end of a way back.

#include <functional>

#include "app/app_state.h"
#include "app/views/row.h"
#include "core/ledger/swap_solution.h"
#include "core/restore/verdict.h"

namespace restand {

void verdict_row(Verdict verdict, std::vector<Row>& rows);
// Of each end of the swap whose coils touch before full travel as it is set.
void coil_rows(const AppState& state, const SwapSolution& solution, std::vector<Row>& rows);
// Why an end cannot be told: the readings before were too few, so that none at the check helps; or a single
// reading counts for little, because its reader's repeats scattered more than is usual.
void untold_rows(const AppState& state, const CheckResult& result, Length tolerance,
                 const std::function<const StoredReading*(Point)>& read, std::vector<Row>& rows);
// Each height: what it was to be, what it is, the difference and its uncertainty.
void height_rows(const AppState& state, const CheckResult& result, Length tolerance, std::vector<Row>& rows);
// What no setting makes: one loaded height alone is off, or every height alike.
void pattern_rows(const AppState& state, const CheckResult& check, std::vector<Row>& rows);

}  // namespace restand
