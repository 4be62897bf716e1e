// Centre of mass and the frame's mass from scales. ISO 10392 and ISO 9130 describe the procedure for other
// vehicles; the numbers are our own.

#include <doctest/doctest.h>

#include "tests/unit/on_scales.h"
#include "tests/unit/random_bike.h"

using namespace restand;
using test::put_on_scales;
using test::RandomBikes;

namespace {

Unsprung unsprung(const WholeBike& bike) {
    return {bike.masses->arm, bike.masses->rear_wheel, bike.masses->front_unsprung};
}

WholeBike some_bike(RandomBikes& random, bool soft) {
    WholeBike bike = random.bike();
    if (!soft) return bike;
    bike.rear.stiffness = newton_per_mm(random.between(120, 220));
    bike.front.stiffness = newton_per_mm(random.between(110, 200));
    return bike;
}

Pose some_pose(RandomBikes& random) {
    return {degrees(random.between(2, 14)), mm(random.between(0, 80))};
}

}  // namespace

TEST_CASE(
    "scales: a bike put on them by statics reads back its own frame, on 2000 bikes, tyres hard and soft") {
    RandomBikes random(61);
    for (int i = 0; i < 2000; ++i) {
        CAPTURE(i);
        const WholeBike bike = some_bike(random, i % 2);
        const Pose held = some_pose(random);
        const OnScales scales = put_on_scales(bike, held, mm(random.between(150, 700)));
        const auto read = weighed(bike, scales, unsprung(bike));
        REQUIRE(read.has_value());
        // A rounding error of 1e-13 in a load is multiplied by wheelbase over the sine of the tilt.
        const PointMass& is = bike.masses->sprung;
        REQUIRE(std::fabs((read->sprung.mass - is.mass).value) < 1e-9);
        REQUIRE(std::fabs(in_mm(read->sprung.at.x - is.at.x)) < 1e-6);
        REQUIRE(std::fabs(in_mm(read->sprung.at.z - is.at.z)) < 1e-6);
    }
}

TEST_CASE("scales: a bike that sinks while it is lifted reads another height") {
    RandomBikes random(62);
    for (int i = 0; i < 200; ++i) {
        const WholeBike bike = some_bike(random, false);
        Pose held = some_pose(random), sunk = held;
        sunk.droop = held.droop - degrees(2);
        OnScales scales = put_on_scales(bike, held, mm(400));
        scales.front_lifted = put_on_scales(bike, sunk, mm(400)).front_lifted;
        const auto read = weighed(bike, scales, unsprung(bike));
        REQUIRE(read.has_value());
        CHECK(std::fabs(in_mm(read->sprung.at.z - bike.masses->sprung.at.z)) > 1);
    }
}

TEST_CASE("scales: what no motorcycle weighs is refused by its field") {
    RandomBikes random(63);
    const WholeBike bike = some_bike(random, false);
    const Pose held{degrees(10), mm(0)};
    const OnScales good = put_on_scales(bike, held, mm(400));
    const auto refused = [&](auto spoil, ErrorCode code, const char* field) {
        OnScales scales = good;
        Unsprung parts = unsprung(bike);
        spoil(scales, parts);
        const auto read = weighed(bike, scales, parts);
        REQUIRE_FALSE(read.has_value());
        CHECK(read.error().code == code);
        CHECK(read.error().subject == std::string("scales.") + field);
    };
    const auto range = ErrorCode::out_of_range, clash = ErrorCode::contradiction;
    refused([](auto& s, auto&) { s.rear = kilogram(0); }, range, "rear_kg");
    refused([](auto& s, auto&) { s.front = kilogram(-80); }, range, "front_kg");
    refused([](auto& s, auto&) { s.front_lifted = kilogram(std::nan("")); }, range, "front_lifted_kg");
    refused([](auto& s, auto&) { s.lift = mm(0); }, range, "lift_mm");
    refused([](auto& s, auto&) { s.lift = mm(1500); }, range, "lift_mm");
    refused([](auto& s, auto&) { std::swap(s.front, s.front_lifted); }, clash, "front_lifted_kg");
    refused([](auto& s, auto&) { s.lift = mm(40); }, clash,
            "front_lifted_kg");  // centimetres instead of millimetres
    refused([](auto&, auto& p) { p.rear_wheel = kilogram(300); }, clash, "rear_kg");
    refused([&](auto& s, auto& p) { p.rear_wheel = s.rear + s.front - p.arm.mass - p.front - kilogram(0.5); },
            clash, "front_lifted_kg");
    WholeBike flat = bike;
    flat.front.stiffness = newton_per_mm(0.5);
    CHECK(weighed(flat, good, unsprung(flat)).error().subject == "bike.front_wheel.stiffness_n_per_mm");
}
