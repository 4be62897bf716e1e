#pragma once
// Drawing primitives: lines, arcs and the few small symbols that every part uses, as polylines in mm.
// Arcs are divided into chords of at most 3°; the corners are not visible on a screen.
//
// Strokes are drawn back to front: a filled outline hides what was drawn before it.

#include <span>

#include "app/views/bike_drawing.h"
#include "app/views/drawing/vec.h"

namespace restand::drawing {

inline constexpr double step_rad = 3.0 * pi / 180.0;  // largest chord of an arc

struct Style {
    Line line = Line::wide;
    Ink ink = Ink::ink;
    bool filled = false;
};
inline constexpr Style thin = {Line::narrow, Ink::quiet};
inline constexpr Style axis_line = {Line::axis, Ink::quiet};

class Pen {
public:
    explicit Pen(BikePicture& picture) : picture_(picture) {}

    void line(Vec2 a, Vec2 b, Style style);
    void open(std::vector<Vec2> points, Style style);
    void outline(std::vector<Vec2> points, Style style);  // closed
    void outline(const Place& place, std::span<const Vec2> local, Style style);
    void circle(Vec2 centre, double radius, Style style);
    void arc(Vec2 centre, double radius, double from_rad, double to_rad, Style style);  // counter-clockwise
    void capsule(Vec2 a, Vec2 b, double radius, Style style);                      // a bar with round ends
    void bar(const Place& place, double u0, double u1, double half, Style style);  // rectangle about u
    void centre_cross(Vec2 centre, double half);                                   // two axis lines
    void mark(Vec2 at, Ink ink);                              // the fixed mark on the body
    void ground(double x0, double x1, double y0, double y1);  // with a few hatch ticks below

    void joint(Vec2 at, double radius);  // tags keep off it
    void spot(Point point, Vec2 at);
    void dimension(Point point, Vec2 a, Vec2 b, double offset);
    void spot(BikeField field, Vec2 at);
    void dimension(BikeField field, Vec2 a, Vec2 b, double offset);
    void way(Point point, Vec2 along);   // unit vector in which the number increases
    void trail(Vec2 axis, Vec2 contact);  // both on the ground
    void view(Vec2 low, Vec2 high);  // shown after the view is reset

private:
    BikePicture& picture_;
};

// A line broken off by hand from a to b (ISO 128: continuous narrow, irregular), both ends included.
std::vector<Vec2> broken(Vec2 a, Vec2 b);

// A curve through the points, for bodywork; open.
std::vector<Vec2> smooth(std::span<const Vec2> through);

// Corners rounded with `radius` (less where a side is too short for it); for outlines.
std::vector<Vec2> rounded(std::span<const Vec2> corners, double radius);

}  // namespace restand::drawing
