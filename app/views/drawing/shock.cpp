#include "app/views/drawing/shock.h"

#include <algorithm>
#include <array>

namespace restand::drawing {
namespace {

constexpr double body_half = 19;
constexpr double rod_half = 6.5;

// Where things stand along the axis, at eye-to-eye length `now`.
struct Stations {
    double scale, head_end, collar, body_end, seat, eye;
};

Stations stations(const UnitSizes& u, double now) {
    Stations s;
    s.scale = std::clamp(u.length / 310, 0.55, 1.4);  // end size scales with unit length
    const double foot = 44 * s.scale;
    s.eye = now;
    s.seat = now - foot;
    s.collar = u.length - foot - u.installed;  // on the body: it does not move with the rod
    s.head_end = std::min(54 * s.scale, std::max(18 * s.scale, s.collar - 24));
    s.body_end = std::clamp(u.length - foot - u.travel - 14, s.collar + 8, s.seat - 4);
    return s;
}

void draw_eye(Pen& pen, Vec2 at, double scale, Ink ink) {
    pen.circle(at, eye_radius * scale, {Line::wide, ink, true});
    pen.circle(at, 0.5 * eye_radius * scale, {Line::wide, ink, true});
    pen.joint(at, eye_radius * scale);
}

// Head with the bridge to the reservoir, and the reservoir beside the body.
void draw_head(Pen& pen, const Place& place, const Stations& s, double side, Ink ink) {
    const double k = s.scale;
    const double far = 62 * k * side;
    const std::array<Vec2, 4> bridge = {Vec2{16 * k, 0}, {40 * k, 0}, {40 * k, far}, {16 * k, far}};
    pen.outline(place, bridge, {Line::wide, ink, true});
    const std::array<Vec2, 4> can = {
        Vec2{4 * k, far - 21 * k}, {118 * k, far - 21 * k}, {118 * k, far + 21 * k}, {4 * k, far + 21 * k}};
    std::vector<Vec2> corners;
    for (const Vec2& p : can) corners.push_back(place(p.x, p.y));
    pen.outline(rounded(corners, 9 * k), {Line::wide, ink, true});
    pen.line(place(20 * k, far - 21 * k), place(20 * k, far + 21 * k), {Line::narrow, ink});
    pen.line(place(104 * k, far - 21 * k), place(104 * k, far + 21 * k), {Line::narrow, ink});
    pen.bar(place.moved(0, far), 118 * k, 124 * k, 5 * k, {Line::narrow, ink, true});  // filling valve
    // Compression: a hexagon for high speed with the screw for low speed in it, on the reservoir's head.
    pen.bar(place.moved(0, far), -5 * k, 4 * k, 12 * k, {Line::wide, ink, true});
    pen.bar(place.moved(0, far), -11 * k, -5 * k, 6 * k, {Line::wide, ink, true});
    const std::array<Vec2, 6> head = {Vec2{0, -9 * k},      {14 * k, -24 * k}, {s.head_end, -24 * k},
                                      {s.head_end, 24 * k}, {14 * k, 24 * k},  {0, 9 * k}};
    pen.outline(place, head, {Line::wide, ink, true});
}

void draw_body(Pen& pen, const Place& place, const Stations& s, Ink ink) {
    pen.bar(place, s.body_end, s.seat, rod_half * s.scale, {Line::wide, ink, true});
    const double rubber = std::min(16 * s.scale, 0.5 * (s.seat - s.body_end));
    pen.bar(place, s.seat - rubber, s.seat, 12 * s.scale, {Line::narrow, ink, true});
    pen.bar(place, s.head_end, s.body_end, body_half * s.scale, {Line::wide, ink, true});
    // Thread: ISO 6410 shows it by a thin line at its root.
    const double root = 0.8 * body_half * s.scale, end = std::min(s.collar + 30 * s.scale, s.body_end);
    pen.line(place(s.head_end, root), place(end, root), {Line::narrow, ink});
    pen.line(place(s.head_end, -root), place(end, -root), {Line::narrow, ink});
}

// Seat, clevis with the length adjuster's nut and the rebound adjusters, and the lower eye.
void draw_shock_foot(Pen& pen, const Place& place, const Stations& s, double radius, Ink ink) {
    const double k = s.scale;
    pen.bar(place, s.seat, s.seat + 7 * k, radius + 2, {Line::wide, ink, true});
    pen.bar(place, s.seat + 7 * k, s.seat + 17 * k, 15 * k, {Line::wide, ink, true});
    pen.line(place(s.seat + 7 * k, 5 * k), place(s.seat + 17 * k, 5 * k), {Line::narrow, ink});
    pen.line(place(s.seat + 7 * k, -5 * k), place(s.seat + 17 * k, -5 * k), {Line::narrow, ink});
    pen.bar(place.moved(s.seat + 22.5 * k, 0), -3.5 * k, 3.5 * k, 21 * k, {Line::wide, ink, true});  // knobs
    pen.bar(place, s.seat + 17 * k, s.eye, 11 * k, {Line::wide, ink, true});
}

}  // namespace

Coil shock_coil(const UnitSizes& u, double length) {
    const double scale = std::clamp(u.length / 310, 0.55, 1.4);
    return {
        .length = length, .radius = 34 * scale, .wire = std::min(11.0 * scale, u.block / 8.5), .turns = 7};
}

ShockSpots draw_shock(Pen& pen, const Place& place, const UnitSizes& sizes, double now, double side,
                      Ink ink) {
    const Stations s = stations(sizes, now);
    const double k = s.scale;
    const Coil coil = shock_coil(sizes, std::max(s.seat - s.collar, 12.0));
    const Place spring = place.moved(s.seat - coil.length, 0);
    coil_behind(pen, spring, coil, ink);
    draw_body(pen, place, s, ink);
    draw_head(pen, place, s, side, ink);
    coil_before(pen, spring, coil, ink);
    pen.bar(place, s.collar - 8 * k, s.collar, coil.radius + 2, {Line::wide, ink, true});
    pen.bar(place, s.collar - 14 * k, s.collar - 8 * k, coil.radius - 5, {Line::wide, ink, true});
    draw_shock_foot(pen, place, s, coil.radius, ink);
    pen.line(place(-24 * k, 0), place(now + 24 * k, 0), axis_line);
    draw_eye(pen, place(0, 0), k, ink);
    draw_eye(pen, place(now, 0), k, ink);
    const double far = 62 * k * side, out = 12 * k * side;
    return {.body_eye = place(0, 0),
            .rod_eye = place(now, 0),
            .collar = place(s.collar, 0),
            .seat = place(s.seat, 0),
            .spring_side = place((s.collar + s.seat) / 2, -side * coil.radius),
            .gas = place(124 * k, far),
            .compression_low = place(-11 * k, far),
            .compression_high = place(0, far + out),
            .rebound_low = place(s.seat + 22.5 * k, 21 * k * side),
            .rebound_high = place(s.seat + 22.5 * k, -21 * k * side),
            .length_adjuster = place(s.seat + 12 * k, -side * 15 * k),
            .body = place(0.6 * s.head_end, -24 * k * side),
            .spring_radius = coil.radius};
}

void ghost_rod(Pen& pen, const Place& place, const UnitSizes& sizes, double now, Ink ink) {
    const Stations s = stations(sizes, now);
    const Style style = {Line::ghost, ink};
    const double r = shock_coil(sizes, 100).radius + 2;
    pen.bar(place, s.seat, s.seat + 7 * s.scale, r, style);
    pen.circle(place(now, 0), eye_radius * s.scale, style);
    pen.circle(place(now, 0), 0.5 * eye_radius * s.scale, style);
}

}  // namespace restand::drawing
