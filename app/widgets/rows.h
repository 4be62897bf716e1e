#pragma once
// The rows of a side panel. A dry draw measures each row, so that measured and drawn heights agree.

#include <span>

#include "app/views/row.h"
#include "app/widgets/canvas.h"

namespace restand {

struct RowsLook {
    bool flows = false;        ///< where there is room, in two or three columns, filled one after the other
    bool wide_panel = false;  ///< buttons, and large numbers, that follow each other stand in two columns
};
/// Draws the rows from `top` down, `width` wide; their height in px, without a gap at the end.
float draw_rows(Canvas& canvas, std::span<const Row> rows, float x, float top, float width,
                const RowsLook& look = {});

}  // namespace restand
