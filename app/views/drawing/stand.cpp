// One end standing on its wheel: moving parts, measuring references and the ground.

#include <algorithm>
#include <array>

#include "app/views/drawing/chain.h"
#include "app/views/drawing/fork.h"
#include "app/views/drawing/scenes.h"
#include "app/views/drawing/shock.h"
#include "app/views/drawing/wheel.h"

namespace restand::drawing {
namespace {

// Three dimension lines side by side, each as long as its own height.
void anchor_heights(Pen& pen, const Heights& heights, Vec2 mark, Vec2 up,
                    const std::array<double, 3>& offsets) {
    const auto put = [&](Point point, double height, double offset) {
        pen.dimension(point, mark - up * height, mark, offset);
    };
    put(Point::ride_height_topped_out, heights.topped_out, offsets[0]);
    put(Point::ride_height_static, heights.of_static, offsets[1]);
    put(Point::ride_height_rider, heights.of_rider, offsets[2]);
    // Static as well, settled from above and from below.
    put(Point::ride_height_lifted, heights.of_static, offsets[1]);
    put(Point::ride_height_pressed, heights.of_static, offsets[1]);
    // The load that they were read with.
    pen.spot(Point::fuel, mark + up * 14);
    pen.spot(Point::rider_mass, mark + up * 28);
    pen.spot(Point::wheel_weight, mark - up * heights.drawn);
    pen.spot(Point::fitted_mass, mark + up * 42);
    pen.spot(Point::fitted_mass_ahead, mark + up * 56);
    pen.spot(Point::unsprung_mass, mark - up * heights.drawn);
}

// What is inside a unit, and how warm it is: on its body, on its spring.
void anchor_insides(Pen& pen, Vec2 body, Vec2 spring) {
    for (const Point point : {Point::damper_temperature, Point::top_out_rate, Point::top_out_reach,
                              Point::bump_travel, Point::bump_rate, Point::rod_diameter, Point::gas_volume})
        pen.spot(point, body);
    for (const Point point :
         {Point::spring_moved, Point::helper_rate, Point::helper_free_length, Point::helper_block_length,
          Point::other_leg_rate, Point::end_rate, Point::rate_rises_from, Point::rate_rises_to})
        pen.spot(point, spring);
}

void anchor_shock(Pen& pen, const ShockSpots& s, Vec2 along) {
    const Vec2 up = along * -1, side = left_of(along);
    pen.dimension(Point::eye_to_eye, s.rod_eye, s.body_eye, 98);
    pen.dimension(Point::spring_installed_length, s.seat, s.collar, -(s.spring_radius + 34));
    pen.spot(Point::eye_to_eye_min, s.rod_eye + up * 6);
    pen.spot(Point::eye_to_eye_max, s.rod_eye - up * 8);
    pen.spot(Point::length_mm_per_turn, s.length_adjuster);
    pen.spot(Point::spring_free_length, s.spring_side + up * 28);
    pen.spot(Point::spring_rate, s.spring_side);
    pen.spot(Point::spring_block_length, s.spring_side - up * 28);
    pen.spot(Point::collar_mm_per_turn, s.collar + side * s.spring_radius);
    pen.spot(Point::spring_preload, s.collar - side * s.spring_radius);
    pen.spot(Point::preload_turns, s.collar + side * s.spring_radius - up * 10);
    pen.spot(Point::travel, (s.seat + s.rod_eye) * 0.5);
    pen.spot(Point::gas_force, s.gas);
    pen.spot(Point::part_name, s.body);
    anchor_insides(pen, s.body, s.spring_side);
    pen.spot(Point::clicks_compression_low, s.compression_low);
    pen.spot(Point::clicks_compression_high, s.compression_high);
    pen.spot(Point::clicks_rebound_low, s.rebound_low);
    pen.spot(Point::clicks_rebound_high, s.rebound_high);
}

void anchor_chain(Pen& pen, const Plan& plan, Vec2 axle) {
    const ChainRun run = chain_run(plan.chain, axle, plan.output_shaft);
    // A little behind mid span, where the shock's dimension line does not pass.
    const Vec2 mid = run.lower(0.42), half = {0, plan.chain.slack / 2};
    pen.dimension(Point::chain_slack, mid - half, mid + half, 0);
    pen.spot(Point::sprocket_front, plan.output_shaft + Vec2{plan.chain.radius_front(), 0});
    pen.spot(Point::sprocket_rear, axle + heading(2.2) * plan.chain.radius_rear());
    pen.spot(Point::chain_links, run.upper(0.3));
    pen.dimension(Point::chain_gauge_length, run.lower(0.2), run.lower(0.8), -24);
    pen.spot(Point::chain_gauge_links, run.lower(0.7));
}

void anchor_fork(Pen& pen, const Plan& plan, const ForkSpots& f) {
    const Vec2 up = plan.steering(), forward = left_of(up) * -1;
    const Vec2 upper = yokes_at(plan).upper;
    pen.dimension(Point::fork_length, f.axle, f.top, 150);
    pen.dimension(Point::fork_position, upper, f.top, 62);
    pen.spot(Point::fork_position_min, upper - forward * 27);
    pen.spot(Point::fork_position_max, f.top - forward * 20);
    const Vec2 middle = (f.spring_low + f.spring_high) * 0.5;
    pen.spot(Point::spring_installed_length, middle + forward * f.half_width);
    pen.spot(Point::spring_free_length, middle + forward * f.half_width + up * 34);
    pen.spot(Point::spring_rate, middle + forward * f.half_width - up * 34);
    pen.spot(Point::spring_block_length, f.spring_low + forward * f.half_width);
    pen.spot(Point::collar_mm_per_turn, f.cap_side);
    pen.spot(Point::spring_preload, f.spring_high + forward * f.half_width);
    pen.spot(Point::preload_turns, f.cap_side - up * 12);
    pen.spot(Point::gas_force, f.cap + forward * 14 - up * 10);
    pen.spot(Point::travel, f.axle + up * 110 + forward * 21);
    pen.spot(Point::part_name, f.spring_low - forward * f.half_width);
    anchor_insides(pen, f.cap, middle + forward * f.half_width);
    pen.spot(Point::fork_oil_level, f.top - up * 60 - forward * f.half_width);
    pen.spot(Point::fork_bore, f.top - up * 24 - forward * f.half_width);
    pen.spot(Point::clicks_rebound_low, f.cap);
    pen.spot(Point::clicks_rebound_high, f.cap - forward * 8 - up * 4);
    pen.spot(Point::clicks_compression_low, f.foot);
    pen.spot(Point::clicks_compression_high, f.foot_side);
}

}  // namespace

void anchor_tyre(Pen& pen, const WheelSpots& wheel, Vec2 axle) {
    pen.spot(Point::tyre, wheel.tyre);
    pen.spot(Point::rolling_circumference, {2 * axle.x - wheel.tyre.x, wheel.tyre.y});
    pen.spot(Point::tyre_pressure_cold, wheel.valve);
    pen.spot(Point::tyre_pressure_hot, wheel.valve + direction(axle, wheel.valve) * 16);
}

double ground_gap(const Heights& heights) {
    return heights.drawn < heights.topped_out - 0.05 ? 0 : 26;
}

void rear_ghost(Pen& pen, const SceneInput& scene) {
    const auto& [input, plan] = scene;
    if (!plan.rear.ghost) return;
    ghost_wheel(pen, plan.rear_axle(*plan.rear.ghost), plan.rear_radius, input.ghost_ink);
    ghost_arm(pen, plan, *plan.rear.ghost, input.ghost_ink);
}

void front_ghost(Pen& pen, const SceneInput& scene) {
    const auto& [input, plan] = scene;
    if (!plan.front.ghost) return;
    const double height = *plan.front.ghost;
    const Vec2 axle = plan.front_axle(height);
    ghost_wheel(pen, axle, plan.front_radius, input.ghost_ink);
    const Place leg{plan.front_axle(plan.front.topped_out), plan.steering()};
    ghost_foot(pen, leg, plan.fork, plan.fork.length - plan.fork_travel(height), input.ghost_ink);
}

void rear_end(Pen& pen, const SceneInput& scene, Ink ink, bool anchors) {
    const Plan& plan = scene.plan;
    const double height = plan.rear.drawn;
    const Vec2 axle = plan.rear_axle(height);
    const ArmSpots arm = draw_arm(pen, plan, height, ink);
    draw_chain_axes(pen, plan.chain, axle, plan.output_shaft);
    const Linkage link = linkage_at(plan, height);
    draw_linkage(pen, link, ink);
    const Place unit{link.shock_top, direction(link.shock_top, link.shock_foot, {0, -1})};
    const ShockSpots shock =
        draw_shock(pen, unit, plan.shock, length(link.shock_foot - link.shock_top), -1, ink);
    draw_axle(pen, axle, ink);
    if (!anchors) return;
    // One line ahead of the axle, two behind: tags are wider than the lines can be apart.
    anchor_heights(pen, plan.rear, plan.rear_mark(), {0, 1}, {-150, 80, 200});
    anchor_shock(pen, shock, unit.along);
    pen.dimension(Point::link_rod, link.rod_arm, link.rod_rocker, -70);
    anchor_chain(pen, plan, axle);
    pen.spot(Point::axle_position, arm.slot_end);
}

void front_end(Pen& pen, const SceneInput& scene, Ink ink, bool anchors) {
    const Plan& plan = scene.plan;
    const Vec2 axle = plan.front_axle(plan.front.drawn);
    const double now = plan.fork.length - plan.fork_travel(plan.front.drawn);
    const ForkSpots fork = draw_leg(pen, {axle, plan.steering()}, plan.fork, now, ink);
    draw_yokes(pen, plan);
    pen.centre_cross(axle, 30);
    pen.mark(plan.front_mark(), Ink::ink);
    // The steering axis comes out below the foot and meets the ground ahead of the tyre's contact: trail.
    const Vec2 down = plan.steering() * -1, on_axis = axle + left_of(down) * -plan.offset;
    pen.line(on_axis + down * 52, on_axis + down * (plan.front_radius / std::cos(plan.rake_rad) + 40),
             axis_line);
    if (!anchors) return;
    const Vec2 up = plan.along_fork ? plan.steering() : Vec2{0, 1};
    anchor_heights(pen, plan.front, plan.front_mark(), up, {-80, -170, -260});
    anchor_fork(pen, plan, fork);
}

void stand_rear(Pen& pen, const SceneInput& scene) {
    const auto& [input, plan] = scene;
    const Vec2 axle = plan.rear_axle(plan.rear.drawn);
    const double floor = axle.y - plan.rear_radius - ground_gap(plan.rear);
    pen.ground(axle.x - plan.rear_radius - 40, 300, floor, floor);
    rear_ghost(pen, scene);
    const WheelSpots wheel = draw_wheel(pen, axle, plan.rear_radius, {-0.5, -0.866}, input.ink);
    draw_rear_frame(pen, plan, true);
    rear_end(pen, scene, input.ink, true);
    anchor_tyre(pen, wheel, axle);
    const Vec2 mark = plan.rear_mark();
    const double left = axle.x - plan.rear_radius, top = std::max(mark.y + 40, 260.0);
    pen.view({left - 90, floor - 110}, {400, top + 110});
}

void stand_front(Pen& pen, const SceneInput& scene) {
    const auto& [input, plan] = scene;
    const Vec2 axle = plan.front_axle(plan.front.drawn);
    const double floor = axle.y - plan.front_radius - ground_gap(plan.front);
    pen.ground(axle.x - plan.front_radius - 260, axle.x + plan.front_radius + 60, floor, floor);
    front_ghost(pen, scene);
    const WheelSpots wheel = draw_wheel(pen, axle, plan.front_radius, {0.5, -0.866}, input.ink);
    pen.circle(axle, 0.53 * plan.front_radius, thin);  // brake disc
    draw_steering_head(pen, plan, true);
    front_end(pen, scene, input.ink, true);
    anchor_tyre(pen, wheel, axle);
    const YokeSpots yokes = yokes_at(plan);
    const double left = std::min(yokes.head.x - 330, axle.x - plan.front_radius);
    pen.view({left - 120, floor - 120}, {axle.x + plan.front_radius + 200, yokes.upper.y + 190});
}

}  // namespace restand::drawing
