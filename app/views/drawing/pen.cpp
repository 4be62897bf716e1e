#include "app/views/drawing/pen.h"

#include <algorithm>
#include <array>
#include <utility>

namespace restand::drawing {
namespace {

// Points of an arc by turning one radius step by step: two multiplications instead of a sine and a cosine.
void add_arc(std::vector<Vec2>& to, Vec2 centre, double radius, double from, double sweep) {
    const int steps = std::clamp(static_cast<int>(std::ceil(std::fabs(sweep) / step_rad - 1e-9)), 1, 120);
    const Vec2 turn = heading(sweep / steps);
    Vec2 r = heading(from) * radius;
    to.reserve(to.size() + static_cast<std::size_t>(steps) + 1);
    for (int i = 0; i <= steps; ++i) {
        to.push_back(centre + r);
        r = {r.x * turn.x - r.y * turn.y, r.x * turn.y + r.y * turn.x};
    }
}

double bearing(Vec2 d) {
    return std::atan2(d.y, d.x);
}

}  // namespace

void Pen::line(Vec2 a, Vec2 b, Style style) {
    open({a, b}, style);
}

void Pen::open(std::vector<Vec2> points, Style style) {
    picture_.strokes.push_back({std::move(points), style.line, style.ink, false, false});
}

void Pen::outline(std::vector<Vec2> points, Style style) {
    picture_.strokes.push_back({std::move(points), style.line, style.ink, true, style.filled});
}

void Pen::outline(const Place& place, std::span<const Vec2> local, Style style) {
    std::vector<Vec2> points;
    points.reserve(local.size());
    for (const Vec2& p : local) points.push_back(place(p.x, p.y));
    outline(std::move(points), style);
}

void Pen::circle(Vec2 centre, double radius, Style style) {
    std::vector<Vec2> points;
    add_arc(points, centre, radius, 0, 2 * pi);
    points.pop_back();  // closed: the last chord leads back to the first point
    outline(std::move(points), style);
}

void Pen::arc(Vec2 centre, double radius, double from_rad, double to_rad, Style style) {
    std::vector<Vec2> points;
    add_arc(points, centre, radius, from_rad, to_rad - from_rad);
    open(std::move(points), style);
}

void Pen::capsule(Vec2 a, Vec2 b, double radius, Style style) {
    const double across = bearing(left_of(direction(a, b)));
    std::vector<Vec2> points;
    add_arc(points, a, radius, across, pi);
    add_arc(points, b, radius, across + pi, pi);
    outline(std::move(points), style);
}

void Pen::bar(const Place& place, double u0, double u1, double half, Style style) {
    outline({place(u0, -half), place(u1, -half), place(u1, half), place(u0, half)}, style);
}

void Pen::centre_cross(Vec2 c, double half) {
    line(c - Vec2{half, 0}, c + Vec2{half, 0}, axis_line);
    line(c - Vec2{0, half}, c + Vec2{0, half}, axis_line);
}

void Pen::mark(Vec2 at, Ink ink) {
    constexpr double half = 15;
    line(at - Vec2{half, 0}, at + Vec2{half, 0}, {Line::wide, ink});
    line(at - Vec2{0, half}, at + Vec2{0, half}, {Line::wide, ink});
    joint(at, half);
}

void Pen::ground(double x0, double x1, double y0, double y1) {
    line({x0, y0}, {x1, y1}, {Line::narrow, Ink::ink});
    constexpr int ticks = 5;
    const Vec2 along = direction({x0, y0}, {x1, y1});
    for (int i = 0; i < ticks; ++i) {
        const Vec2 top = Vec2{x0, y0} + along * (24.0 + 18.0 * i);
        line(top, top - Vec2{14, 14}, thin);
    }
}

void Pen::joint(Vec2 at, double radius) {
    picture_.joints.push_back({at, radius});
}
void Pen::spot(Point point, Vec2 at) {
    picture_.anchors[point] = {at, std::nullopt, 0};
}
void Pen::dimension(Point point, Vec2 a, Vec2 b, double offset) {
    picture_.anchors[point] = {a, b, offset};
}
void Pen::way(Point point, Vec2 along) {
    picture_.ways[point] = along;
}
void Pen::trail(Vec2 axis, Vec2 contact) {
    picture_.trail = {contact, axis, -70};
}
void Pen::spot(BikeField field, Vec2 at) {
    picture_.bike_anchors[field] = {at, std::nullopt, 0};
}
void Pen::dimension(BikeField field, Vec2 a, Vec2 b, double offset) {
    picture_.bike_anchors[field] = {a, b, offset};
}

void Pen::view(Vec2 low, Vec2 high) {
    picture_.low = low;
    picture_.high = high;
}

std::vector<Vec2> broken(Vec2 a, Vec2 b) {
    const Place place{a, direction(a, b)};
    const double l = length(b - a);
    constexpr int waves = 24;
    std::vector<Vec2> points;
    points.reserve(waves + 8);
    for (int i = 0; i <= waves; ++i) {
        const double t = static_cast<double>(i) / waves;
        points.push_back(place(t * l, 0.07 * l * std::sin(2 * pi * t) * std::sin(pi * t)));
    }
    return points;
}

// Catmull-Rom: passes through every point, its tangent there parallel to the line between the neighbours.
std::vector<Vec2> smooth(std::span<const Vec2> through) {
    constexpr int parts = 12;
    std::vector<Vec2> points;
    const std::size_t n = through.size();
    for (std::size_t i = 0; i + 1 < n; ++i) {
        const Vec2 b = through[i], c = through[i + 1];
        const Vec2 a = i > 0 ? through[i - 1] : b, d = i + 2 < n ? through[i + 2] : c;
        for (int k = 0; k < parts; ++k) {
            const double t = static_cast<double>(k) / parts;
            const Vec2 linear = b * 2 + (c - a) * t;
            const Vec2 bent = (a * 2 - b * 5 + c * 4 - d) * (t * t) + (b * 3 - a - c * 3 + d) * (t * t * t);
            points.push_back((linear + bent) * 0.5);
        }
    }
    if (n > 0) points.push_back(through[n - 1]);
    return points;
}

std::vector<Vec2> rounded(std::span<const Vec2> corners, double radius) {
    std::vector<Vec2> points;
    const std::size_t n = corners.size();
    for (std::size_t i = 0; i < n; ++i) {
        const Vec2 c = corners[i], before = corners[(i + n - 1) % n], after = corners[(i + 1) % n];
        const Vec2 in = direction(before, c), out = direction(c, after);
        // Tangent length for this turn, never more than a little under half of either side.
        const double turn = std::atan2(in.x * out.y - in.y * out.x, dot(in, out));
        const double half_tan = std::tan(std::fabs(turn) / 2);
        const double room = 0.45 * std::min(length(c - before), length(after - c));
        const double tangent = std::min(radius * half_tan, room);
        if (half_tan < 1e-6 || tangent < 1e-6) {
            points.push_back(c);
            continue;
        }
        const double r = tangent / half_tan;
        const double side = turn > 0 ? 1 : -1;
        const Vec2 centre = c - in * tangent + left_of(in) * (side * r);
        add_arc(points, centre, r, bearing(left_of(in) * -side), turn);
    }
    return points;
}

}  // namespace restand::drawing
