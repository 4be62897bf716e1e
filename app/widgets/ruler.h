#pragma once
// The step ruler: a steel rule with engraved ticks and a pointer at the current step.

#include "app/views/page_view.h"
#include "app/widgets/canvas.h"

namespace restand {

/// Thickness in px: width when upright, height when horizontal.
float ruler_size(const Canvas& canvas, const Ruler& ruler, bool upright, float along);
void draw_ruler(Canvas& canvas, const Ruler& ruler, const Rect& area, bool upright);

}  // namespace restand
