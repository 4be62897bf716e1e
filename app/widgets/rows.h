#pragma once
// The rows of a side panel. A dry draw measures each row, so that measured and drawn heights agree.

#include <span>

#include "app/widgets/canvas.h"

namespace restand {

/// Draws the rows from `top` down in a column `width` wide; their height in px, without a gap at the end.
float draw_rows(Canvas& canvas, std::span<const Row> rows, float x, float top, float width);

}  // namespace restand
