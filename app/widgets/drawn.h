#pragma once
// What a frame drew where, for tests: every text, touch target, tag, joint and panel.

#include <string>

#include "app/widgets/rect.h"

namespace restand {

struct Drawn {
    enum class Kind { text, touch, tag, panel, joint, handle, hint } kind = Kind::text;
    std::string id;                    ///< of a touch, tag or panel; for a text, the id of its container
    float x = 0, y = 0, w = 0, h = 0;  ///< px; a text: from capital height to descender
    float clip_x = 0, clip_y = 0, clip_w = 0, clip_h = 0;  ///< px; wholly visible only inside this
    int list = 0;  ///< the scrolling list it is in: it may be outside the viewport until scrolled to; 0: none
    std::string text{};
    float least_mm = 0;  ///< of a touch: smallest allowed side length
    float cap = 0;       ///< of a text: height of its capitals, px
    Rect area() const { return {x, y, w, h}; }
    Rect clip() const { return {clip_x, clip_y, clip_w, clip_h}; }
};

}  // namespace restand
