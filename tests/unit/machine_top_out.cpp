// Top-out spring, progressive spring and warm gas, against closed forms and energy (virtual work: a force is
// the slope of the energy stored). From memory, no source.

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "core/machine/end.h"
#include "core/machine/unit_terms.h"

using namespace restand;

namespace {

SuspensionUnit topped(double preload) {
    SuspensionUnit unit;
    unit.length = mm(320);
    unit.travel = mm(66);
    unit.spring = {newton_per_mm(95), mm(160), mm(80)};
    unit.installed_length = mm(160 - preload);
    unit.gas = {newton(150), {}};
    unit.top_out = TopOutSpring{newton_per_mm(60), mm(25)};
    return unit;
}

// Energy of a spring of the points (0, 0), (10, 500), (30, 2000), (40, 4000): areas under the line.
double table_energy(double deflection) {
    if (deflection <= 10) return 25 * deflection * deflection;
    if (deflection <= 30) return 2500 + 500 * (deflection - 10) + 37.5 * std::pow(deflection - 10, 2);
    return 2500 + 25000 + 2000 * (deflection - 30) + 100 * std::pow(deflection - 30, 2);
}

Spring progressive_spring() {
    return {newton_per_mm(50),
            mm(160),
            {},
            {{mm(10), newton(500)}, {mm(30), newton(2000)}, {mm(40), newton(4000)}}};
}

}  // namespace

TEST_CASE("top-out spring: the unloaded unit hangs where spring and gas hold it, in closed form") {
    // k·(p + x) + G = k_t·(reach − x)
    for (const double p : {-3.0, 0.0, 2.0, 8.0}) {
        const double x = (60 * 25 - 95 * p - 150) / (95 + 60);
        CAPTURE(p);
        CHECK(in_mm(unloaded_travel(topped(p))) == doctest::Approx(x).epsilon(1e-12));
        CHECK(std::fabs(in_newton(unit_force(topped(p), unloaded_travel(topped(p))))) < 1e-9);
    }
    // From 1500 − 150 N of preload on it stands at its stop.
    CHECK(in_mm(unloaded_travel(topped(1350.0 / 95 + 1e-6))) == 0.0);
    CHECK(in_mm(unloaded_travel(topped(1350.0 / 95 - 1e-6))) > 0.0);
}

TEST_CASE(
    "top-out spring: a unit read unloaded is longer at its stop, by what the top-out spring still has") {
    // As read, preload 10 mm: 95·10 + 150 = 1100 N press the top-out spring 1100/60 mm of its 25.
    SuspensionUnit read = topped(10);
    read.length = mm(310);
    const SuspensionUnit unit = at_stop(read);
    const double short_of_stop = 25 - 1100.0 / 60;
    CHECK(in_mm(unit.length) == doctest::Approx(310 + short_of_stop).epsilon(1e-12));
    CHECK(in_mm(unit.installed_length) == doctest::Approx(150 + short_of_stop).epsilon(1e-12));
    CHECK(in_mm(unloaded_travel(unit)) == doctest::Approx(short_of_stop).epsilon(1e-12));
    // A millimetre of collar lengthens the unit by k/(k + k_t) of one.
    SuspensionUnit turned = unit;
    turned.installed_length -= mm(1);
    CHECK(in_mm(unloaded_travel(unit) - unloaded_travel(turned)) == doctest::Approx(95.0 / 155));
}

TEST_CASE("top-out spring: without one nothing hangs, and a reading is what stands at the stop") {
    SuspensionUnit unit = topped(10);
    unit.top_out.reset();
    CHECK(in_mm(unloaded_travel(unit)) == 0.0);
    CHECK(at_stop(unit).length == unit.length);
    CHECK(at_stop(unit).installed_length == unit.installed_length);
    CHECK(least_preload(unit) == preload(unit));
}

