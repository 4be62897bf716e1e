#pragma once
// Automatic placement of tags. A tag never covers a joint, another tag or a blocked area, and never leaves
// the zone. Otherwise: close to its point, over few lines, leaders apart.
//
// Search: candidates on a grid (and along a dimension line), greedy in the given order, then sweeps that
// place each tag again with the others standing, until nothing moves. Lines covered are counted in a
// summed-area table. Same input, same places. Lengths in pixels; costs in millimetres of leader.

#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "app/widgets/rect.h"

namespace restand {

struct Spot {
    float x = 0, y = 0;
    friend bool operator==(const Spot&, const Spot&) = default;
};

/// The part of a segment inside `r`, as shares of its length: first at `a`; nullopt: it lies outside.
std::optional<std::pair<float, float>> part_inside(const Rect& r, Spot a, Spot b);

/// Lines already drawn, coarse: one cell a millimetre.
class InkMap {
public:
    void reset(const Rect& zone, float cell_px);
    void line(Spot a, Spot b, float weight);
    void finish();  ///< makes the table; before the first `cover`
    /// Sum of weights of the cells under `area`.
    float cover(const Rect& area) const;

private:
    Rect zone_;
    float cell_ = 1;
    int columns_ = 0, rows_ = 0;
    std::vector<float> sums_;  // (columns + 1) × (rows + 1)
};

struct TagRoom {
    float w = 0, h = 0;
    Spot a;                 ///< what it names, or one end of its dimension line
    std::optional<Spot> b;  ///< the line's other end
    bool first = false;     ///< placed before the others (the one being filled)
};

struct TagGround {
    Rect zone;
    std::vector<Rect> blocked;  ///< guide, keys
    std::vector<Rect> joints;
    const InkMap* ink = nullptr;
    float mm = 1;  ///< px
};

/// One place per tag; empty where no place was found.
std::vector<std::optional<Rect>> place_tags(std::span<const TagRoom> tags, const TagGround& ground);

/// True if no part of `area` is forbidden; `others` are the tags already placed.
bool is_free(const Rect& area, const TagGround& ground, std::span<const std::optional<Rect>> others,
             std::size_t self);

/// Where the leader of a tag at `area` starts and ends; equal when the tag lies on its dimension line.
struct Leader {
    Spot from, to;
    float length() const;
};
Leader leader_of(const Rect& area, const TagRoom& tag);

}  // namespace restand
