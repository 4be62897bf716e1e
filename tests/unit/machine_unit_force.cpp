#include <doctest/doctest.h>

#include <cmath>

#include "core/machine/unit_force.h"

using namespace restand;

namespace {

SuspensionUnit unit_with_everything() {
    SuspensionUnit unit;
    unit.length = mm(310);
    unit.travel = mm(66);
    unit.spring = {newton_per_mm(95), mm(160), mm(80)};
    unit.helper = Spring{newton_per_mm(40), mm(30), mm(12)};
    unit.installed_length = mm(182);
    unit.gas = {newton(180), Gas::Chamber{Area(154), Volume(40000), 1.2}};
    unit.bump = {{mm(45), newton(0)}, {mm(55), newton(400)}, {mm(66), newton(2500)}};
    return unit;
}

}  // namespace

TEST_CASE("unit force: the rate is the slope of the force") {
    for (int legs : {1, 2}) {
        SuspensionUnit unit = unit_with_everything();
        unit.legs = legs;
        for (double x = 0.5; x < 66; x += 0.7) {
            CAPTURE(x);
            const double d = 1e-5;
            const double slope = (unit_force(unit, mm(x + d)) - unit_force(unit, mm(x - d))).value / (2 * d);
            // Away from the corners (helper closes at 17.58 mm, rubber at 45 and 55): rounding of the
            // difference, 1e-16·1e4 N/1e-5 mm, and its truncation error d².
            const bool corner =
                std::fabs(x - 17.58) < 0.01 || std::fabs(x - 45) < 0.01 || std::fabs(x - 55) < 0.01;
            if (!corner)
                CHECK(in_newton_per_mm(unit_rate(unit, mm(x))) == doctest::Approx(slope).epsilon(1e-6));
        }
    }
}

TEST_CASE("unit force: two legs push twice as hard, the gas of the whole unit once") {
    SuspensionUnit one = unit_with_everything(), two = unit_with_everything();
    one.gas = two.gas = {};
    one.bump.clear(), two.bump.clear();
    two.legs = 2;
    CHECK(in_newton(unit_force(two, mm(20))) == doctest::Approx(2 * in_newton(unit_force(one, mm(20)))));
    two.gas.topped_out = newton(100);
    CHECK(in_newton(unit_force(two, mm(20))) ==
          doctest::Approx(2 * in_newton(unit_force(one, mm(20))) + 100));
}

TEST_CASE("unit force: a helper works until it is closed, then the main spring alone") {
    SuspensionUnit unit = unit_with_everything();
    unit.gas = {};
    unit.bump.clear();
    // Stack 190 free, 182 installed: 8 mm. Helper closes at 40·18 = 720 N, that is at 720·(1/40 + 1/95) mm.
    CHECK(in_mm(preload(unit)) == doctest::Approx(8.0));
    const double closed_at = 720.0 * (1.0 / 40 + 1.0 / 95) - 8.0;
    CHECK(in_newton(unit_force(unit, mm(closed_at))) == doctest::Approx(720));
    CHECK(in_newton_per_mm(unit_rate(unit, mm(closed_at - 0.1))) == doctest::Approx(40.0 * 95 / 135));
    CHECK(in_newton_per_mm(unit_rate(unit, mm(closed_at + 0.1))) == doctest::Approx(95));
    CHECK(in_newton(unit_force(unit, mm(closed_at + 10))) == doctest::Approx(720 + 950));
    // The result does not depend on which of the two is called the helper.
    SuspensionUnit swapped = unit;
    swapped.spring = *unit.helper;
    swapped.helper = unit.spring;
    for (double x : {0.0, 5.0, 17.0, 18.0, 40.0})
        CHECK(in_newton(unit_force(swapped, mm(x))) == doctest::Approx(in_newton(unit_force(unit, mm(x)))));
}

TEST_CASE("unit force: a loose spring does not pull") {
    SuspensionUnit unit = unit_with_everything();
    unit.helper.reset();
    unit.gas = {newton(150), {}};
    unit.bump.clear();
    unit.installed_length = mm(165);
    CHECK(in_mm(preload(unit)) == -5.0);
    CHECK(in_newton(unit_force(unit, mm(0))) == 150.0);
    CHECK(in_newton(unit_force(unit, mm(5))) == 150.0);
    CHECK(in_newton(unit_force(unit, mm(6))) == doctest::Approx(245.0));
}

TEST_CASE("unit force: rubber is silent before its first point and straight between") {
    SuspensionUnit with = unit_with_everything(), without = unit_with_everything();
    without.bump.clear();
    const auto rubber = [&](double x) {
        return in_newton(unit_force(with, mm(x)) - unit_force(without, mm(x)));
    };
    CHECK(rubber(44) == 0.0);
    CHECK(rubber(50) == doctest::Approx(200));
    CHECK(rubber(60.5) == doctest::Approx(1450));
}

TEST_CASE("unit force: room before the coils touch") {
    SuspensionUnit unit = unit_with_everything();
    // Main spring at full travel: 720 + 95·(66 − closed_at) N, over 95 N/mm, out of 80 mm of available
    // compression.
    const double closed_at = 720.0 * (1.0 / 40 + 1.0 / 95) - 8.0;
    const double used = (720 + 95 * (66 - closed_at)) / 95;
    CHECK(in_mm(*block_margin(unit)) == doctest::Approx(80 - used));
    unit.helper.reset();
    unit.installed_length = mm(150);
    CHECK(in_mm(*block_margin(unit)) == doctest::Approx(150 - 66 - 80));
    unit.travel.reset();
    CHECK_FALSE(block_margin(unit).has_value());
    unit.travel = mm(66);
    unit.spring.block_length.reset();
    CHECK_FALSE(block_margin(unit).has_value());
}

TEST_CASE("unit force: gas squeezed to nothing is endless, not a wrong sign") {
    const Gas gas{newton(180), Gas::Chamber{Area(154), Volume(1540), 1.0}};
    CHECK(in_newton(gas_force(gas, mm(9.9))) > 1000.0);
    CHECK(std::isinf(in_newton(gas_force(gas, mm(10.5)))));
}
