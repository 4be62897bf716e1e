// The whole bike from its right side: known chassis dimensions to scale, the rest schematic.

#include <algorithm>

#include "app/views/drawing/chain.h"
#include "app/views/drawing/scenes.h"
#include "app/views/drawing/wheel.h"

namespace restand::drawing {
namespace {

void anchor_chassis(Pen& pen, const Plan& plan, Vec2 rear, Vec2 front, double floor) {
    const YokeSpots yokes = yokes_at(plan);
    const Linkage link = linkage_at(plan, plan.rear.drawn);
    const Vec2 up = plan.steering(), back = left_of(up);
    pen.dimension(BikeField::swingarm, rear, {0, 0}, -0.55 * plan.rear_radius);
    pen.dimension(BikeField::wheelbase, {rear.x, floor}, {front.x, floor}, -90);
    pen.dimension(BikeField::rear_wheel_radius, rear, rear + Vec2{0, -plan.rear_radius},
                  -0.5 * plan.rear_radius);
    pen.dimension(BikeField::front_wheel_radius, front, front + Vec2{0, -plan.front_radius},
                  0.5 * plan.front_radius);
    pen.dimension(BikeField::pivot_height, {0, floor}, {0, 0}, -150);
    pen.dimension(BikeField::offset, front + back * plan.offset, front, -150);
    // Where the steering axis meets the ground, ahead of where the front tyre does.
    const Vec2 on_axis = front + back * plan.offset;
    const double front_floor = front.y - plan.front_radius;
    if (up.y > 0.1) pen.trail(on_axis + up * ((front_floor - on_axis.y) / up.y), {front.x, front_floor});
    pen.spot(BikeField::rake, yokes.head + up * 176);
    pen.spot(BikeField::rear_leverage, link.rocker);
    pen.spot(BikeField::pair_length, link.shock_top);
    pen.spot(BikeField::pair_height, plan.rear_mark());
    pen.spot(BikeField::rear_tolerance, plan.rear_mark() + Vec2{0, -20});
    pen.spot(BikeField::front_tolerance, plan.front_mark());
    pen.spot(BikeField::name, Vec2{0.4 * yokes.head.x, yokes.head.y + 60});
    pen.spot(BikeField::note, plan.rear_mark() + Vec2{60, 80});
}

// Directions of the adjusters; and the fork's place when the drawing is about the rear.
void anchor_adjusters(Pen& pen, const SceneInput& scene, Vec2 rear, Vec2 front) {
    const auto& [input, plan] = scene;
    const Linkage link = linkage_at(plan, plan.rear.drawn);
    pen.way(Point::eye_to_eye, direction(link.shock_top, link.shock_foot, {0, -1}));
    pen.way(Point::axle_position, direction({0, 0}, rear, {-1, 0}));
    pen.way(Point::fork_position, plan.steering());
    if (input.end == End::rear && input.far && !input.far->known.empty())
        pen.spot(Point::fork_position,
                 front + plan.steering() * (plan.fork.length - plan.fork_travel(plan.front.drawn)));
}

}  // namespace

void whole_bike(Pen& pen, const SceneInput& scene) {
    const auto& [input, plan] = scene;
    const bool at_rear = input.end == End::rear;
    const Vec2 rear = plan.rear_axle(plan.rear.drawn), front = plan.front_axle(plan.front.drawn);
    const Ink rear_ink = at_rear ? input.ink : Ink::ink, front_ink = at_rear ? Ink::ink : input.ink;
    // The ground line touches both tyres: level while both ends are unchanged.
    const double rear_floor = rear.y - plan.rear_radius, front_floor = front.y - plan.front_radius;
    const double slope = (front_floor - rear_floor) / (front.x - rear.x);
    const double x0 = rear.x - plan.rear_radius - 40, x1 = front.x + plan.front_radius + 40;
    pen.ground(x0, x1, rear_floor + slope * (x0 - rear.x), rear_floor + slope * (x1 - rear.x));
    rear_ghost(pen, scene);
    front_ghost(pen, scene);
    const WheelSpots rear_wheel = draw_wheel(pen, rear, plan.rear_radius, {-0.5, -0.866}, rear_ink);
    const WheelSpots front_wheel = draw_wheel(pen, front, plan.front_radius, {0.5, -0.866}, front_ink);
    pen.circle(front, 0.53 * plan.front_radius, thin);
    draw_steering_head(pen, plan, false);
    draw_bodywork(pen, plan);
    draw_main_frame(pen, plan);
    draw_rear_frame(pen, plan, false);
    rear_end(pen, scene, rear_ink, at_rear);
    front_end(pen, scene, front_ink, !at_rear);
    draw_fairing(pen, plan);
    anchor_tyre(pen, at_rear ? rear_wheel : front_wheel, at_rear ? rear : front);
    const double floor = std::min(rear_floor, front_floor);
    anchor_chassis(pen, plan, rear, front, floor);
    anchor_adjusters(pen, scene, rear, front);
    const double top = std::max(plan.rear_mark().y + 110, yokes_at(plan).upper.y + 130);
    pen.view({x0 - 180, floor - 250}, {x1 + 180, top + 190});
}

}  // namespace restand::drawing
