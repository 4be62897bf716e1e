#pragma once
// Where title, ruler, drawing and slip go on this glass. Landscape side by side, portrait stacked; a sheet
// without a drawing gives the slip all of it.

#include "app/host.h"
#include "app/widgets/canvas.h"

namespace restand {

struct Zones {
    Rect title, ruler, drawing, panel, pad;  ///< of no width where there is none
    Rect strip;                             ///< caption or notice
    bool upright_ruler = true;
    float widest_primary = 1e6f;  ///< px, in the slip
};

Zones zones_of(const Canvas& canvas, const PageView& view, const Viewport& viewport);

}  // namespace restand
