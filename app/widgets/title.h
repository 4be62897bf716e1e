#pragma once
// The title line, and the strip under the drawing: its caption, or a notice with Undo.

#include "app/views/page_view.h"
#include "app/widgets/canvas.h"

namespace restand {

void draw_title(Canvas& canvas, const PageView& view, const Rect& area);
/// What the cursor of a plot reads, in the caption's place.
void draw_readout(Canvas& canvas, const std::string& words, const Rect& area);
void draw_caption(Canvas& canvas, const Drawing& drawing, const Rect& area);
void draw_notice(Canvas& canvas, const Notice& notice, const Rect& area);

}  // namespace restand
