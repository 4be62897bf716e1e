// The whole bike against an independent program: linkage, standing bike, attitude, squat.
// Data: golden_bike_a.json [computed; see "source" there]. Tolerances: kinematics 1e-6 mm and 1e-9 in motion
// ratio, stance 1e-6, as the project asks for.

#include "core/machine/end.h"
#include "core/machine/squat.h"
#include "tests/reference/golden.h"

using namespace restand;
using namespace restand::test;

namespace {

constexpr double stance = 1e-6;

LinkageMap map_of(const WholeBike& bike) {
    const auto map = LinkageMap::of(bike.linkage);
    REQUIRE(map.has_value());
    return *map;
}

void check_attitude(const Attitude& a, const json& expected) {
    CHECK(apart(in_degrees(a.rake), number(expected, "rake_deg")) < stance);
    CHECK(apart(in_mm(a.trail), number(expected, "trail_mm")) < stance);
    CHECK(apart(in_mm(a.wheelbase), number(expected, "wheelbase_mm")) < stance);
    CHECK(apart(in_mm(a.pivot_height), number(expected, "pivot_height_mm")) < stance);
    REQUIRE(a.tail_height.has_value());
    CHECK(apart(in_mm(*a.tail_height), number(expected, "axle_to_tail_mark_straight_mm")) < stance);
}

void check_standing(const StandingBike& s, const json& expected) {
    const auto near = [&](double is, const char* key) {
        CAPTURE(key);
        CHECK(apart(is, number(expected, key)) < stance);
    };
    check_attitude(s.attitude, expected);
    near(in_degrees(s.pose.droop), "alpha_deg");
    near(in_mm(s.rear_travel), "rear_travel_mm");
    near(in_mm(s.shock_length), "shock_len_mm");
    near(in_mm(s.shock_travel), "shock_stroke_mm");
    near(in_newton(s.shock_force), "shock_force_N");
    near(in_mm(s.pose.fork_travel), "fork_stroke_mm");
    near(in_newton_per_mm(s.wheel_rate), "wheel_rate_N_per_mm");
    near(in_newton(s.loads->front), "Nf_N");
    near(in_newton(s.loads->rear), "Nr_N");
    near(in_mm(s.loads->mass_ahead), "cg_ahead_of_rear_contact_mm");
    near(in_mm(s.loads->mass_height), "cg_height_mm");
    near(in_mm(s.attitude.normal_trail), "normal_trail_mm");
    near(in_degrees(s.attitude.arm_to_ground), "arm_to_ground_deg");
    near(in_degrees(s.attitude.pitch), "chassis_mu_deg");
    near(in_mm(*s.attitude.tail_upright), "axle_to_tail_mark_groundvertical_mm");
    near(in_mm(s.attitude.head_height), "head_ref_height_mm");
    CHECK(apart(s.motion_ratio, number(expected, "motion_ratio")) < 1e-9);
    CHECK(apart(s.motion_ratio_slope, number(expected, "dmotion_ratio_dz_per_mm")) < 1e-9);
}

}  // namespace

TEST_CASE("golden bike: the linkage over its whole travel") {
    const json data = golden("golden_bike_a.json");
    const WholeBike bike = golden_bike(data);
    const LinkageMap map = map_of(bike);
    const auto top = map.droop_at(bike.shock.length),
               full = map.droop_at(bike.shock.length - *bike.shock.travel);
    REQUIRE(top.has_value());
    REQUIRE(full.has_value());
    CHECK(apart(in_degrees(*top), number(data, "alpha_topout_deg")) < 1e-9);
    CHECK(apart(in_degrees(*full), number(data, "alpha_full_stroke_deg")) < 1e-9);
    const auto rise = [&](Angle droop) { return in_mm(bike.arm) * (sin(*top) - sin(droop)); };
    CHECK(apart(rise(*full), number(data, "wheel_travel_full_mm")) < 1e-6);
    REQUIRE(data.at("kinematics").size() == 15);
    for (const json& row : data.at("kinematics")) {
        CAPTURE(number(row, "z_mm"));
        const auto droop = map.droop_at(mm(number(row, "shock_len_mm")));
        REQUIRE(droop.has_value());
        CHECK(apart(in_degrees(*droop), number(row, "alpha_deg")) < 1e-9);
        CHECK(apart(rise(*droop), number(row, "z_mm")) < 1e-6);
        const auto place = place_at(bike.linkage, degrees(number(row, "alpha_deg")));
        REQUIRE(place.has_value());
        CHECK(apart(in_mm(place->length), number(row, "shock_len_mm")) < 1e-6);
        const double l = in_mm(bike.arm), a = droop->value, dz = -l * std::cos(a);
        CHECK(apart(-place->slope / dz, number(row, "motion_ratio")) < 1e-9);
        const double slope = -(place->bend - place->slope / dz * l * std::sin(a)) / (dz * dz);
        CHECK(apart(slope, number(row, "dmotion_ratio_dz_per_mm")) < 1e-9);
    }
}

