// The standing bike: least energy, loads that carry the weight, attitude independent of the datum.

#include <doctest/doctest.h>

#include "tests/unit/random_bike.h"
#include "tests/unit/weight_energy.h"

using namespace restand;
using test::RandomBikes;

namespace {

// All stored energy at a pose on rigid wheels; N·mm. Springs linear, gas force constant.
double energy(const WholeBike& b, Rider rider, double droop, double fork_travel) {
    const auto spring = [](const SuspensionUnit& u, double x) {
        const double p = in_mm(preload(u));
        return u.legs * 0.5 * in_newton_per_mm(u.spring.rate) * (p + x) * (p + x) +
               in_newton(u.gas.topped_out) * x;
    };
    const double l = in_mm(place_at(b.linkage, radians(droop))->length);
    return test::weight_energy(b, rider, droop, fork_travel) + spring(b.shock, in_mm(b.shock.length) - l) +
           spring(b.fork, fork_travel);
}

}  // namespace

TEST_CASE("standing bike: the potential energy is stationary there, on 10 000 bikes") {
    RandomBikes random(10);
    int stood = 0, topped = 0;
    for (int i = 0; i < 10000; ++i) {
        const WholeBike b = random.bike();
        const Rider rider = i % 2 ? Rider::on : Rider::off;
        const auto at = standing(b, rider);
        REQUIRE(at.has_value());
        if (at->rear_topped_out || at->fork_topped_out) ++topped;
        if (at->rear_topped_out || at->fork_topped_out || at->rear_bottomed || at->fork_bottomed) continue;
        ++stood;
        const double a = at->pose.droop.value, s = in_mm(at->pose.fork_travel), da = 1e-4, ds = 0.05;
        const auto u = [&](double x, double y) { return energy(b, rider, a + x, s + y); };
        // Rounding error of energies of 1e6 N·mm over these steps; the worst of 5000 was a fifth of it.
        REQUIRE(std::fabs(u(da, 0) - u(-da, 0)) / (2 * da) < 0.5);
        REQUIRE(std::fabs(u(0, ds) - u(0, -ds)) / (2 * ds) < 1e-5);
        // The energy is least here: a small step in any direction costs energy.
        for (const auto& [x, y] :
             {std::pair{0.01, 0.0}, {-0.01, 0.0}, {0.0, 3.0}, {0.0, -3.0}, {0.01, 3.0}, {-0.01, 3.0}})
            REQUIRE(u(x, y) > u(0, 0));
    }
    CHECK(stood > 8000);
    CHECK(topped < 2000);
}

TEST_CASE(
    "standing bike: both wheels carry the weight, more preload never lowers it, softer tyres sink by their "
    "load") {
    RandomBikes random(11);
    for (int i = 0; i < 1000; ++i) {
        WholeBike b = random.bike();
        const auto at = standing(b, Rider::on);
        REQUIRE(at.has_value());
        const Masses& m = *b.masses;
        const double weight =
            standard_gravity *
            (m.sprung.mass + m.arm.mass + m.rear_wheel + m.front_unsprung + m.rider.mass).value;
        CHECK(in_newton(at->loads->rear + at->loads->front) == doctest::Approx(weight).epsilon(1e-12));
        WholeBike stiffer = b;
        stiffer.shock.installed_length -= mm(2);
        CHECK(standing(stiffer, Rider::on)->rear_travel <= at->rear_travel + mm(1e-9));
        WholeBike soft = b;
        soft.rear.stiffness = newton_per_mm(170);
        const auto sunk = standing(soft, Rider::on);
        REQUIRE(sunk.has_value());
        CHECK(in_mm(soft.rear.radius - sunk->radii.rear) ==
              doctest::Approx(in_newton(sunk->loads->rear) / 170).epsilon(1e-9));
    }
}

TEST_CASE("standing bike: virtual work: the unit's work is the wheel's, unit force times motion ratio") {
    RandomBikes random(12);
    for (int i = 0; i < 10000; ++i) {
        const WholeBike b = random.bike();
        const double droop = degrees(random.between(3, 16)).value, h = 1e-4;
        const auto less = place_at(b.linkage, radians(droop - h)),
                   more = place_at(b.linkage, radians(droop + h)), at = place_at(b.linkage, radians(droop));
        const double dz = -in_mm(b.arm) * (std::sin(droop + h) - std::sin(droop - h));
        const double dl = in_mm(more->length - less->length);
        CHECK(dl / dz == doctest::Approx(-at->slope / (in_mm(b.arm) * std::cos(droop))).epsilon(1e-6));
    }
}

