#pragma once
// Every quantity that can be measured on a bike (a point), in one table in point.cpp: one line per point,
// with key, dimension and limits. The words for the screen are in app/views.

#include <array>
#include <optional>
#include <span>
#include <string_view>

#include "core/quantity/unit.h"

namespace restand {

enum class End { rear, front };
std::string_view key(End end);   // in files: "rear", "front"

enum class Point {
    // Stance of the bike. Ride height: axle to a fixed mark; larger = more extended.
    ride_height_topped_out, ride_height_static, ride_height_rider,
    // The unit (shock, or both fork legs) and its spring.
    eye_to_eye,              // between the eye centres, unloaded
    eye_to_eye_min, eye_to_eye_max, length_mm_per_turn,
    fork_length,             // front: axle to top of the tube, topped out
    fork_position,           // front: tube end above the upper yoke; larger lowers the front
    fork_position_min, fork_position_max,
    travel,                  // of the unit, from topped out to fully compressed
    gas_force,               // pushes the rod out, topped out; 0 if there is no gas
    spring_rate, spring_free_length, spring_installed_length, spring_block_length,
    collar_mm_per_turn,
    // Damper adjusters: clicks out from fully closed.
    clicks_compression_low, clicks_compression_high, clicks_rebound_low, clicks_rebound_high,
    // Chain run, gearing, tyres.
    chain_slack, axle_position, sprocket_front, sprocket_rear, chain_links,
    tyre_pressure_cold, tyre_pressure_hot,
    // Wear and friction, tracked over the season.
    chain_gauge_length, chain_gauge_links,   // pulled tight, pin centre to pin centre, over that many links
    ride_height_lifted, ride_height_pressed, // static; lifted and let settle, pressed down and let rise
    tyre, part_name,         // text: marking of the fitted part, in repeats[0].text; never pass to measured()
    // Parts that change the height of an end but are not its unit.
    rolling_circumference,   // of the tyre, rolled one turn on the bike
    link_rod,                // pull or tie rod of the linkage, centre to centre
    fork_oil_level,          // oil surface to top of tube, leg fully compressed, spring out
    fork_bore,               // inner diameter of the tube that holds the oil
    // The spring's preload itself, where its lengths are not read
    spring_preload,          // how far it is compressed, unit topped out
    preload_turns,           // of the collar, from where the spring just touches
    // The load that the heights were read with; of the whole bike.
    fuel,                    // mass in the tank
    rider_mass,              // rider in kit
    wheel_weight,            // scales under this wheel, no rider
    damper_temperature,      // of the unit's body, when the heights were read
    spring_moved,            // 1: the new unit takes over the old one's spring
    // Tank, bodywork and ballast that are fitted
    fitted_mass,
    fitted_mass_ahead,       // their middle, from the rear axle forward
    // The insides of the unit; asked for on request (is_inside)
    unsprung_mass,           // hangs at the axle, wheel off the ground; counts beside a top-out spring
    top_out_rate,
    top_out_reach,           // travel over which the top-out spring pushes
    helper_rate,
    helper_free_length, helper_block_length,
    other_leg_rate,          // fork with unlike legs: the second one's spring; both have the same preload
    bump_travel,             // where the bump rubber begins
    bump_rate,
    rod_diameter,            // of the damper
    gas_volume,              // of the reservoir, topped out
    // Progressive spring: spring_rate at first; the rate rises evenly between two deflections
    end_rate, rate_rises_from, rate_rises_to,
    count_                   // not a point: the number of points
};
inline constexpr int point_count = static_cast<int>(Point::count_);

struct PointFacts {
    Point point;
    std::string_view key;        // in files: "eye_to_eye"; the unit suffix is added by unit_key()
    Dimension dimension;
    double hard_min, hard_max;   // canonical; a value outside is impossible and refused
    // Canonical; a value outside must be confirmed (common practice, no source: checkvalues P-24)
    double usual_min, usual_max;
    // Canonical; a larger change from the last baseline asks 'same mark, same state?'
    double jump;
};
const PointFacts& facts(Point point);
std::span<const PointFacts> all_points();
std::optional<Point> point_of_key(std::string_view key);
bool is_text(Point point);       // true for a marking; it has no numeric value

// The three ride heights, one per state, in the order of State (restore.h).
inline constexpr std::array ride_heights = {Point::ride_height_topped_out, Point::ride_height_static,
                                            Point::ride_height_rider};
bool is_ride_height(Point point);
bool is_of_bike(Point point);    // of the whole bike, not of one end: fuel, rider, tank and bodywork
// The load and state that ride heights were read with: fuel, rider, wheel weight, damper temperature.
bool goes_with_heights(Point point);
bool is_inside(Point point);     // of the insides of the unit, from unsprung_mass on

}  // namespace restand
