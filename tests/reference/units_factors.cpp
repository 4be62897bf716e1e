// Conversions against the published factors: NIST SP 811 (2008), Appendix B, and what follows from them by
// arithmetic. Fifteen digits, tested to 1e-13 relative.
#include <doctest/doctest.h>

#include "core/quantity/conversions.h"
#include "core/quantity/unit.h"
#include "tests/reference/published.h"

using namespace restand;
using test::rel;

namespace {

double converted(double value, Unit from, Unit to) {
    return from_canonical(to_canonical(value, from), to);
}

}  // namespace

TEST_CASE("N-01 lbf and kgf in newton (NIST SP 811 App. B; published, from memory, recomputed)") {
    CHECK(to_canonical(1.0, Unit::lbf) == 4.4482216152605);
    CHECK(to_canonical(1.0, Unit::kgf) == 9.80665);
    CHECK(to_canonical(1.0, Unit::lb) == 0.45359237);
}

TEST_CASE("N-02 torque is force times length (NIST SP 811 App. B; published, from memory, recomputed)") {
    // No torque units are read yet; the strong types and the force and length factors give them in N·mm.
    const Length inch = mm(to_canonical(1.0, Unit::inch));
    const Force lbf = newton(to_canonical(1.0, Unit::lbf)), kgf = newton(to_canonical(1.0, Unit::kgf));
    const Torque lbf_ft = lbf * (12.0 * inch);
    CHECK(rel(lbf_ft.value, 1355.8179483314, 1e-13));
    CHECK(rel((lbf * inch).value, 112.984829027617, 1e-13));
    CHECK(rel((kgf * mm(1000.0)).value, 9806.65, 1e-13));
    CHECK(rel(Torque(1000.0) / lbf_ft, 0.737562149277265, 1e-13));
}

TEST_CASE("N-03 spring rates (NIST SP 811 App. B; published, from memory, recomputed)") {
    CHECK(rel(to_canonical(1.0, Unit::lbf_per_in), 0.175126835246476, 1e-13));
    CHECK(rel(from_canonical(1.0, Unit::lbf_per_in), 5.71014715473265, 1e-13));
    CHECK(rel(to_canonical(1.0, Unit::kgf_per_mm), 9.80665, 1e-13));
    CHECK(rel(canonical_value(*read_typed("550 lb/in", Unit::n_per_mm)), 96.319759385562, 1e-13));
    CHECK(rel(converted(550.0, Unit::lbf_per_in, Unit::kgf_per_mm), 9.82188202755906, 1e-13));
}

TEST_CASE("N-07 pressure (NIST SP 811 App. B; published, from memory, recomputed)") {
    CHECK(rel(to_canonical(1.0, Unit::psi) * 1e6, 6894.75729316836, 1e-13));
    CHECK(rel(converted(36.0, Unit::psi, Unit::bar), 2.48211262554061, 1e-13));
    CHECK(rel(converted(2.5, Unit::bar, Unit::psi), 36.2594344325523, 1e-13));
    CHECK(to_canonical(1.0, Unit::kpa) * 1e6 == 1000.0);  // SI prefixes
}

TEST_CASE("N-10 the inch (NIST SP 811 App. B; published, from memory): exact") {
    CHECK(to_canonical(1.0, Unit::inch) == 25.4);
    CHECK(to_canonical(1.0, Unit::inch_per_turn) == 25.4);
    CHECK(canonical_value(*read_typed("12 5/16 in", Unit::mm)) == 312.7375);  // computed: 12.3125 * 25.4
}

TEST_CASE("N-13 mass, weight and torque (computed from N-01, N-02)") {
    CHECK(rel(from_canonical(178.0, Unit::lb), 392.4228267, 1e-8));
    // The weight of 178 kg is what 178 kgf is in newton.
    CHECK(rel(to_canonical(178.0, Unit::kgf), 1745.5837, 1e-8));
    const Torque t(100e3);
    const Force lbf = newton(to_canonical(1.0, Unit::lbf)), kgf = newton(to_canonical(1.0, Unit::kgf));
    CHECK(rel(t / (lbf * mm(12.0 * to_canonical(1.0, Unit::inch))), 73.75621493, 1e-8));
    CHECK(rel(t / (kgf * mm(1000.0)), 10.19716213, 1e-8));
}

TEST_CASE("trap 6: lbf/in and kgf/mm differ by a factor of 56.0 (computed)") {
    CHECK(rel(converted(1.0, Unit::kgf_per_mm, Unit::lbf_per_in), 56.0, 1e-3));
    CHECK(rel(converted(1.0, Unit::kgf_per_mm, Unit::lbf_per_in), 9.80665 / 0.175126835246476, 1e-13));
}

TEST_CASE("P-22 a marked rate in three units (common practice, no source)") {
    CHECK(print_in(95.0, Unit::n_per_mm) == "95.0");
    CHECK(print_in(95.0, Unit::kgf_per_mm) == "9.69");
    CHECK(print_in(95.0, Unit::lbf_per_in) == "542");
}

TEST_CASE("S-11 a typical rear spring in three units (EN 13906-1 formula, own numbers; computed)") {
    CHECK(rel(from_canonical(94.26299806, Unit::lbf_per_in), 538.2555901, 1e-8));
    CHECK(rel(from_canonical(94.26299806, Unit::kgf_per_mm), 9.61215074, 1e-8));
}