TEST_CASE("attitude: no datum moves it: head slid along the axis, frame axes turned") {
    RandomBikes random(13);
    for (int i = 0; i < 10000; ++i) {
        const WholeBike b = random.bike();
        const Pose pose{degrees(random.between(2, 16)), mm(random.between(0, 90))};
        const Attitude a = attitude(b, pose, free_radii(b));
        WholeBike other = b;
        const double slid = random.between(-80, 80), axis = b.geometry.axis.value;
        other.geometry.head.x += mm(slid * std::sin(axis));
        other.geometry.head.z -= mm(slid * std::cos(axis));
        other.fork.length -= mm(slid);
        // The whole frame turned by `turn` about the pivot; the arm droops by as much less relative to it.
        const double turn = random.between(-0.1, 0.1);
        const auto turned_point = [&](PlanePoint& p) {
            const double c = std::cos(turn), s = std::sin(turn), x = in_mm(p.x), z = in_mm(p.z);
            p = {mm(c * x - s * z), mm(s * x + c * z)};
        };
        turned_point(other.geometry.head);
        turned_point(*other.tail_mark);
        other.geometry.axis -= radians(-turn);
        const Pose moved{pose.droop + radians(turn), pose.fork_travel};
        const Attitude as = attitude(other, moved, free_radii(other));
        REQUIRE(std::fabs((a.rake - as.rake).value) < 1e-12);
        REQUIRE(std::fabs(in_mm(a.trail - as.trail)) < 1e-9);
        REQUIRE(std::fabs(in_mm(a.wheelbase - as.wheelbase)) < 1e-9);
        REQUIRE(std::fabs(in_mm(a.pivot_height - as.pivot_height)) < 1e-9);
        REQUIRE(std::fabs(in_mm(*a.tail_height - *as.tail_height)) < 1e-9);
        REQUIRE(std::fabs((a.arm_to_ground - as.arm_to_ground).value) < 1e-12);
    }
}

TEST_CASE("standing bike: what is not given is asked for, and what cannot stand says why") {
    RandomBikes random(14);
    WholeBike b = random.bike();
    WholeBike weightless = b;
    weightless.masses.reset();
    CHECK(standing(weightless, Rider::off).error().code == ErrorCode::missing);
    WholeBike tail_heavy = b;
    tail_heavy.masses->sprung.at.x = mm(-1500);
    const auto over = standing(tail_heavy, Rider::off);
    REQUIRE_FALSE(over.has_value());
    CHECK(over.error().code == ErrorCode::no_solution);
    WholeBike too_long = b;
    too_long.shock.length = mm(900);
    CHECK(standing(too_long, Rider::off).error().subject == "map.linkage");
}

TEST_CASE("fork: two unlike legs are their mean, and air from the oil level") {
    SuspensionUnit pair, unlike;
    pair.legs = unlike.legs = 2;
    pair.spring = {newton_per_mm(9.5), mm(300), mm(180)};
    unlike.spring = {newton_per_mm(9), mm(300), mm(180)};
    unlike.other_leg = Leg{{newton_per_mm(10), mm(300), mm(180)}, mm(0)};
    pair.installed_length = unlike.installed_length = mm(288);
    pair.travel = unlike.travel = mm(120);
    for (const double x : {0.0, 30.0, 100.0})
        CHECK(in_newton(unit_force(pair, mm(x))) ==
              doctest::Approx(in_newton(unit_force(unlike, mm(x)))).epsilon(1e-12));
    CHECK(in_newton_per_mm(unit_rate(unlike, mm(30))) == doctest::Approx(19));
    CHECK(in_mm(*block_margin(unlike)) == doctest::Approx(-12));
    unlike.other_leg->spring.block_length = mm(150);
    CHECK(in_mm(*block_margin(unlike)) == doctest::Approx(-12));
    // Bore 43 mm, oil 100 mm below the top at full compression, 120 mm of travel: π/4·43²·220 mm³ less the
    // wire.
    const OilLevel oil{mm(43), mm(100), mm(120), 60000.0 * (mm(1) * mm(1) * mm(1))};
    CHECK(air_volume(oil).value == doctest::Approx(pi / 4 * 43 * 43 * 220 - 60000));
}
