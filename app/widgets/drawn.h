#pragma once
// What a frame put where, for tests: every text, touch target, tag, joint and panel.

#include <string>

#include "app/widgets/rect.h"

namespace restand {

struct Drawn {
    enum class Kind { text, touch, tag, panel, joint, handle } kind = Kind::text;
    std::string id;                    ///< of a touch, tag or panel; of a text: the id of what it stands in
    float x = 0, y = 0, w = 0, h = 0;  ///< px; a text from the caps' top to under its tails
    float clip_x = 0, clip_y = 0, clip_w = 0, clip_h = 0;  ///< px; where it has to stay to be seen whole
    bool scrolls = false;  ///< in a list that scrolls: it may stand outside the glass, and be brought in
    std::string text{};
    float least_mm = 0;  ///< of a touch: the smallest side it may have
    Rect area() const { return {x, y, w, h}; }
    Rect clip() const { return {clip_x, clip_y, clip_w, clip_h}; }
};

}  // namespace restand
