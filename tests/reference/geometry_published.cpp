// Chassis geometry against published bicycles and textbooks.
// golden_geometry_published.json: Meijaard et al., Proc. R. Soc. A 463 (2007), Table 1; Moore, Human Control
// of a Bicycle, UC Davis 2012 [published]. golden_fourbar.json: textbook four-bars [see "source" there].
// golden_centre_of_mass.json: procedure of ISO 10392/ISO 9130, numbers ours.

#include "core/machine/centre_of_mass.h"
#include "core/machine/tyre_size.h"
#include "tests/reference/golden.h"

using namespace restand;
using namespace restand::test;

namespace {

// A bike put together from what was measured on it; arm, pivot and fork length do not enter its trail.
Attitude measured(double rake, double wheelbase, double offset, double rear, double front) {
    const MeasuredStance m{.rake = radians(rake),
                           .wheelbase = mm(wheelbase),
                           .offset = mm(offset),
                           .pivot_height = mm(rear + 40),
                           .arm = mm(450),
                           .radii = {mm(rear), mm(front)},
                           .fork_length = mm(480)};
    const auto at = placed(m);
    REQUIRE(at.has_value());
    WholeBike bike;
    bike.arm = m.arm;
    bike.geometry = at->geometry;
    bike.fork.length = m.fork_length;
    bike.rear.radius = m.radii.rear;
    bike.front.radius = m.radii.front;
    return attitude(bike, at->pose, m.radii);
}

// The benchmark's Table 1 prints no offset; it follows from trail and head angle, so this is the way there
// and back. The measured bicycles below are the test from outside.
TEST_CASE("published geometry: the benchmark bicycle's trail, wheelbase and head angle") {
    const json b = golden("golden_geometry_published.json").at("benchmark_2007"), &in = b.at("inputs");
    const Attitude a = measured(number(in, "lam"), 1000 * number(in, "w"), 1000 * number(b, "fork_offset_m"),
                                1000 * number(in, "rR"), 1000 * number(in, "rF"));
    CHECK(apart(in_mm(a.trail), 1000 * number(in, "c")) < 1e-6);
    CHECK(apart(in_mm(a.normal_trail), 1000 * number(b, "normal_trail_m")) < 1e-6);
    CHECK(apart(in_mm(a.wheelbase), 1000 * number(in, "w")) < 1e-9);
    CHECK(apart(90 - in_degrees(a.rake), number(b, "head_angle_deg")) < 1e-9);
}

TEST_CASE("published geometry: three measured bicycles, trail within its own uncertainty") {
    const json all = golden("golden_geometry_published.json").at("measured_bicycles");
    REQUIRE(all.size() == 3);
    for (const json& b : all) {
        CAPTURE(b.at("bike").get<std::string>());
        const Attitude a = measured(number(b, "lam_rad"), 1000 * number(b, "w_m"), 1000 * number(b, "f_m"),
                                    1000 * number(b, "rR_m"), 1000 * number(b, "rF_m"));
        CHECK(apart(in_mm(a.trail), 1000 * number(b, "trail_computed_m")) < 1e-6);
        CHECK(apart(in_mm(a.trail), 1000 * number(b, "trail_published_m")) <
              1000 * number(b, "trail_sigma_computed_m"));
    }
}

// Crank = arm, ground = from pivot to rocker pivot.
TEST_CASE("textbook four-bars: both branches, by angle") {
    const json data = golden("golden_fourbar.json");
    for (const char* name : {"norton_ex4_1", "course_35_25_15_10"}) {
        const json& f = data.at(name);
        for (const int side : {1, -1}) {
            CAPTURE(name);
            CAPTURE(side);
            Linkage l;
            l.unit_end = {Carrier::frame, {mm(-500), mm(500)}};
            l.rocker = Rocker{.pivot = {Carrier::frame, {mm(number(f, "d")), mm(0)}},
                              .rod_end = {Carrier::arm, {mm(number(f, "a")), mm(0)}},
                              .rod = mm(number(f, "b")),
                              .pivot_to_rod = mm(number(f, "c")),
                              .pivot_to_unit = mm(number(f, "c")),
                              .spread = degrees(0),
                              .side = side};
            const auto at = place_at(l, degrees(number(f, "theta2_deg")));
            REQUIRE(at.has_value());
            const auto angle = [](const PlanePoint& from, const PlanePoint& to) {
                return in_degrees(radians(std::atan2(in_mm(to.z - from.z), in_mm(to.x - from.x))));
            };
            const PlanePoint pivot = l.rocker->pivot.at;
            // Which of the two is which differs between conventions: ours must be one of them, and the other
            // side the other.
            const double rod = angle(at->rod_at_arm_side, at->rod_at_rocker),
                         rocker = angle(pivot, at->rod_at_rocker);
            const auto is = [&](const char* branch) {
                return apart(rod, number(f.at(branch), "theta3_deg")) < 1e-9 &&
                       apart(rocker, number(f.at(branch), "theta4_deg")) < 1e-9;
            };
            CHECK(is("branch_+1") != is("branch_-1"));
            l.rocker->side = -side;
            const auto mirror = place_at(l, degrees(number(f, "theta2_deg")));
            CHECK(apart(angle(pivot, mirror->rod_at_rocker), rocker) > 1);
        }
    }
    // The course example prints its answers to four places: 254.1745°, 334.0983° and 187.3223°, 107.3985°.
    const json& course = data.at("course_35_25_15_10");
    CHECK(apart(number(course.at("branch_+1"), "theta4_deg") + 360, 334.0983) < 1e-4);
    CHECK(apart(number(course.at("branch_-1"), "theta4_deg"), 107.3985) < 1e-4);
}

TEST_CASE("centre of mass: level and with the front lifted") {
    const json e = golden("golden_centre_of_mass.json").at("simple_example");
    ScaleReadings r{.wheelbase = mm(number(e, "w")),
                    .rear_radius = mm(number(e, "R")),
                    .front_radius = mm(number(e, "R")),
                    .rear = kilogram(number(e, "m") - number(e, "front_level_kg")),
                    .front = kilogram(number(e, "front_level_kg")),
                    .front_lifted = kilogram(number(e, "front_lifted_kg")),
                    .lift = mm(number(e, "lift"))};
    const auto c = centre_of_mass(r);
    REQUIRE(c.has_value());
    CHECK(apart(in_degrees(c->tilt), number(e, "tilt_deg")) < 1e-9);
    CHECK(apart(in_mm(c->height), number(e, "cg_height_mm")) < 1e-6);
    CHECK(apart(in_mm(c->ahead), 700) < 1e-9);
    // Taking the wheels for equal when the front is 20 mm smaller costs some 10 mm of height.
    r.front_radius = mm(number(e, "R") - 20);
    const auto unequal = centre_of_mass(r);
    CHECK(apart(in_mm(unequal->height), in_mm(c->height)) > 5);
}

// UN R75 with the rim's tabulated diameter [published, from memory of the table]: overall diameters of common
// sizes.
TEST_CASE("tyre sizes: nominal radius from the marking") {
    for (const auto& [marking, diameter] : {std::pair{"120/70 ZR17", 600.0},
                                            {"180/55-17", 630.0},
                                            {"180/60ZR17 M/C (75W)", 648.0},
                                            {"190/50 R17", 622.0},
                                            {"190/55 ZR 17", 641.0},
                                            {"200/55ZR17", 652.0},
                                            {" 200/60 - 17", 672.0}}) {
        const auto& which = marking;
        CAPTURE(which);
        const auto size = tyre_size(marking);
        REQUIRE(size.has_value());
        CHECK(apart(2 * in_mm(size->radius()), diameter) < 1e-9);
    }
    for (const char* wrong :
         {"", "190", "190/55", "190-55-17", "abc", "190/ZR17", "9999/55-17", "190/55-99", "190/5-17"})
        CHECK_FALSE(tyre_size(wrong).has_value());
}

}  // namespace
