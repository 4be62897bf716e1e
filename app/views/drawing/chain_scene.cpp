// The chain run by itself, large: slot, sprockets, slack, tyre.

#include <algorithm>

#include "app/views/drawing/chain.h"
#include "app/views/drawing/scenes.h"
#include "app/views/drawing/wheel.h"

namespace restand::drawing {
namespace {

// Only the part of the tyre that reaches between the sprockets, cut where the view ends.
void draw_tyre_arc(Pen& pen, Vec2 axle, double radius) {
    pen.arc(axle, radius, -1.0, 0.95, {Line::narrow, Ink::ink});
    pen.arc(axle, 0.74 * radius, -1.0, 0.95, thin);
}

}  // namespace

void chain_scene(Pen& pen, const SceneInput& scene) {
    const auto& [input, plan] = scene;
    const ChainSizes& sizes = plan.chain;
    const Vec2 axle = plan.rear_axle(plan.rear.drawn);
    draw_tyre_arc(pen, axle, plan.rear_radius);
    draw_sprocket(pen, axle, sizes.teeth_rear, sizes.pitch, input.ink);
    if (plan.rear.ghost) ghost_arm(pen, plan, *plan.rear.ghost, input.ghost_ink);
    const ArmSpots arm = draw_arm(pen, plan, plan.rear.drawn, input.ink);
    draw_sprocket(pen, plan.output_shaft, sizes.teeth_front, sizes.pitch, Ink::ink);
    draw_chain(pen, sizes, axle, plan.output_shaft, input.ink);
    pen.circle(plan.output_shaft, 14, {Line::wide, Ink::ink, true});
    pen.centre_cross(plan.output_shaft, 24);
    pen.joint(plan.output_shaft, 14);
    draw_axle(pen, axle, input.ink);
    const ChainRun run = chain_run(sizes, axle, plan.output_shaft);
    const Vec2 mid = run.lower(0.5), half = {0, sizes.slack / 2};
    pen.dimension(Point::chain_slack, mid - half, mid + half, 0);
    // Front of the slot to the axle, unless they are too near each other to be told apart.
    if (sizes.axle_position >= 4)
        pen.dimension(Point::axle_position, arm.slot_zero, axle, 58);
    else
        pen.spot(Point::axle_position, arm.slot_end);
    pen.spot(Point::sprocket_rear, axle + heading(2.2) * sizes.radius_rear());
    pen.spot(Point::sprocket_front, plan.output_shaft + heading(0.5) * sizes.radius_front());
    pen.spot(Point::chain_links, run.upper(0.5));
    pen.dimension(Point::chain_gauge_length, run.lower(0.25), run.lower(0.75), -24);
    pen.spot(Point::chain_gauge_links, run.lower(0.6));
    pen.spot(Point::tyre, axle + heading(-0.75) * plan.rear_radius);
    pen.spot(Point::rolling_circumference, axle + heading(-1.25) * plan.rear_radius);
    pen.spot(Point::tyre_pressure_cold, axle + heading(0.8) * (0.74 * plan.rear_radius));
    pen.spot(Point::tyre_pressure_hot, axle + heading(0.72) * (0.74 * plan.rear_radius));
    const double low = std::min(run.lower_rear.y, axle.y - 0.8 * plan.rear_radius);
    const double high = std::max({run.upper_front.y, run.upper_rear.y, axle.y + 0.8 * plan.rear_radius});
    pen.view({axle.x - sizes.radius_rear() - 120, low - 110},
             {plan.output_shaft.x + sizes.radius_front() + 130, high + 120});
}

}  // namespace restand::drawing
