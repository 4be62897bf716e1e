#pragma once
// Positions of title, ruler, drawing and side panel in the viewport. Landscape: side by side. Portrait:
// stacked. On a page without a drawing the side panel takes the whole area.

#include "app/host.h"
#include "app/views/page_view.h"
#include "app/widgets/canvas.h"

namespace restand {

struct Zones {
    Rect title, ruler, drawing, panel, pad;  ///< width 0 if absent
    Rect table;                             ///< beside a panel, or the whole page
    bool table_under = false;               ///< the table stands under the drawing, or in its place
    bool flows = false;                     ///< the panel is wide: its rows in columns
    Rect strip;                             ///< caption or notice
    bool upright_ruler = true;
    float widest_primary = 1e6f;  ///< px, in the side panel
};

Zones zones_of(const Canvas& canvas, const PageView& view, const Viewport& viewport);

}  // namespace restand
