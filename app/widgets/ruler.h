#pragma once
// The step ruler: a steel rule with engraved ticks and a pointer at the step one is at.

#include "app/widgets/canvas.h"

namespace restand {

/// Room it wants across: its width when upright, its height when lying. px
float ruler_size(const Canvas& canvas, const Ruler& ruler, bool upright, float along);
void draw_ruler(Canvas& canvas, const Ruler& ruler, const Rect& area, bool upright);

}  // namespace restand
