#pragma once
// A rectangle in the viewport, in pixels from the top left.

#include <algorithm>

namespace restand {

struct Rect {
    float x = 0, y = 0, w = 0, h = 0;
    float right() const { return x + w; }
    float bottom() const { return y + h; }
    float middle_x() const { return x + w / 2; }
    float middle_y() const { return y + h / 2; }
    bool contains(float px, float py) const { return px >= x && px < right() && py >= y && py < bottom(); }
    bool overlaps(const Rect& o) const {
        return x < o.right() && o.x < right() && y < o.bottom() && o.y < bottom();
    }
    /// Smaller by `by` on each side; never of negative size.
    Rect inset(float by) const { return inset(by, by); }
    Rect inset(float dx, float dy) const {
        return {x + dx, y + dy, std::max(0.0f, w - 2 * dx), std::max(0.0f, h - 2 * dy)};
    }
    /// True if all of `o` lies inside, within 0.1 px.
    bool holds(const Rect& o) const {
        return o.x >= x - 0.1f && o.y >= y - 0.1f && o.right() <= right() + 0.1f &&
               o.bottom() <= bottom() + 0.1f;
    }
    Rect both(const Rect& o) const {
        const float l = std::max(x, o.x), t = std::max(y, o.y);
        return {l, t, std::max(0.0f, std::min(right(), o.right()) - l),
                std::max(0.0f, std::min(bottom(), o.bottom()) - t)};
    }
    friend bool operator==(const Rect&, const Rect&) = default;
};

}  // namespace restand
