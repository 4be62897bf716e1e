#pragma once
// The slip: a sheet of paper with a title, rows that scroll, cautions and the one primary action.

#include <string>

#include "app/widgets/canvas.h"

namespace restand {

struct SidePanelUi {
    float scroll = 0;   ///< px, from the top
    std::string title;  ///< another slip starts at its top
    // Of the last frame.
    float content = 0;  ///< height of all rows, px
    Rect window;        ///< where they are seen
    bool scrolls() const { return content > window.h + 1; }
};

struct SidePanelLook {
    bool primary = true;  ///< false: the rows only (a pad stands in the primary's place)
    bool cautions = true;
    float widest_primary = 1e6f;  ///< px
};

void draw_side_panel(Canvas& canvas, const SidePanel& panel, const Primary& primary, const Rect& area, SidePanelUi& ui,
               const SidePanelLook& look = {});

/// The paper itself: shadow, ground, outline.
void draw_paper(Canvas& canvas, const Rect& area);

/// Scrolls so that `target`, one of its rows in the last frame, comes into sight; false when it is already.
bool bring_into_sight(SidePanelUi& ui, const Rect& target, float margin);

/// Moves the rows by `dy` px, within what there is.
void scroll(SidePanelUi& ui, float dy);

}  // namespace restand
