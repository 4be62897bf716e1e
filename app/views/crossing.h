#pragma once

namespace restand {

// True if the segments ab and pq cross inside both; false where they only touch. `Spot` has x and y.
template <class Spot>
bool segments_cross(Spot a, Spot b, Spot p, Spot q) {
    const auto side = [](Spot u, Spot v, Spot w) {
        return (v.x - u.x) * (w.y - u.y) - (v.y - u.y) * (w.x - u.x);
    };
    return side(a, b, p) * side(a, b, q) < 0 && side(p, q, a) * side(p, q, b) < 0;
}

}  // namespace restand
