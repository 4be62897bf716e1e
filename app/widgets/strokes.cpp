#include "app/widgets/strokes.h"

#include <array>
#include <cmath>

namespace restand {
namespace {

constexpr float narrow_mm = 0.25f;  // width of a narrow line
constexpr std::array<float, 2> dashed{12 * narrow_mm, 3 * narrow_mm};
constexpr std::array<float, 4> dash_dot{24 * narrow_mm, 3 * narrow_mm, narrow_mm / 2, 3 * narrow_mm};
constexpr std::array<float, 6> dash_two_dots{24 * narrow_mm, 3 * narrow_mm, narrow_mm / 2,
                                             3 * narrow_mm,  narrow_mm / 2, 3 * narrow_mm};

Rect around(ImVec2 a, ImVec2 b) {
    return {std::min(a.x, b.x), std::min(a.y, b.y), std::abs(a.x - b.x) + 0.01f, std::abs(a.y - b.y) + 0.01f};
}

// A polyline whose sharp corners are rounded: ImGui's mitres would grow into spikes there.
void continuous(Canvas& c, std::span<const ImVec2> points, bool closed, float width, Colour colour) {
    const std::uint32_t ink = packed(colour);
    const auto count = points.size();
    const auto sharp = [&](std::size_t i) {
        const ImVec2 a = points[(i + count - 1) % count], b = points[i], e = points[(i + 1) % count];
        const float ux = b.x - a.x, uy = b.y - a.y, vx = e.x - b.x, vy = e.y - b.y;
        return ux * vx + uy * vy < -0.2f * std::hypot(ux, uy) * std::hypot(vx, vy);
    };
    bool any_sharp = false;
    for (std::size_t i = 0; i < count && !any_sharp; ++i)
        any_sharp = (closed || (i > 0 && i + 1 < count)) && sharp(i);
    if (!any_sharp) {
        c.list.AddPolyline(points.data(), static_cast<int>(count), ink, closed ? ImDrawFlags_Closed : 0,
                           width);
        return;
    }
    // Runs between sharp corners, each on its own, with a round spot on the corner.
    const std::size_t steps = closed ? count + 1 : count;
    for (std::size_t i = 0; i < steps; ++i) {
        const std::size_t at = i % count;
        c.list.PathLineTo(points[at]);
        if (i == 0 || i + 1 == steps || !sharp(at)) continue;
        c.list.PathStroke(ink, 0, width);
        c.list.AddCircleFilled(points[at], width / 2, ink, 8);
        c.list.PathLineTo(points[at]);
    }
    c.list.PathStroke(ink, 0, width);
}

}  // namespace

float line_width_mm(Line line) {
    return line == Line::wide ? 2 * narrow_mm : narrow_mm;
}

std::span<const float> dash_pattern_mm(Line line) {
    switch (line) {
        case Line::wide:
        case Line::narrow:
            return {};
        case Line::hidden:
            return dashed;
        case Line::axis:
            return dash_dot;
        case Line::ghost:
            return dash_two_dots;
    }
    return {};
}

void draw_stroke(Canvas& c, std::span<const ImVec2> points, bool closed, Line line, Colour colour,
                 const Rect& see) {
    if (points.size() < 2) return;
    const float width = c.pen_width(line_width_mm(line));
    const auto pattern = dash_pattern_mm(line);
    if (pattern.empty()) return continuous(c, points, closed, width, colour);

    // The pattern continues round corners.
    std::size_t part = 0;
    float left = c.mm(pattern[0]);
    const Rect room = see.inset(-width);
    const std::size_t sides = closed ? points.size() : points.size() - 1;
    bool pen_down = false;
    const auto lift = [&] {
        if (pen_down) c.list.PathStroke(packed(colour), 0, width);
        pen_down = false;
    };
    for (std::size_t i = 0; i < sides; ++i) {
        const ImVec2 a = points[i], b = points[(i + 1) % points.size()];
        const float length = std::hypot(b.x - a.x, b.y - a.y);
        if (!(length < 1e6f)) continue;  // far outside, or no number
        const bool seen = room.overlaps(around(a, b));
        for (float at = 0; at < length;) {
            const float step = std::min(left, length - at);
            if (part % 2 == 0 && seen) {
                const auto point = [&](float t) {
                    return ImVec2{a.x + (b.x - a.x) * t / length, a.y + (b.y - a.y) * t / length};
                };
                if (!pen_down) c.list.PathLineTo(point(at));
                // A dot may not vanish between pixels.
                c.list.PathLineTo(point(std::max(at + step, std::min(at + 1.2f, length))));
                pen_down = true;
            }
            at += step;
            left -= step;
            if (left > 1e-4f) continue;
            lift();
            part = (part + 1) % pattern.size();
            left = c.mm(pattern[part]);
        }
        if (!seen) lift();
    }
    lift();
}

std::vector<std::uint16_t> triangles(std::span<const Vec2> p) {
    std::vector<std::uint16_t> out;
    if (p.size() < 3 || p.size() > 4096) return out;
    const auto cross = [&](std::size_t a, std::size_t b, std::size_t e) {
        return (p[b].x - p[a].x) * (p[e].y - p[a].y) - (p[b].y - p[a].y) * (p[e].x - p[a].x);
    };
    double area = 0;
    for (std::size_t i = 0; i < p.size(); ++i) {
        const Vec2 &a = p[i], &b = p[(i + 1) % p.size()];
        area += a.x * b.y - b.x * a.y;
    }
    const double turn = area < 0 ? -1 : 1;
    std::vector<std::uint16_t> ring(p.size());
    for (std::size_t i = 0; i < ring.size(); ++i) ring[i] = static_cast<std::uint16_t>(i);
    // Only a corner that turns inward can lie in an ear; cutting never makes one.
    std::vector<std::uint16_t> inward;
    for (std::size_t i = 0; i < p.size(); ++i)
        if (turn * cross((i + p.size() - 1) % p.size(), i, (i + 1) % p.size()) <= 0)
            inward.push_back(ring[i]);
    if (inward.empty()) {  // most are: a fan
        for (std::size_t i = 2; i < ring.size(); ++i) out.insert(out.end(), {ring[0], ring[i - 1], ring[i]});
        return out;
    }

    for (std::size_t i = 0, misses = 0; ring.size() > 2 && misses <= ring.size();) {
        const std::size_t n = ring.size();
        const auto a = ring[(i + n - 1) % n], b = ring[i % n], e = ring[(i + 1) % n];
        bool ear = turn * cross(a, b, e) >= 0;
        for (std::size_t k = 0; k < inward.size() && ear; ++k) {
            const auto q = inward[k];
            if (q == a || q == b || q == e || p[q] == p[a] || p[q] == p[b] || p[q] == p[e]) continue;
            ear = !(turn * cross(a, b, q) >= 0 && turn * cross(b, e, q) >= 0 && turn * cross(e, a, q) >= 0);
        }
        if (!ear) {
            i = (i + 1) % n;
            ++misses;
            continue;
        }
        out.insert(out.end(), {a, b, e});
        ring.erase(ring.begin() + static_cast<std::ptrdiff_t>(i % n));
        i = i % n >= ring.size() ? 0 : i % n;
        misses = 0;
    }
    return out;
}

void draw_arrowhead(Canvas& c, ImVec2 at, ImVec2 from, float length_mm, Colour colour) {
    const float dx = from.x - at.x, dy = from.y - at.y, far = std::hypot(dx, dy);
    if (far < 0.5f) return;
    const float length = c.mm(length_mm), half = length * std::tan(9.0f * 3.14159265f / 180.0f);
    const float ux = dx / far, uy = dy / far;
    const ImVec2 base{at.x + ux * length, at.y + uy * length};
    c.triangle(at, {base.x - uy * half, base.y + ux * half}, {base.x + uy * half, base.y - ux * half},
               colour);
}

}  // namespace restand
