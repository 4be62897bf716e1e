#pragma once
// The points of a bike at which a reading is taken, as one table: a new reading is one line in point.cpp.
// Key, dimension and limits live here; the words for the screen live in app/views.

#include <array>
#include <optional>
#include <span>
#include <string_view>

#include "core/quantity/unit.h"

namespace restand {

enum class End { rear, front };
std::string_view key(End end);   // in files: "rear", "front"

enum class Point {
    // How the bike stands. Ride height: axle to a fixed mark, larger = more extended.
    ride_height_topped_out, ride_height_static, ride_height_rider,
    // The unit (shock, or both fork legs) and its spring.
    eye_to_eye,              // between the eye centres, nothing loading it
    eye_to_eye_min, eye_to_eye_max, length_mm_per_turn,
    fork_length,             // front: axle to top of the tube, topped out
    fork_position,           // front: tube end above the upper yoke; larger lowers the front
    fork_position_min, fork_position_max,
    travel,                  // of the unit, topped out to fully compressed
    gas_force,               // pushing the rod out, topped out; 0 where there is none
    spring_rate, spring_free_length, spring_installed_length, spring_block_length,
    collar_mm_per_turn,
    // Dampers, counted out from fully closed.
    clicks_compression_low, clicks_compression_high, clicks_rebound_low, clicks_rebound_high,
    // Chain run, gearing, tyres: what later work computes with.
    chain_slack, axle_position, sprocket_front, sprocket_rear, chain_links,
    tyre_pressure_cold, tyre_pressure_hot,
    // What wears and what sticks, watched over the season.
    chain_gauge_length, chain_gauge_links,   // pulled tight, pin centre to pin centre, over so many links
    ride_height_lifted, ride_height_pressed, // static, settled from above and from below
    tyre, part_name,         // text: what is fitted, as marked; repeats[0].text, never measured()
    // Parts that move an end without being its unit.
    rolling_circumference,   // of a tyre on the bike, rolled one turn
    link_rod,                // pull or tie rod of the linkage, centre to centre
    fork_oil_level,          // oil to the top of the tube, leg pushed together, spring out
    fork_bore,               // of the tube the oil stands in, inside
    count_                   // not a point: how many there are
};
inline constexpr int point_count = static_cast<int>(Point::count_);

struct PointFacts {
    Point point;
    std::string_view key;        // in files: "eye_to_eye"; the unit suffix is added by unit_key()
    Dimension dimension;
    double hard_min, hard_max;   // canonical; outside is refused as impossible
    // Canonical; outside is asked about (common practice, no source: checkvalues P-24)
    double usual_min, usual_max;
    // Canonical; further than this from the last baseline asks 'same mark, same state?'
    double jump;
};
const PointFacts& facts(Point point);
std::span<const PointFacts> all_points();
std::optional<Point> point_of_key(std::string_view key);
bool is_text(Point point);       // a name, as marked; nothing to compute with

// The three states a height is read in, in the order of State (restore.h).
inline constexpr std::array ride_heights = {Point::ride_height_topped_out, Point::ride_height_static,
                                            Point::ride_height_rider};
bool is_ride_height(Point point);

}  // namespace restand
