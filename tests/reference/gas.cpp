// Gas behind a piston against the outside. Formula: Dixon, The Shock Absorber Handbook, 2nd ed. (2007).

#include <doctest/doctest.h>

#include "core/machine/unit_force.h"

using namespace restand;

namespace {

constexpr double area_14 = 153.93804;             // D-01: rod of 14 mm, mm² [published] F
constexpr double force_14_at_15_bar = 230.90706;  // D-01: gauge pressure times area, N [published] F

Gas reservoir(double topped_out, double volume, double exponent) {
    return {newton(topped_out), Gas::Chamber{Area(area_14), Volume(volume), exponent}};
}

SuspensionUnit gas_only(const Gas& gas) {
    SuspensionUnit unit;
    unit.length = mm(310);
    unit.spring = {newton_per_mm(95), mm(160), {}};
    unit.installed_length = mm(300);  // loose: the spring says nothing
    unit.gas = gas;
    return unit;
}

}  // namespace

TEST_CASE("gas: rate topped out, k = n·p0·A²/V0") {
    // D-03 [computed], derivative of the force law: 14 mm rod, 16 bar absolute, 60 cm³ (1.6·A²/0.6319178711).
    const double topped_out = area_14 * (1.6 - in_megapascal(atmosphere));
    for (const auto& [n, rate] : {std::pair{1.0, 0.6319178711}, {1.4, 0.8846850196}}) {
        const SuspensionUnit unit = gas_only(reservoir(topped_out, 60000, n));
        CHECK(in_newton_per_mm(unit_rate(unit, mm(0))) == doctest::Approx(rate).epsilon(1e-8).scale(0));
    }
}

TEST_CASE("gas: the rod feels gauge pressure, the law needs absolute") {
    const Gas gas = reservoir(force_14_at_15_bar, 20000, 1.0);
    CHECK(in_newton(gas_force(gas, mm(0))) == doctest::Approx(force_14_at_15_bar).epsilon(1e-12));
    // Half the volume, twice the absolute pressure: 2·(15 + 1.01325) − 1.01325 bar gauge [computed].
    const double half = 20000.0 / 2.0 / area_14;
    CHECK(in_newton(gas_force(gas, mm(half))) == doctest::Approx(area_14 * 3.101325).epsilon(1e-8));
    // Twice the gauge pressure would be wrong by an atmosphere on the rod: 15.6 N.
    CHECK(in_newton(gas_force(gas, mm(half))) - 2.0 * force_14_at_15_bar > 15.0);
}

TEST_CASE("gas: without a volume the force does not rise") {
    const Gas gas{newton(150), {}};
    CHECK(in_newton(gas_force(gas, mm(0))) == 150.0);
    CHECK(in_newton(gas_force(gas, mm(60))) == 150.0);
}
