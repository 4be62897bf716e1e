#pragma once
// Content of the printed sheet: a recorded baseline, or the restore plan that leads back to one.
// Final strings, and lines in millimetres; app/print/sheet_pdf.h makes the PDF.
//
// The drawing is the whole bike from its right side, topped out, with the settings at their places; every
// value of the baseline stands in a table, with a blank beside it for today's.

#include "app/print/sheet_pdf.h"
#include "core/ledger/restore_plan.h"

namespace restand {

// `now_ms`: UTC, printed as the moment the sheet was made.
SheetPage sheet_of_baseline(const Ledger& ledger, const Baseline& baseline, std::int64_t now_ms,
                            int utc_offset_min);
// Numbered actions to tick, then what to measure and the values to expect. The drawing shows the target.
SheetPage sheet_of_plan(const Ledger& ledger, const Bike& bike, const PlanActions& plan, const SetUp& now,
                       const SetUp& target, std::int64_t now_ms, int utc_offset_min);

}  // namespace restand
