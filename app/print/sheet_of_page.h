#pragma once
// What a table page or a plot page shows, as a page of paper: the same lines, columns and curves.

#include "app/print/sheet_pdf.h"
#include "app/views/page_view.h"

namespace restand {

// `made_ms`: UTC.
SheetPage sheet_of_page(const PageView& page, std::int64_t made_ms, int utc_offset_min);
// Leaves out the last quarter of the longest table's lines and says how many are missing; false: nothing is
// left to leave out.
bool shorten(SheetPage& page);

}  // namespace restand