TEST_CASE("golden bike: the linkage's points topped out, and the dead centre it ends at") {
    const json data = golden("golden_bike_a.json");
    const WholeBike bike = golden_bike(data);
    const auto place = place_at(bike.linkage, degrees(number(data, "alpha_topout_deg")));
    REQUIRE(place.has_value());
    const json& points = data.at("points_topout_chassis_frame");
    const auto near = [&](const PlanePoint& p, const char* key) {
        CHECK(apart(in_mm(p.x), points.at(key).at(0).get<double>()) < 1e-6);
        CHECK(apart(in_mm(p.z), points.at(key).at(1).get<double>()) < 1e-6);
    };
    near(place->rod_at_arm_side, "S");
    near(place->rod_at_rocker, "T");
    near(place->unit_at_rocker, "V");
    near(place->unit_end, "U");
    const auto limit = map_of(bike).shortest();
    CHECK(limit.why == LinkageEnd::stretched);
    const double dead = data.at("assembly_limits_droop_deg").at("dead_centre_rod_and_rocker_stretched").at(0);
    CHECK(apart(in_degrees(limit.droop), dead) < 1e-6);
}

TEST_CASE("golden bike: height map through the linkage, wheel force and rate over the travel") {
    const json data = golden("golden_bike_a.json");
    const WholeBike bike = golden_bike(data);
    const auto map = HeightMap::linkage(map_of(bike), bike.arm);
    REQUIRE(map.has_value());
    const EndModel end{bike.shock, *map->anchored(bike.shock.length, mm(500))};
    for (const json& row : data.at("kinematics")) {
        CAPTURE(number(row, "z_mm"));
        const auto stands = standing_at(end, mm(500 - number(row, "z_mm")));
        REQUIRE(stands.has_value());
        CHECK(apart(in_mm(stands->length), number(row, "shock_len_mm")) < 1e-6);
        CHECK(apart(stands->leverage, number(row, "leverage_ratio")) < 1e-8);
        CHECK(apart(in_newton(stands->load), number(row, "wheel_force_chassis_z_N")) < 1e-6);
        CHECK(apart(in_newton_per_mm(stands->wheel_rate), number(row, "wheel_rate_N_per_mm")) < 1e-6);
    }
}

TEST_CASE("golden bike: attitude at 45 poses of both ends") {
    const json data = golden("golden_bike_a.json");
    const WholeBike bike = golden_bike(data);
    const double top = degrees(number(data, "alpha_topout_deg")).value, l = in_mm(bike.arm);
    REQUIRE(data.at("geometry_grid").size() == 45);
    for (const json& row : data.at("geometry_grid")) {
        const double sine = std::sin(top) - number(row, "rear_travel_mm") / l;
        const Pose pose{radians(std::asin(sine)), mm(number(row, "fork_stroke_mm"))};
        const Attitude a = attitude(bike, pose, free_radii(bike));
        check_attitude(a, row);
        CHECK(apart(in_mm(a.normal_trail), number(row, "normal_trail_mm")) < stance);
        CHECK(apart(in_degrees(a.arm_to_ground), number(row, "arm_to_ground_deg")) < stance);
    }
}

