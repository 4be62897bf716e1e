#pragma once
// The side panel: a title, rows that scroll, cautions and the one primary action.

#include <string>

#include "app/views/page_view.h"
#include "app/widgets/canvas.h"

namespace restand {

struct SidePanelUi {
    float scroll = 0;   ///< px, from the top
    std::string title;  ///< a changed title resets the scroll to the top
    // Of the last frame.
    float content = 0;  ///< height of all rows, px
    Rect window;        ///< area in which rows are visible
    bool scrolls() const { return content > window.h + 0.1f; }
};

struct SidePanelLook {
    bool primary = true;  ///< false: the rows only (a pad stands in the primary's place)
    bool cautions = true;
    float widest_primary = 1e6f;  ///< px
    bool flows = false;           ///< a wide panel: its rows in columns, one after the other
};

void draw_side_panel(Canvas& canvas, const SidePanel& panel, const Primary& primary, const Rect& area,
                     SidePanelUi& ui, const SidePanelLook& look = {});

void draw_scroll_mark(Canvas& canvas, const SidePanelUi& ui, float x);

/// Background of the panel: shadow, fill, outline.
void draw_paper(Canvas& canvas, const Rect& area);

/// Scrolls so that `target`, one of its rows in the last frame, becomes visible; false when it already is.
bool bring_into_sight(SidePanelUi& ui, const Rect& target, float margin);

/// Scrolls the rows by `dy` px, limited to the content.
void scroll(SidePanelUi& ui, float dy);

}  // namespace restand
