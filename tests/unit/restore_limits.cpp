#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "tests/unit/restore_cases.h"

using namespace restand;

namespace {

// By hand for the example: x = 30.2/2.05 = 14.7317, F = 95·(10 + x) + 150 = 2499.51 N, p = (F − 420)/100 − x.
constexpr double travel_before = 30.2 / 2.05;
constexpr double force_before = 95 * (10 + travel_before) + 150;
double wanted_preload(double gas, double rate, double length = 310) {
    return (force_before - gas) / rate - (length - 310 + travel_before);
}

const Limit* limit(const Answer& answer, LimitCode code) {
    for (const Limit& l : answer.limits)
        if (l.code == code) return &l;
    return nullptr;
}

Answer solved(const SwapCase& swap) {
    const auto answer = restore(swap);
    REQUIRE(answer.has_value());
    return *answer;
}

double residual(const Answer& answer, State state) {
    return in_mm(*answer.predicted.residual_at(state));
}

}  // namespace

TEST_CASE("limits: within reach, none") {
    const Answer answer = solved(test::example_swap());
    CHECK(answer.limits.empty());
    CHECK(answer.held);
    CHECK(in_mm(answer.setting.length) == doctest::Approx(310));
    CHECK(in_mm(answer.setting.preload) == doctest::Approx(wanted_preload(420, 100)));
    CHECK(*answer.setting.length_turns == doctest::Approx(4.0));
    CHECK(*answer.setting.collar_turns ==
          doctest::Approx((148 - in_mm(answer.setting.installed_length)) / 1.5));
    CHECK(std::fabs(residual(answer, State::topped_out)) < 1e-9);
}

TEST_CASE("limits: the length adjuster ends, the rider height is held") {
    SwapCase swap = test::example_swap();
    swap.length.max = mm(307.5);
    const Answer answer = solved(swap);
    REQUIRE(answer.limits.size() == 1);
    CHECK(answer.limits[0].code == LimitCode::length_adjuster_bound);
    CHECK(in_mm(answer.limits[0].beyond) == doctest::Approx(2.5));
    CHECK(in_mm(answer.limits[0].bound) == doctest::Approx(307.5));
    CHECK(answer.held);
    CHECK(in_mm(answer.setting.length) == doctest::Approx(307.5));
    CHECK(in_mm(answer.setting.preload) == doctest::Approx(wanted_preload(420, 100, 307.5)));
    CHECK(residual(answer, State::topped_out) == doctest::Approx(-2.5 * 2.05));
    CHECK(std::fabs(residual(answer, State::rider)) < 1e-9);
}

TEST_CASE("limits: no loose spring, a shorter unit instead") {
    SwapCase swap = test::example_swap();
    swap.new_unit.spring.rate = newton_per_mm(150);
    const double wanted = wanted_preload(420, 150);
    REQUIRE(wanted < 0.0);
    const Answer answer = solved(swap);
    REQUIRE(answer.limits.size() == 1);
    CHECK(answer.limits[0].code == LimitCode::negative_preload);
    CHECK(in_mm(answer.limits[0].beyond) == doctest::Approx(-wanted));
    CHECK(in_mm(answer.limits[0].bound) == 0.0);
    CHECK(in_mm(answer.wanted.preload) == doctest::Approx(wanted));
    CHECK(in_mm(answer.setting.preload) == 0.0);
    CHECK(in_mm(answer.setting.length) == doctest::Approx(310 + wanted));
    CHECK(answer.held);
}

TEST_CASE("limits: the collar's thread ends first") {
    SwapCase swap = test::example_swap();
    swap.installed.max = mm(148.4);
    const double wanted = 155 - wanted_preload(420, 100);
    REQUIRE(wanted > 148.4);
    const Answer answer = solved(swap);
    REQUIRE(answer.limits.size() == 1);
    CHECK(answer.limits[0].code == LimitCode::collar_bound);
    CHECK(in_mm(answer.limits[0].beyond) == doctest::Approx(wanted - 148.4));
    // Shorter by the excess of preload.
    CHECK(in_mm(answer.setting.length) == doctest::Approx(310 - (wanted - 148.4)));
    CHECK(answer.held);
    // The opposite limit of the collar.
    swap.installed = {.min = mm(150), .max = mm(155), .now = mm(152), .per_turn = mm(1.5), .detent = {}};
    const Answer tight = solved(swap);
    CHECK(in_mm(limit(tight, LimitCode::collar_bound)->bound) == doctest::Approx(150));
}

TEST_CASE("limits: what stands behind the first limit is told too") {
    SwapCase swap = test::example_swap();
    swap.new_unit.spring.rate = newton_per_mm(150);
    swap.length = {.min = mm(309.8), .max = mm(316), .now = mm(312), .per_turn = mm(1.25), .detent = {}};
    const Answer answer = solved(swap);
    REQUIRE(answer.limits.size() == 2);
    CHECK(answer.limits[0].code == LimitCode::negative_preload);
    CHECK(answer.limits[1].code == LimitCode::length_adjuster_bound);
    CHECK(in_mm(answer.limits[1].beyond) == doctest::Approx(309.8 - (310 + wanted_preload(420, 150))));
    CHECK(in_mm(answer.setting.length) == doctest::Approx(309.8));
    CHECK(in_mm(answer.setting.preload) == 0.0);
    CHECK(residual(answer, State::rider) > 0.0);
}

