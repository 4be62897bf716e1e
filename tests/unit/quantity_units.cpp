#include <doctest/doctest.h>

#include <cmath>
#include <set>
#include <string>

#include "core/quantity/unit.h"

using namespace restand;

namespace {

constexpr int unit_count = static_cast<int>(Unit::inch_per_turn) + 1;

template <class F>
void each_unit(F f) {
    for (int u = 0; u < unit_count; ++u) {
        CAPTURE(u);
        f(static_cast<Unit>(u));
    }
}

}  // namespace

TEST_CASE("unit: every unit has a symbol of its own that reads back as that unit") {
    std::set<std::string_view> symbols;
    each_unit([&](Unit u) {
        CHECK(symbols.insert(symbol(u)).second);
        CHECK(symbol(u).empty() == (u == Unit::one));
        const auto read = read_typed("1 " + std::string(symbol(u)), u);
        REQUIRE(read.has_value());
        CHECK(read->unit == u);
        CHECK(fits(u, dimension_of(u)));
        CHECK(usual_decimals(u) >= 0);
    });
}

TEST_CASE("unit: next_unit goes through all units of the dimension and comes back") {
    each_unit([](Unit u) {
        std::set<Unit> seen;
        Unit at = u;
        do {
            CHECK(dimension_of(at) == dimension_of(u));
            CHECK(seen.insert(at).second);
            at = next_unit(at);
        } while (at != u && seen.size() <= unit_count);
        std::size_t same = 0;
        for (int v = 0; v < unit_count; ++v) same += dimension_of(static_cast<Unit>(v)) == dimension_of(u);
        CHECK(seen.size() == same);
    });
}

TEST_CASE("unit: a unit fits its own dimension only; counts, ratios and names share the plain number") {
    each_unit([](Unit u) {
        int fitting = 0;
        for (int d = 0; d <= static_cast<int>(Dimension::text); ++d)
            fitting += fits(u, static_cast<Dimension>(d));
        CHECK(fitting == (u == Unit::one ? 3 : 1));
    });
    CHECK(fits(Unit::one, Dimension::count));
    CHECK(fits(Unit::one, Dimension::ratio));
    CHECK(fits(Unit::one, Dimension::text));
}

TEST_CASE("unit: the choice gives each dimension a unit that fits it, and pitches follow lengths") {
    const UnitChoice metric;
    const UnitChoice inches = {Unit::inch, Unit::lbf_per_in, Unit::lbf, Unit::lb, Unit::psi};
    for (int d = 0; d <= static_cast<int>(Dimension::text); ++d) {
        CAPTURE(d);
        CHECK(fits(chosen(metric, static_cast<Dimension>(d)), static_cast<Dimension>(d)));
        CHECK(fits(chosen(inches, static_cast<Dimension>(d)), static_cast<Dimension>(d)));
    }
    CHECK(chosen(inches, Dimension::rate) == Unit::lbf_per_in);
    CHECK(chosen(inches, Dimension::pressure) == Unit::psi);
    CHECK(chosen(inches, Dimension::length_per_turn) == Unit::inch_per_turn);
    CHECK(chosen(metric, Dimension::length_per_turn) == Unit::mm_per_turn);
}

TEST_CASE("unit: to canonical and back is the same number to the last bits, for all units over a sweep") {
    each_unit([](Unit u) {
        for (double v : {0.0, 1e-6, 0.1, 1.0 / 3.0, 2.4, 12.3125, 312.5, 550.0, 1999.9, 1e9, -7.7}) {
            const double back = from_canonical(to_canonical(v, u), u);
            // Four roundings of half an ulp each.
            CHECK(std::fabs(back - v) <= 4 * 1.2e-16 * std::fabs(v));
        }
        CHECK(to_canonical(2.0, u) > to_canonical(1.0, u));
        CHECK(to_canonical(-1.0, u) == -to_canonical(1.0, u));
    });
}

TEST_CASE("unit: canonical units leave the number untouched") {
    for (Unit u : {Unit::mm, Unit::newton, Unit::n_per_mm, Unit::kg, Unit::turn, Unit::click, Unit::one,
                   Unit::mm_per_turn})
        CHECK(to_canonical(312.5, u) == 312.5);
    CHECK(canonical_value({"2.4", Unit::bar}) == 0.24);
    CHECK(canonical_value({"12 5/16 in", Unit::inch}) == 312.7375);
}

TEST_CASE("unit: what print_in prints reads back to half its last decimal, for all units over a sweep") {
    each_unit([](Unit u) {
        const double half_step = 0.5 * std::pow(10.0, -usual_decimals(u));
        for (int k = -400; k <= 4000; k += 7) {
            const double value = k * 0.1373;
            const auto read =
                read_typed(print_in(to_canonical(value, u), u) + " " + std::string(symbol(u)), u);
            REQUIRE(read.has_value());
            CHECK(std::fabs(typed_value(*read) - value) <= half_step + 1e-9);
        }
    });
}