TEST_CASE("top-out spring: a spring is loose where gas alone holds the top-out spring further in") {
    // Gas alone: 150 N press it 2.5 of 25 mm. Longer than free length + 22.5 mm the spring rattles.
    CHECK(in_mm(least_preload(topped(0))) == doctest::Approx(22.5));
    SuspensionUnit unit = topped(-22.5 + 1e-6);
    CHECK(in_newton(unit_force(unit, mm(22.5 + 1e-3))) > (60 + 95) * 0.99e-3);
    // Read unloaded, the preload says the same as without a top-out spring: below 0 is loose.
    SuspensionUnit read = topped(0);
    CHECK(std::fabs(in_mm(least_preload(at_stop(read)))) < 1e-9);
}

TEST_CASE("top-out spring: wheel load is the slope of the stored energy by ride height") {
    const auto pairs = HeightMap::pairs(
        {{mm(240), mm(330)}, {mm(265), mm(386)}, {mm(290), mm(437)}, {mm(310), mm(475)}, {mm(325), mm(502)}});
    REQUIRE(pairs.has_value());
    SuspensionUnit unit = topped(6);
    unit.gas.chamber = Gas::Chamber{Area(154), Volume(40000), 1.0};
    const EndModel end{unit, *pairs};
    const auto energy = [&](double height) {
        const double x = 320 - in_mm(*pairs->length_at(mm(height)));
        const double top = std::max(0.0, 25 - x);
        // Isothermal gas: work of compression less that of the atmosphere.
        const double p = 150.0 / 154 + in_megapascal(atmosphere);
        const double gas = -p * 40000 * std::log(1 - 154 * x / 40000) - in_megapascal(atmosphere) * 154 * x;
        return 0.5 * 95 * std::pow(6 + x, 2) + gas + 0.5 * 60 * top * top;
    };
    int pulled = 0;
    for (double height = 380; height < 490; height += 1.7) {
        const auto stands = standing_at(end, mm(height));
        REQUIRE(stands.has_value());
        constexpr double d = 1e-3;
        const double slope = (energy(height + d) - energy(height - d)) / (2 * d);
        CAPTURE(height);
        // Truncation: d² times the third derivative of the energy, far below 1 N/mm².
        CHECK(in_newton(stands->load) == doctest::Approx(-slope).epsilon(1e-5));
        pulled += slope > 0;
    }
    CHECK(pulled > 0);  // some heights are above where the end hangs
    const auto hung = standing_under(end, newton(0));
    REQUIRE(hung.has_value());
    CHECK(in_mm(hung->travel) == doctest::Approx(in_mm(unloaded_travel(unit))).epsilon(1e-9));
    CHECK_FALSE(hung->topped_out);
    // The weight of the wheel draws it out further, down to the stop.
    const auto by_wheel = standing_under(end, newton(-100));
    REQUIRE(by_wheel.has_value());
    CHECK(by_wheel->travel < hung->travel);
    CHECK(standing_under(end, newton(-1e4))->topped_out);
}

TEST_CASE("top-out spring: force and rate agree over the travel, with a kink at the end of its reach") {
    const SuspensionUnit unit = topped(6);
    const auto kinks = unit_kinks(unit);
    CHECK(std::count(kinks.begin(), kinks.end(), 25.0) == 1);
    for (double x = 0.3; x < 60; x += 0.7) {
        const double slope = (unit_force(unit, mm(x + 1e-5)) - unit_force(unit, mm(x - 1e-5))).value / 2e-5;
        CHECK(in_newton_per_mm(unit_rate(unit, mm(x))) == doctest::Approx(slope).epsilon(1e-6));
    }
    CHECK(in_newton_per_mm(unit_rate(unit, mm(24.9))) == 155.0);
    CHECK(in_newton_per_mm(unit_rate(unit, mm(25.1))) == 95.0);
    CHECK(unit_terms(unit, 10, false).d_preload == 95.0);
}

TEST_CASE("progressive spring: force is the slope of the area under its table, from any preload") {
    for (const double preload : {0.0, 4.0, 15.0}) {
        SuspensionUnit unit;
        unit.spring = progressive_spring();
        unit.installed_length = mm(160 - preload);
        for (double x = 0.25; x < 50; x += 0.5) {
            constexpr double d = 1e-4;
            const double deflection = preload + x;
            const double slope = (table_energy(deflection + d) - table_energy(deflection - d)) / (2 * d);
            CAPTURE(deflection);
            // The energy is quadratic between the kinks, so only rounding is left: 1e-16·1e5/1e-4.
            CHECK(in_newton(unit_force(unit, mm(x))) == doctest::Approx(slope).epsilon(1e-7));
        }
    }
}