TEST_CASE("golden bike: it stands alone, with its rider, on soft tyres, and topped out") {
    const json data = golden("golden_bike_a.json");
    WholeBike bike = golden_bike(data);
    const LinkageMap map = map_of(bike);
    const json& rigid = data.at("equilibrium_rigid_tyres");
    for (const auto& [rider, key] : {std::pair{Rider::off, "bike_only"}, {Rider::on, "with_rider"}}) {
        const auto stands = standing(bike, map, rider);
        REQUIRE(stands.has_value());
        check_standing(*stands, rigid.at(key));
        CHECK_FALSE(stands->rear_topped_out);
    }
    const json& b = data.at("bike");
    WholeBike soft = bike;
    soft.rear = {mm(number(b, "Rr0")), newton_per_mm(number(b, "kt_r"))};
    soft.front = {mm(number(b, "Rf0")), newton_per_mm(number(b, "kt_f"))};
    const json& sunk = data.at("equilibrium_with_tyre_stiffness_with_rider");
    const auto on_tyres = standing(soft, map, Rider::on);
    REQUIRE(on_tyres.has_value());
    check_standing(*on_tyres, sunk);
    CHECK(apart(in_mm(on_tyres->radii.rear), number(sunk, "Rr_loaded_mm")) < stance);
    CHECK(apart(in_mm(on_tyres->radii.front), number(sunk, "Rf_loaded_mm")) < stance);

    const json& held = data.at("topped_out_case_preload_plus_8mm_bike_only");
    bike.shock.installed_length = bike.shock.spring.free_length - mm(number(held, "preload_mm"));
    const auto topped = standing(bike, map, Rider::off);
    REQUIRE(topped.has_value());
    CHECK(topped->rear_topped_out);
    CHECK(apart(in_mm(topped->rear_travel), 0.0) < stance);
    CHECK(apart(in_mm(topped->pose.fork_travel), number(held, "fork_stroke_mm")) < stance);
    CHECK(apart(in_degrees(topped->attitude.rake), number(held, "rake_deg")) < stance);
}

TEST_CASE("golden bike: squat point, squat and load-transfer angle over the travel") {
    const json data = golden("golden_bike_a.json");
    WholeBike bike = golden_bike(data);
    bike.chain = golden_chain(data);
    const LinkageMap map = map_of(bike);
    const auto rider = standing(bike, map, Rider::on);
    REQUIRE(rider.has_value());
    const double l = in_mm(bike.arm), top = map.droop_at(bike.shock.length)->value;
    for (const auto& [key, deeper] :
         {std::pair{"at_rider_sag", 0.0}, {"rider_sag_plus_20_mm", 20.0}, {"rider_sag_plus_40_mm", 40.0}}) {
        const auto& which = key;
        CAPTURE(which);
        const json& expected = data.at("anti_squat").at(key);
        const double sine = std::sin(top) - (in_mm(rider->rear_travel) + deeper) / l;
        const auto at = squat_at(bike, map, *rider, Rider::on, radians(std::asin(sine)));
        REQUIRE(at.has_value());
        CHECK(apart(in_degrees(at->upper_run), number(expected, "chain_upper_run_angle_to_ground_deg")) <
              stance);
        CHECK(apart(in_mm(at->squat_point.x), number(expected, "IC_ahead_of_rear_contact_mm")) < stance);
        CHECK(apart(in_mm(at->squat_point.z), number(expected, "IC_height_mm")) < stance);
        CHECK(apart(in_degrees(at->squat_angle), number(expected, "squat_angle_sigma_deg")) < stance);
        CHECK(apart(in_degrees(at->transfer_angle), number(expected, "load_transfer_angle_tau_deg")) <
              stance);
        CHECK(apart(at->squat_ratio, number(expected, "squat_ratio_tan_tau_over_tan_sigma")) < stance);
        CHECK(apart(at->anti_squat_percent, number(expected, "anti_squat_pct_from_moments")) < stance);
    }
}
