// The part on the bench, lying, to scale; the loose spring below it.

#include <algorithm>

#include "app/views/drawing/fork.h"
#include "app/views/drawing/scenes.h"
#include "app/views/drawing/shock.h"

namespace restand::drawing {
namespace {

// The spring as it lies on the bench: what it measures free, and how short it can get.
void loose_spring(Pen& pen, const UnitSizes& sizes, const Coil& coil, Vec2 seat, double block_offset) {
    const Place place{seat, {1, 0}};
    coil_behind(pen, place, coil, Ink::ink);
    coil_before(pen, place, coil, Ink::ink);
    pen.line(place(-16, 0), place(coil.length + 16, 0), axis_line);
    const double r = coil.radius, block = std::min(sizes.block, 0.95 * coil.length);
    pen.line(place(block, -r - 10), place(block, r + 10), {Line::ghost, Ink::quiet});
    pen.dimension(Point::spring_block_length, place(0, -r), place(block, -r), -block_offset);
    pen.dimension(Point::spring_free_length, place(0, -r), place(coil.length, -r), -2.1 * block_offset);
    pen.spot(Point::spring_rate, place(0, 0.5 * r));
}

}  // namespace

void bench_rear(Pen& pen, const SceneInput& scene) {
    const auto& [input, plan] = scene;
    const UnitSizes& u = plan.shock;
    const double l = u.length, k = std::clamp(l / 310, 0.55, 1.4);
    const Place unit{{0, 0}, {1, 0}};
    const ShockSpots s = draw_shock(pen, unit, u, l, 1, input.ink);
    ghost_rod(pen, unit, u, l - u.travel, Ink::quiet);
    pen.dimension(Point::eye_to_eye, s.body_eye, s.rod_eye, 118 * k);
    pen.dimension(Point::spring_installed_length, s.collar, s.seat, -66 * k);
    pen.dimension(Point::travel, {l - u.travel, 0}, {l, 0}, 62 * k);
    pen.spot(Point::eye_to_eye_max, {l + 12 * k, 5 * k});
    pen.spot(Point::eye_to_eye_min, {l + 10 * k, -8 * k});
    pen.spot(Point::length_mm_per_turn, s.length_adjuster);
    pen.spot(Point::collar_mm_per_turn, s.collar + Vec2{-6 * k, -s.spring_radius});
    pen.spot(Point::spring_preload, s.collar + Vec2{8 * k, s.spring_radius});
    pen.spot(Point::preload_turns, s.collar + Vec2{-10 * k, s.spring_radius});
    pen.spot(Point::gas_force, s.gas);
    pen.spot(Point::part_name, {36 * k, 83 * k});
    pen.spot(Point::clicks_compression_low, s.compression_low);
    pen.spot(Point::clicks_compression_high, s.compression_high);
    pen.spot(Point::clicks_rebound_low, s.rebound_low);
    pen.spot(Point::clicks_rebound_high, s.rebound_high);
    Coil loose = shock_coil(u, u.free);
    const Vec2 seat = {(l - u.free) / 2, -186 * k};
    loose_spring(pen, u, loose, seat, 34 * k);
    const double left = std::min(0.0, seat.x), right = std::max(l, seat.x + u.free);
    pen.view({left - 0.16 * l, seat.y - 135 * k}, {right + 0.38 * l, 190 * k});
}

void bench_front(Pen& pen, const SceneInput& scene) {
    const auto& [input, plan] = scene;
    const UnitSizes& u = plan.fork;
    const double l = u.length;
    const Place leg{{0, 0}, {1, 0}};
    ghost_foot(pen, leg, u, l - u.travel, Ink::quiet);
    const ForkSpots f = draw_leg(pen, leg, u, l, input.ink);
    draw_hidden_spring(pen, leg, u, l, input.ink);
    pen.line(leg(-70, 0), leg(l + 50, 0), axis_line);
    // Where the upper yoke holds it.
    const double yoke = l - u.fork_position;
    pen.bar(leg, yoke - 27, yoke, f.half_width + 12, {Line::ghost, Ink::quiet});
    pen.dimension(Point::fork_length, f.axle, f.top, 150);
    pen.dimension(Point::fork_position, {yoke, 27}, {l, 27}, 50);
    pen.spot(Point::fork_position_min, {l - u.fork_position_min, -27});
    pen.spot(Point::fork_position_max, {l - u.fork_position_max, 39});
    pen.dimension(Point::spring_installed_length, f.spring_low, f.spring_high, -95);
    pen.dimension(Point::travel, f.axle, {u.travel, 0}, -95);
    pen.spot(Point::collar_mm_per_turn, f.cap_side);
    pen.spot(Point::spring_preload, f.spring_high + Vec2{0, f.half_width});
    pen.spot(Point::preload_turns, f.cap_side - Vec2{14, 0});
    pen.spot(Point::gas_force, f.cap_side + Vec2{0, 40});
    pen.spot(Point::part_name, {0.45 * l, f.half_width});
    pen.spot(Point::fork_oil_level, {l - 90, -f.half_width});
    pen.spot(Point::fork_bore, {l - 24, -f.half_width});
    pen.spot(Point::clicks_rebound_low, f.cap);
    pen.spot(Point::clicks_rebound_high, f.cap + Vec2{-5, 8});
    pen.spot(Point::clicks_compression_low, f.foot);
    pen.spot(Point::clicks_compression_high, f.foot_side);
    const Coil loose = {.length = u.free, .radius = 26, .wire = std::min(7.0, u.block / 13), .turns = 12};
    const Vec2 seat = {(l - u.free) / 2, -300};
    loose_spring(pen, u, loose, seat, 70);
    pen.spot(Point::spring_rate, seat + Vec2{u.free, 13});  // room is on this side
    const double left = std::min(0.0, seat.x), right = std::max(l, seat.x + u.free);
    pen.view({left - 0.12 * l, seat.y - 250}, {right + 0.26 * l, 290});
}

}  // namespace restand::drawing