TEST_CASE("progressive spring: at its points, beyond the last one, and loose") {
    SuspensionUnit unit;
    unit.spring = progressive_spring();
    unit.installed_length = mm(165);
    CHECK(in_newton(unit_force(unit, mm(5))) == 0.0);
    CHECK(in_newton(unit_force(unit, mm(15))) == doctest::Approx(500));
    CHECK(in_newton(unit_force(unit, mm(35))) == doctest::Approx(2000));
    CHECK(in_newton(unit_force(unit, mm(55))) == doctest::Approx(6000));
    CHECK(in_newton_per_mm(unit_rate(unit, mm(55))) == doctest::Approx(200));
    // A solver may pass through a pull, with the slope of the first piece.
    CHECK(unit_terms(unit, 0, true).force == doctest::Approx(-250));
    const auto kinks = unit_kinks(unit);
    for (const double at : {15.0, 35.0, 45.0}) CHECK(std::count(kinks.begin(), kinks.end(), at) == 1);
}

TEST_CASE("progressive spring: a straight table is a linear spring, in one leg, two legs and an other leg") {
    SuspensionUnit linear = topped(6), table = linear;
    table.spring.rate = newton_per_mm(1);
    table.spring.table = {{mm(7), newton(95 * 7)}, {mm(31), newton(95 * 31)}, {mm(50), newton(95 * 50)}};
    linear.top_out.reset(), table.top_out.reset();
    const auto same = [&] {
        for (double x = 0; x < 66; x += 3)
            CHECK(in_newton(unit_force(table, mm(x))) ==
                  doctest::Approx(in_newton(unit_force(linear, mm(x)))));
    };
    same();
    linear.legs = table.legs = 2;
    same();
    linear.other_leg = Leg{linear.spring, mm(9)};
    table.other_leg = Leg{table.spring, mm(9)};
    same();
    CHECK(block_margin(table) == block_margin(linear));
}

TEST_CASE("warm gas: absolute pressure rises as absolute temperature, at every travel") {
    const Gas cold{newton(180), Gas::Chamber{Area(154), Volume(40000), 1.2}};
    const auto hot = at_temperature(cold, {.sealed_c = 20, .now_c = 80});
    REQUIRE(hot.has_value());
    const double atmospheric = 154 * in_megapascal(atmosphere);
    for (double x = 0; x < 66; x += 6) {
        const double ratio = (in_newton(gas_force(*hot, mm(x))) + atmospheric) /
                             (in_newton(gas_force(cold, mm(x))) + atmospheric);
        CHECK(ratio == doctest::Approx(353.15 / 293.15).epsilon(1e-12));
    }
    // By hand: 180/154 + 0.101325 = 1.270156 MPa; times 1.204673 is 1.530123; less the atmosphere, on 154 mm².
    CHECK(in_newton(hot->topped_out) == doctest::Approx(220.0349).epsilon(1e-6));
    const auto back = at_temperature(*hot, {.sealed_c = 80, .now_c = 20});
    CHECK(in_newton(back->topped_out) == doctest::Approx(180).epsilon(1e-12));
}

TEST_CASE("warm gas: without a chamber the rod's area is asked for; not below absolute zero") {
    const Gas gas{newton(180), {}};
    const auto missing = at_temperature(gas, {.sealed_c = 20, .now_c = 80});
    REQUIRE_FALSE(missing.has_value());
    CHECK(missing.error().code == ErrorCode::missing);
    const auto by_rod = at_temperature(gas, {.sealed_c = 20, .now_c = 80, .rod = Area(154)});
    REQUIRE(by_rod.has_value());
    CHECK(in_newton(by_rod->topped_out) == doctest::Approx(220.0349).epsilon(1e-6));
    CHECK_FALSE(by_rod->chamber.has_value());
    CHECK_FALSE(at_temperature(gas, {.sealed_c = 20, .now_c = -300, .rod = Area(154)}).has_value());
}
