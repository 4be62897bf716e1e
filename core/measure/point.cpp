#include "core/measure/point.h"

#include <algorithm>
#include <array>

namespace restand {
namespace {

// Values outside the hard limits are impossible. Usual ranges are common practice, no source. Documented
// practice: P-09 collar pitch, P-13 slack, P-24 eye-to-eye, links, teeth. Spring rate and spring lengths
// apply to fork and shock (P-24: 8–12 and 60–130 N/mm), so their ranges cover both. The other ranges are
// judgement.
//
// Jump: for a height about the smallest difference between two states, to catch static read as topped out.
// For the others a change that a person would question.
using P = Point;

// clang-format off
constexpr std::array<PointFacts, point_count> point_table = [] {
    using enum Dimension;
    return std::array<PointFacts, point_count>{{
    // point                      key                        dimension        hard        usual      jump
    {P::ride_height_topped_out,   "ride_height_topped_out",  length,          0, 2000,    100, 900,  8},
    {P::ride_height_static,       "ride_height_static",      length,          0, 2000,    100, 900,  8},
    {P::ride_height_rider,        "ride_height_rider",       length,          0, 2000,    100, 900,  8},
    {P::eye_to_eye,               "eye_to_eye",              length,          1, 2000,    250, 400,  3},
    {P::eye_to_eye_min,           "eye_to_eye_min",          length,          1, 2000,    250, 400,  3},
    {P::eye_to_eye_max,           "eye_to_eye_max",          length,          1, 2000,    250, 400,  3},
    {P::length_mm_per_turn,       "length_mm_per_turn",      length_per_turn, 0.01, 50,   0.5, 3,    0.3},
    {P::fork_length,              "fork_length",             length,          1, 2000,    500, 950,  3},
    {P::fork_position,            "fork_position",           length,          0, 2000,    0, 30,     5},
    {P::fork_position_min,        "fork_position_min",       length,          0, 2000,    0, 30,     5},
    {P::fork_position_max,        "fork_position_max",       length,          0, 2000,    0, 30,     5},
    {P::travel,                   "travel",                  length,          0, 2000,    40, 200,   5},
    {P::gas_force,                "gas_force",               force,           0, 5000,    0, 800,    100},
    {P::spring_rate,              "spring_rate",             rate,            0.01, 2000, 5, 200,    15},
    {P::spring_free_length,       "spring_free_length",      length,          1, 2000,    120, 450,  10},
    {P::spring_installed_length,  "spring_installed_length", length,          1, 2000,    100, 450,  8},
    {P::spring_block_length,      "spring_block_length",     length,          1, 2000,    40, 300,   5},
    {P::collar_mm_per_turn,       "collar_mm_per_turn",      length_per_turn, 0.01, 50,   0.9, 2.1,  0.3},
    {P::clicks_compression_low,   "clicks_compression_low",  clicks,          0, 100,     0, 40,     8},
    {P::clicks_compression_high,  "clicks_compression_high", clicks,          0, 100,     0, 40,     8},
    {P::clicks_rebound_low,       "clicks_rebound_low",      clicks,          0, 100,     0, 40,     8},
    {P::clicks_rebound_high,      "clicks_rebound_high",     clicks,          0, 100,     0, 40,     8},
    {P::chain_slack,              "chain_slack",             length,          0, 2000,    20, 50,    10},
    {P::axle_position,            "axle_position",           length,          0, 2000,    0, 60,     10},
    {P::sprocket_front,           "sprocket_front",          count,           5, 100,     12, 18,    2},
    {P::sprocket_rear,            "sprocket_rear",           count,           5, 100,     34, 52,    4},
    {P::chain_links,              "chain_links",             count,           40, 300,    96, 124,   4},
    {P::tyre_pressure_cold,       "tyre_pressure_cold",      pressure,        0, 1,       0.1, 0.3,  0.05},
    {P::tyre_pressure_hot,        "tyre_pressure_hot",       pressure,        0, 1,       0.1, 0.3,  0.05},
    {P::chain_gauge_length,       "chain_gauge_length",      length,          10, 3000,   150, 500,  5},
    {P::chain_gauge_links,        "chain_gauge_links",       count,           1, 200,     10, 40,    1},
    {P::ride_height_lifted,       "ride_height_lifted",      length,          0, 2000,    100, 900,  8},
    {P::ride_height_pressed,      "ride_height_pressed",     length,          0, 2000,    100, 900,  8},
    {P::tyre,                     "tyre",                    text,            0, 0,       0, 0,      0},
    {P::part_name,                "part_name",               text,            0, 0,       0, 0,      0},
    {P::rolling_circumference,    "rolling_circumference",   length,          500, 4000,  1700, 2150, 30},
    {P::link_rod,                 "link_rod",                length,          10, 1000,   60, 300,   3},
    {P::fork_oil_level,           "fork_oil_level",          length,          0, 1000,    60, 220,   20},
    {P::fork_bore,                "fork_bore",               length,          5, 200,     30, 55,    2},
    {P::spring_preload,           "spring_preload",          length,          0, 300,     0, 30,     5},
    {P::preload_turns,            "preload_turns",           turns,           0, 100,     0, 20,     3},
    {P::fuel,                     "fuel",                    mass,            0, 100,     0, 20,     20},
    {P::rider_mass,               "rider_mass",              mass,            0, 300,     40, 130,   8},
    {P::wheel_weight,             "wheel_weight",            mass,            0, 500,     50, 150,   8},
    {P::damper_temperature,       "damper_temperature",      temperature,     -50, 250,   -5, 120,   60},
    {P::spring_moved,             "spring_moved",            count,           0, 1,       0, 1,      0.5},
    {P::fitted_mass,              "fitted_mass",             mass,            0, 200,     0, 40,     40},
    {P::fitted_mass_ahead,        "fitted_mass_ahead",       length,          0, 2000,    300, 1400, 300},
    {P::unsprung_mass,            "unsprung_mass",           mass,            0, 200,     5, 40,     5},
    {P::top_out_rate,             "top_out_rate",            rate,            0.01, 2000, 2, 200,    20},
    {P::top_out_reach,            "top_out_reach",           length,          0.1, 300,   2, 60,     10},
    {P::helper_rate,              "helper_rate",             rate,            0.01, 2000, 2, 100,    10},
    {P::helper_free_length,       "helper_free_length",      length,          1, 2000,    10, 120,   8},
    {P::helper_block_length,      "helper_block_length",     length,          1, 2000,    3, 60,     5},
    {P::other_leg_rate,           "other_leg_rate",          rate,            0.01, 2000, 5, 200,    15},
    {P::bump_travel,              "bump_travel",             length,          0, 2000,    20, 150,   8},
    {P::bump_rate,                "bump_rate",               rate,            0.01, 2000, 10, 800,   100},
    {P::rod_diameter,             "rod_diameter",            length,          1, 100,     8, 20,     2},
    {P::gas_volume,               "gas_volume",              volume,          100, 5e6,   2e4, 3e5,  5e4},
    {P::end_rate,                 "end_rate",                rate,            0.01, 2000, 5, 200,    15},
    {P::rate_rises_from,          "rate_rises_from",         length,          0, 500,     0, 150,    20},
    {P::rate_rises_to,            "rate_rises_to",           length,          0.1, 500,   5, 250,    20},
    }};
}();
// clang-format on

constexpr bool sound() {
    for (std::size_t i = 0; i < point_table.size(); ++i) {
        const PointFacts& f = point_table[i];
        if (static_cast<std::size_t>(f.point) != i || f.key.empty()) return false;
        if (f.dimension == Dimension::text) continue;  // text has no limits
        if (f.jump <= 0.0) return false;
        if (f.hard_min > f.usual_min || f.usual_min >= f.usual_max || f.usual_max > f.hard_max) return false;
    }
    return true;
}
static_assert(sound(), "one line a point, in the order of the enumerators, the usual inside the possible");

}  // namespace

std::string_view key(End end) {
    return end == End::rear ? "rear" : "front";
}

const PointFacts& facts(Point point) {
    const auto index = static_cast<std::size_t>(point);
    check(index < point_table.size(), "point outside its table");
    return point_table[index];
}

std::span<const PointFacts> all_points() {
    return point_table;
}

std::optional<Point> point_of_key(std::string_view key) {
    const auto found = std::find_if(point_table.begin(), point_table.end(),
                                    [&](const PointFacts& f) { return f.key == key; });
    if (found == point_table.end()) return std::nullopt;
    return found->point;
}

bool is_text(Point point) {
    return facts(point).dimension == Dimension::text;
}

bool is_ride_height(Point point) {
    return std::find(ride_heights.begin(), ride_heights.end(), point) != ride_heights.end();
}

bool is_of_bike(Point point) {
    return point == Point::fuel || point == Point::rider_mass || point == Point::fitted_mass ||
           point == Point::fitted_mass_ahead;
}

bool goes_with_heights(Point point) {
    return point == Point::fuel || point == Point::rider_mass || point == Point::wheel_weight ||
           point == Point::damper_temperature;
}

bool is_inside(Point point) {
    return point >= Point::unsprung_mass && point < Point::count_;
}

}  // namespace restand
