#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <string>

#include "core/quantity/unit.h"

using namespace restand;

TEST_CASE("print_fixed: as many decimals as asked, a true minus, no negative zero") {
    CHECK(print_fixed(312.5, 1) == "312.5");
    CHECK(print_fixed(312.5, 0) == "312");  // a tie goes to even: the exact binary value is rounded
    CHECK(print_fixed(313.5, 0) == "314");
    CHECK(print_fixed(2.0, 3) == "2.000");
    CHECK(print_fixed(0.05, 1) == "0.1");  // the double is a little above 0.05
    CHECK(print_fixed(-3.25, 2) == "−3.25");
    CHECK(print_fixed(-0.0, 1) == "0.0");
    CHECK(print_fixed(-0.04, 1) == "0.0");
    CHECK(print_fixed(-0.06, 1) == "−0.1");
    CHECK(print_fixed(9.96, 1) == "10.0");
    CHECK(print_fixed(5.0, -2) == "5");
}

TEST_CASE("print: what is not finite is a dash, and the largest double still prints") {
    const double inf = std::numeric_limits<double>::infinity();
    const double nan = std::numeric_limits<double>::quiet_NaN();
    for (double v : {inf, -inf, nan}) {
        CHECK(print_fixed(v, 1) == "—");
        CHECK(print_quarters(v) == "—");
        CHECK(print_sixteenths(v) == "—");
        CHECK(print_in(v, Unit::one) == "—");
    }
    CHECK(print_fixed(std::numeric_limits<double>::max(), 3).size() == 309 + 4);
    CHECK(print_quarters(1e300).size() == 301);
    CHECK(print_sixteenths(1e300).size() == 301);
}

TEST_CASE("print_quarters: magnitude to the nearest quarter") {
    CHECK(print_quarters(0.0) == "0");
    CHECK(print_quarters(0.1) == "0");
    CHECK(print_quarters(0.25) == "¼");
    CHECK(print_quarters(0.5) == "½");
    CHECK(print_quarters(0.75) == "¾");
    CHECK(print_quarters(0.9) == "1");
    CHECK(print_quarters(3.5) == "3½");
    CHECK(print_quarters(-3.25) == "3¼");
    CHECK(print_quarters(12.0) == "12");
}

TEST_CASE("print_quarters: reads back exactly, over all quarters to 50 turns") {
    for (int q = 0; q <= 200; ++q) {
        CAPTURE(q);
        CHECK(typed_value(*read_typed(print_quarters(q / 4.0), Unit::turn)) == q / 4.0);
    }
}

TEST_CASE("print_sixteenths: lowest terms, whole inches without a fraction") {
    CHECK(print_sixteenths(12.3125) == "12 5/16");
    CHECK(print_sixteenths(12.5) == "12 1/2");
    CHECK(print_sixteenths(12.0) == "12");
    CHECK(print_sixteenths(12.75) == "12 3/4");
    CHECK(print_sixteenths(12.99) == "13");
    CHECK(print_sixteenths(0.3125) == "5/16");
    CHECK(print_sixteenths(0.0) == "0");
    CHECK(print_sixteenths(-0.01) == "0");
    CHECK(print_sixteenths(-12.3125) == "−12 5/16");
}

TEST_CASE("print_sixteenths: reads back exactly, over all sixteenths to 40 inches either way") {
    for (int s = -640; s <= 640; ++s) {
        CAPTURE(s);
        CHECK(typed_value(*read_typed(print_sixteenths(s / 16.0), Unit::inch)) == s / 16.0);
    }
}

TEST_CASE("print_in: the decimals a unit is read to; counted things without zeros at the end") {
    CHECK(print_in(312.5, Unit::mm) == "312.5");
    CHECK(print_in(312.7375, Unit::inch) == "12.312");
    CHECK(print_in(95.0, Unit::n_per_mm) == "95.0");
    CHECK(print_in(95.0, Unit::kgf_per_mm) == "9.69");  // P-22, common practice, no source
    CHECK(print_in(95.0, Unit::lbf_per_in) == "542");   // P-22
    CHECK(print_in(0.24, Unit::bar) == "2.40");
    CHECK(print_in(15.0, Unit::one) == "15");
    CHECK(print_in(100.0, Unit::one) == "100");
    CHECK(print_in(0.0, Unit::one) == "0");
    CHECK(print_in(2.05, Unit::one) == "2.05");
    CHECK(print_in(2.5, Unit::click) == "2.5");
    CHECK(print_in(12.0, Unit::click) == "12");
    CHECK(print_in(3.25, Unit::turn) == "3.25");
}

TEST_CASE("print: a number is typed as it is shown, without the zeros that nobody types") {
    CHECK(typed_as_shown(305.138, Unit::mm) == Typed{"305.1", Unit::mm});
    CHECK(typed_as_shown(304.98, Unit::mm) == Typed{"305", Unit::mm});
    CHECK(typed_as_shown(310.25, Unit::inch) == Typed{"12.215", Unit::inch});
    CHECK(typed_as_shown(0.2, Unit::bar) == Typed{"2", Unit::bar});
    CHECK(typed_as_shown(-4.5, Unit::celsius) == Typed{"-4", Unit::celsius});
    CHECK(typed_as_shown(-0.04, Unit::mm) == Typed{"0", Unit::mm});
    for (const Unit unit : {Unit::mm, Unit::inch, Unit::bar, Unit::psi, Unit::click, Unit::one})
        for (const double canonical : {0.18, 12.3456, 305.1501, 1234.0}) {
            const Typed typed = typed_as_shown(canonical, unit);
            CHECK(read_typed(print_in(canonical, unit), unit).value().text == print_in(canonical, unit));
            CHECK(print_in(canonical_value(typed), unit) == print_in(canonical, unit));
            CHECK(std::fabs(canonical_value(typed) - canonical) <= half_shown(unit) * (1 + 1e-9));
        }
    CHECK(half_shown(Unit::mm) == doctest::Approx(0.05));
    CHECK(half_shown(Unit::inch) == doctest::Approx(0.0127));
}
