#include "app/views/drawing/fork.h"

#include <algorithm>
#include <array>

namespace restand::drawing {
namespace {

constexpr double tube_half = 27, stanchion_half = 21, foot_half = 30;

// Lower end of the outer tube: the travel and a little over the foot, topped out.
double wiper(const UnitSizes& u, double now) {
    const double topped_out = std::min(95 + u.travel, 0.6 * u.length);
    return std::max(topped_out - (u.length - now), 62.0);
}

// The outer tube, whole or in two pieces with their broken ends a little apart.
void draw_tube(Pen& pen, const Place& place, double low, double high, std::optional<double> broken_at,
               Ink ink) {
    const Style style = {Line::wide, ink, true};
    if (!broken_at) return pen.bar(place, low, high, tube_half, style);
    constexpr double gap = 9;
    std::vector<Vec2> lower = broken(place(*broken_at - gap, -tube_half), place(*broken_at - gap, tube_half));
    lower.push_back(place(low, tube_half));
    lower.push_back(place(low, -tube_half));
    std::vector<Vec2> upper = broken(place(*broken_at + gap, -tube_half), place(*broken_at + gap, tube_half));
    upper.push_back(place(high, tube_half));
    upper.push_back(place(high, -tube_half));
    pen.outline(std::move(lower), style);
    pen.outline(std::move(upper), style);
}

void draw_fork_foot(Pen& pen, const Place& place, bool axle_seen, Ink ink) {
    const std::array<Vec2, 8> lug = {
        Vec2{-foot_half, 14},      {-foot_half, -14},        {-14, -foot_half}, {24, -foot_half},
        {70, -stanchion_half - 3}, {70, stanchion_half + 3}, {24, foot_half},   {-14, foot_half}};
    std::vector<Vec2> corners;
    for (const Vec2& p : lug) corners.push_back(place(p.x, p.y));
    pen.outline(rounded(corners, 12), {Line::wide, ink, true});
    pen.bar(place, -foot_half - 8, -foot_half, 7, {Line::wide, ink, true});  // compression adjuster
    if (!axle_seen) return;
    pen.circle(place(0, 0), 17, {Line::wide, ink, true});
    pen.circle(place(0, 0), 9, {Line::wide, ink, true});
}

}  // namespace

ForkSpots draw_leg(Pen& pen, const Place& place, const UnitSizes& sizes, double now, Ink ink, LegLook look) {
    const double low = wiper(sizes, now);
    pen.bar(place, 60, low + 4, stanchion_half, {Line::wide, ink, true});
    draw_fork_foot(pen, place, !look.from_front, ink);
    draw_tube(pen, place, low, now, look.broken_at, ink);
    pen.bar(place, low - 5, low + 9, tube_half + 3, {Line::wide, ink, true});
    pen.bar(place, now, now + 9, 20, {Line::wide, ink, true});      // cap, preload
    pen.bar(place, now + 9, now + 17, 8, {Line::wide, ink, true});  // rebound adjuster
    pen.joint(place(0, 0), 17);
    const double top = now - 40, length = std::min(sizes.installed - (sizes.length - now), top - 90);
    return {.axle = place(0, 0),
            .top = place(now, 0),
            .cap = place(now + 17, 0),
            .cap_side = place(now + 5, -20),
            .foot = place(-foot_half - 8, 0),
            .foot_side = place(-foot_half - 2, 7),
            .spring_low = place(top - std::max(length, 20.0), 0),
            .spring_high = place(top, 0),
            .half_width = tube_half};
}

// Dashed, because it is inside the tube. Front strands only, so that the dashes look like a coil.
void draw_hidden_spring(Pen& pen, const Place& place, const UnitSizes& sizes, double now, Ink ink) {
    const double top = now - 40,
                 length = std::max(std::min(sizes.installed - (sizes.length - now), top - 90), 20.0);
    const Coil coil = {.length = length, .radius = 18, .wire = 5, .turns = 14};
    const double p = coil.pitch(), r = coil.radius;
    std::vector<Vec2> zigzag;
    for (int k = 0; k <= coil.turns; ++k) {
        zigzag.push_back(place(top - length + k * p, r));
        zigzag.push_back(place(top - length + (k + 0.5) * p, -r));
    }
    pen.open(std::move(zigzag), {Line::hidden, ink});
    for (const double u : {top - length, top}) pen.line(place(u, -r), place(u, r), {Line::hidden, ink});
}

void ghost_foot(Pen& pen, const Place& place, const UnitSizes& sizes, double now, Ink ink) {
    const double moved = sizes.length - now;
    pen.circle(place(moved, 0), 17, {Line::ghost, ink});
    const std::array<Vec2, 6> lug = {
        Vec2{70, 24},     {24, foot_half}, {-foot_half, foot_half}, {-foot_half, -foot_half},
        {24, -foot_half}, {70, -24}};
    std::vector<Vec2> points;
    for (const Vec2& p : lug) points.push_back(place(moved + p.x, p.y));
    pen.open(std::move(points), {Line::ghost, ink});
}

}  // namespace restand::drawing
