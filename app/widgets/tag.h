#pragma once
// One tag: name, value and unit, a small note; its frame shows its kind.

#include "app/widgets/canvas.h"

namespace restand {

struct TagSize {
    float w = 0, h = 0;
};

/// px; at least 24 × 12 mm. As wide as a usual number even when empty, so that typing does not move it.
TagSize tag_size(const Canvas& canvas, const Tag& tag, float scale);

/// box: read; rounded: set or predicted; open: warm, double frame; limit: framed twice; empty: three dashes.
void draw_tag(Canvas& canvas, const Tag& tag, const Rect& area, float scale);

}  // namespace restand
