#pragma once
// A table of the page: filters, a heading that stays, lines that scroll, and the keys below.

#include "app/views/page_view.h"
#include "app/widgets/side_panel.h"

namespace restand {

/// The whole page: filters above, secondary keys and the primary below. Returns the room of the foot's words,
/// which are left out where a notice takes it.
Rect draw_table_page(Canvas& canvas, const PageTable& table, const Primary& primary, const Rect& area,
                     SidePanelUi& ui, bool notice);
/// Heading and lines alone, for a table under a drawing; they scroll where they do not fit.
void draw_table_under(Canvas& canvas, const PageTable& table, const Rect& area, SidePanelUi& ui);

}  // namespace restand
