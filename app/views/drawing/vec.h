#pragma once
// Plane vectors of the drawing, and the local frames its parts are drawn in. Millimetres, x right, y up.
//
//        v                   Place: `at` is the local origin, `along` the local u axis (a unit vector);
//        |                   v is u turned left by 90°. A shock, a fork leg and a swingarm are all drawn
//   at --+----> u            along u and put where they belong.

#include <cmath>

#include "app/views/drawing.h"

namespace restand::drawing {

constexpr Vec2 operator+(Vec2 a, Vec2 b) {
    return {a.x + b.x, a.y + b.y};
}
constexpr Vec2 operator-(Vec2 a, Vec2 b) {
    return {a.x - b.x, a.y - b.y};
}
constexpr Vec2 operator*(Vec2 a, double s) {
    return {a.x * s, a.y * s};
}
constexpr Vec2 left_of(Vec2 a) {
    return {-a.y, a.x};
}
constexpr double dot(Vec2 a, Vec2 b) {
    return a.x * b.x + a.y * b.y;
}
inline double length(Vec2 a) {
    return std::hypot(a.x, a.y);
}
inline Vec2 heading(double radians) {
    return {std::cos(radians), std::sin(radians)};
}

// The direction from a to b, or `otherwise` where they are the same point.
inline Vec2 direction(Vec2 a, Vec2 b, Vec2 otherwise = {1, 0}) {
    const double l = length(b - a);
    return l > 1e-9 ? (b - a) * (1 / l) : otherwise;
}

struct Place {
    Vec2 at;
    Vec2 along = {1, 0};
    constexpr Vec2 operator()(double u, double v) const { return at + along * u + left_of(along) * v; }
    constexpr Place moved(double u, double v) const { return {(*this)(u, v), along}; }
};

}  // namespace restand::drawing
