#include "app/views/drawing/wheel.h"

namespace restand::drawing {
namespace {

constexpr double rim_outer = 0.74;  // of the tyre's radius
constexpr double rim_inner = 0.67;
constexpr double hub = 0.17;
constexpr int spokes = 5;

// Five pairs of straight spokes, kept thin: they stand behind everything.
void draw_spokes(Pen& pen, Vec2 axle, double radius) {
    for (int i = 0; i < spokes; ++i) {
        const Place spoke{axle, heading(pi / 2 + i * 2 * pi / spokes)};
        for (const double v : {-0.035, 0.035})
            pen.line(spoke(hub * radius, v * radius), spoke(rim_inner * radius, 1.4 * v * radius), thin);
    }
}

}  // namespace

WheelSpots draw_wheel(Pen& pen, Vec2 axle, double radius, Vec2 toward, Ink ink) {
    pen.circle(axle, radius, {Line::wide, ink});
    pen.circle(axle, rim_outer * radius, {Line::wide, ink});
    pen.circle(axle, rim_inner * radius, thin);
    draw_spokes(pen, axle, radius);
    pen.circle(axle, hub * radius, thin);
    const Vec2 out = direction({}, toward);
    // The valve sits a little round the rim, so that tyre and pressure do not share a spot.
    const Vec2 round = direction({}, out + left_of(out) * 0.35);
    return {axle + out * radius, axle + round * (rim_outer * radius)};
}

void ghost_wheel(Pen& pen, Vec2 axle, double radius, Ink ink) {
    pen.circle(axle, radius, {Line::ghost, ink});
}

void draw_axle(Pen& pen, Vec2 axle, Ink ink) {
    pen.circle(axle, 17, {Line::wide, ink, true});
    pen.circle(axle, 9, {Line::wide, ink, true});
    pen.centre_cross(axle, 30);
    pen.joint(axle, 17);
}

}  // namespace restand::drawing