TEST_CASE("limits: coils that touch are refused, not avoided") {
    SwapCase swap = test::example_swap();
    swap.new_unit.spring.block_length = mm(86);
    const Answer answer = solved(swap);
    REQUIRE(answer.limits.size() == 1);
    CHECK(answer.limits[0].code == LimitCode::coil_bind_before_full_travel);
    CHECK(in_mm(answer.setting.preload) == doctest::Approx(wanted_preload(420, 100)));
    const double margin = 155 - wanted_preload(420, 100) - 66 - 86;
    CHECK(in_mm(*answer.predicted.block_margin) == doctest::Approx(margin));
    CHECK(in_mm(answer.limits[0].beyond) == doctest::Approx(-margin));
    CHECK(in_mm(answer.limits[0].bound) == 86);
    CHECK_FALSE(answer.held);
}

TEST_CASE("limits: a unit without the travel for the height") {
    SwapCase swap = test::example_swap();
    swap.new_unit.travel = mm(12);
    const Answer answer = solved(swap);
    const Limit* exhausted = limit(answer, LimitCode::travel_exhausted);
    REQUIRE(exhausted);
    CHECK(in_mm(exhausted->beyond) == doctest::Approx(travel_before - 12));
    CHECK(in_mm(exhausted->bound) == 12);
    CHECK_FALSE(answer.held);
    CHECK_FALSE(answer.predicted.at(State::rider).has_value());
    CHECK(answer.predicted.at(State::static_).has_value());
}

TEST_CASE("limits: off the map is said, not guessed") {
    SwapCase swap = test::example_swap();
    swap.map =
        *HeightMap::pairs({{mm(280), mm(440)}, {mm(290), mm(459)}, {mm(300), mm(479)}, {mm(311), mm(502)}});
    CHECK(solved(swap).limits.empty());
    swap.length = {.min = mm(313), .max = mm(316), .now = mm(314), .per_turn = mm(1.25), .detent = {}};
    const Answer answer = solved(swap);
    const Limit* off = limit(answer, LimitCode::off_the_map);
    REQUIRE(off);
    CHECK(in_mm(off->beyond) == doctest::Approx(2.0));
    CHECK(in_mm(off->bound) == 311);
    CHECK_FALSE(answer.held);
    CHECK_FALSE(answer.predicted.at(State::topped_out).has_value());
    // Before any answer: the old unit itself is off the map.
    swap.before.unit.length = mm(320);
    CHECK(restore(swap).error().code == ErrorCode::no_solution);
    swap.before.unit.length = mm(310);
    swap.before.rider = mm(430);
    CHECK(restore(swap).error().subject == "baseline.ride_height_mm.rider");
}

TEST_CASE("limits: gas alone too strong, the top-out stop decides") {
    SwapCase swap = test::example_swap();
    swap.new_unit.gas.topped_out = newton(3000);
    swap.length.min = mm(290);
    const Answer answer = solved(swap);
    // No preload, and the unit as long as the height requires: it stands there, topped out.
    CHECK(in_mm(answer.setting.preload) == 0.0);
    CHECK(in_mm(answer.setting.length) == doctest::Approx(310 - travel_before));
    CHECK(answer.predicted.at(State::rider)->topped_out);
    CHECK(std::fabs(residual(answer, State::rider)) < 1e-9);
    CHECK(limit(answer, LimitCode::negative_preload));
}

TEST_CASE("limits: never set past a bound, over random limited swaps") {
    test::Random random(41);
    int limited = 0, off_target = 0;
    for (int i = 0; i < 20000; ++i) {
        SwapCase swap = test::random_swap(random, 4);
        swap.installed.min = swap.new_unit.spring.free_length - mm(random.between(1, 30));
        swap.installed.max = swap.installed.min + mm(random.between(0.5, 35));
        swap.installed.now = swap.installed.min + 0.3 * (swap.installed.max - swap.installed.min);
        if (random.one_in(3)) swap.length.min = swap.length.max = swap.length.now;
        if (random.one_in(2)) swap.new_unit.gas.chamber = Gas::Chamber{Area(154), Volume(60000), 1.3};
        const auto answer = restore(swap);
        REQUIRE(answer.has_value());
        for (const Setting& set : {answer->setting, answer->detent}) {
            CHECK(set.length >= swap.length.min);
            CHECK(set.length <= swap.length.max);
            CHECK(set.installed_length >= swap.installed.min);
            CHECK(set.installed_length <= swap.installed.max);
            CHECK(set.preload >= mm(-1e-9));
        }
        limited += !answer->limits.empty();
        const auto miss = answer->predicted.residual_at(State::rider);
        // Each missed height has its reason in the list.
        if (miss && std::fabs(in_mm(*miss)) > 1e-6) {
            ++off_target;
            CHECK_FALSE(answer->limits.empty());
        }
    }
    CHECK(limited > 5000);
    CHECK(off_target > 500);
}
