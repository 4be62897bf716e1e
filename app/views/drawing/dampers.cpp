// The dampers, upright and large, to show their adjusters.

#include <algorithm>
#include <array>

#include "app/views/drawing/fork.h"
#include "app/views/drawing/scenes.h"
#include "app/views/drawing/shock.h"

namespace restand::drawing {
namespace {

constexpr double shown_leg = 560;  // legs longer than this are drawn broken
constexpr double leg_gap = 210;    // between the legs' axes, as on a bike from the front

// A leg seen from the front, its middle left out where it is long: adjusters are at its ends.
ForkSpots draw_shortened(Pen& pen, const UnitSizes& sizes, double x, Ink ink) {
    UnitSizes shown = sizes;
    shown.length = std::min(sizes.length, shown_leg);
    shown.travel = std::min(sizes.travel, 0.2 * shown.length);
    const Place leg{{x, 0}, {0, 1}};
    LegLook look = {.from_front = true, .broken_at = std::nullopt};
    if (sizes.length > shown_leg) look.broken_at = 0.53 * shown.length;
    const ForkSpots spots = draw_leg(pen, leg, shown, shown.length, ink, look);
    pen.line(leg(-60, 0), leg(shown.length + 40, 0), axis_line);
    return spots;
}

}  // namespace

void dampers_rear(Pen& pen, const SceneInput& scene) {
    const auto& [input, plan] = scene;
    const Place unit{{0, 0}, {0, -1}};  // body's eye on top; v > 0 is to the right
    const double l = plan.shock.length;
    const ShockSpots s = draw_shock(pen, unit, plan.shock, l, 1, input.ink);
    pen.spot(Point::clicks_compression_low, s.compression_low);
    pen.spot(Point::clicks_compression_high, s.compression_high);
    pen.spot(Point::clicks_rebound_low, s.rebound_low);
    pen.spot(Point::clicks_rebound_high, s.rebound_high);
    pen.spot(Point::gas_force, s.gas);
    pen.spot(Point::part_name, s.body);
    pen.dimension(Point::eye_to_eye, s.rod_eye, s.body_eye, 120);
    pen.dimension(Point::spring_installed_length, s.seat, s.collar, 75);
    pen.spot(Point::collar_mm_per_turn, s.collar - Vec2{s.spring_radius, 0});
    pen.spot(Point::length_mm_per_turn, s.length_adjuster);
    pen.spot(Point::spring_rate, s.spring_side);
    pen.view({-0.75 * l, -1.17 * l}, {0.75 * l, 0.2 * l});
}

void dampers_front(Pen& pen, const SceneInput& scene) {
    const auto& [input, plan] = scene;
    const double half = leg_gap / 2;
    // The axle joins the legs; the yokes hold them.
    pen.bar({{0, 0}, {1, 0}}, -half, half, 12, {Line::narrow, input.ink, true});
    pen.bar({{0, 0}, {1, 0}}, -0.45 * half, 0.45 * half, 30, {Line::narrow, input.ink, true});
    const ForkSpots a = draw_shortened(pen, plan.fork, -half, input.ink);
    const ForkSpots b = draw_shortened(pen, plan.fork, half, input.ink);
    const double top = a.top.y - std::clamp(plan.fork.fork_position, 0.0, 40.0);
    for (const double y : {top - 28, top - 200})
        pen.outline(rounded(std::array{Vec2{-half - 38, y}, Vec2{half + 38, y}, Vec2{half + 38, y + 28},
                                       Vec2{-half - 38, y + 28}},
                            9),
                    {Line::wide, Ink::ink, true});
    pen.line({0, top - 230}, {0, top + 50}, axis_line);
    // Low and high sit in one adjuster; each is named at one of the two legs, so that the tags part.
    pen.spot(Point::clicks_rebound_low, a.cap);
    pen.spot(Point::clicks_rebound_high, b.cap);
    pen.spot(Point::clicks_compression_low, a.foot);
    pen.spot(Point::clicks_compression_high, b.foot);
    pen.spot(Point::collar_mm_per_turn, b.cap_side);
    pen.spot(Point::gas_force, a.top - Vec2{20, -5});
    pen.spot(Point::part_name, {half + a.half_width, 0.45 * a.top.y});
    pen.dimension(Point::fork_position, {-half, top}, {-half, a.top.y}, 70);
    const double l = a.top.y;
    pen.view({-0.7 * l, -0.24 * l}, {0.7 * l, 1.24 * l});
}

}  // namespace restand::drawing
