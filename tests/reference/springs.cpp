// Springs against the outside. Tags as in the project's list of check values: [published] F = the formula is
// printed in the source and the numbers are ours; [computed] = arithmetic, no source needed.

#include <doctest/doctest.h>

#include "core/machine/end.h"
#include "core/restore/closed_form.h"
#include "core/restore/restore.h"

using namespace restand;

namespace {

// Relative 1e-8, as the list asks: the printed figures have ten digits.
doctest::Approx figure(double value) {
    return doctest::Approx(value).epsilon(1e-8).scale(0);
}

SuspensionUnit one_spring(double rate, double preload_mm) {
    SuspensionUnit unit;
    unit.length = mm(310);
    unit.spring = {newton_per_mm(rate), mm(160), {}};
    unit.installed_length = mm(160.0 - preload_mm);
    return unit;
}

double in_series(double a, double b) {
    SuspensionUnit unit = one_spring(a, 20);
    unit.helper = Spring{newton_per_mm(b), mm(40), {}};
    return in_newton_per_mm(unit_rate(unit, mm(10)));
}

// The old spring swapped for a new one at the same length, leverage 1, no gas.
SwapCase spring_swap(SuspensionUnit old_unit, SuspensionUnit fresh, double travel) {
    SwapCase swap{
        .map = *HeightMap::leverage(1.0), .before = {}, .new_unit = fresh, .length = {}, .installed = {}};
    swap.before = {old_unit, mm(500), {}, mm(500 - travel)};
    swap.length = {.min = mm(300), .max = mm(320), .now = mm(310), .per_turn = {}, .detent = {}};
    swap.installed = {
        .min = mm(50), .max = mm(300), .now = fresh.spring.free_length, .per_turn = mm(1.5), .detent = {}};
    return swap;
}

}  // namespace

TEST_CASE("springs: in series, 1/k = sum of 1/k") {
    // S-23 [published] F: Shigley ch. 4.
    CHECK(in_series(90, 110) == figure(49.5));
    CHECK(in_series(20, in_series(95, 300)) == figure(15.65934066));
}

TEST_CASE("springs: a new preload for the same force at the same travel") {
    // S-25 [computed]: F = k(p + x); k1 = 95, p1 = 12, x = 15.
    const SuspensionUnit old_unit = one_spring(95, 12);
    CHECK(in_newton(unit_force(old_unit, mm(15))) == figure(2565));
    for (const auto& [rate, preload_mm] : {std::pair{100.0, 10.65}, {90.0, 13.5}}) {
        const SwapCase swap = spring_swap(old_unit, one_spring(rate, 0), 15);
        const auto answer = restore(swap);
        REQUIRE(answer.has_value());
        CHECK(in_mm(answer->setting.preload) == figure(preload_mm));
        CHECK(in_mm(closed_form(swap)->preload) == figure(preload_mm));
        CHECK(in_newton(answer->predicted.at(State::rider)->load) == figure(2565));
    }
}

TEST_CASE("springs: preload from two lengths, force and collar turns") {
    // S-27 [computed]: 160.4 − 148.2, k = 95, 1.5 mm/turn.
    SuspensionUnit unit = one_spring(95, 0);
    unit.spring.free_length = mm(160.4);
    unit.installed_length = mm(148.2);
    CHECK(in_mm(preload(unit)) == figure(12.2));
    CHECK(in_newton(unit_force(unit, mm(0))) == figure(1159));
    SuspensionUnit fresh = unit;
    fresh.installed_length = fresh.spring.free_length;
    const auto answer = restore(spring_swap(unit, fresh, 15));
    REQUIRE(answer.has_value());
    CHECK(*answer->setting.collar_turns == figure(8.133333333));
}

TEST_CASE("springs: shock length and spring rate at the wheel") {
    // S-28 [published] F: kinematics; k_w = k_s/r² in Milliken & Milliken ch. 16; ΔL = 2.5, r = 1.95, k_s
    // = 95.
    SwapCase swap = spring_swap(one_spring(95, 12), one_spring(95, 0), 15);
    swap.map = *HeightMap::leverage(1.95);
    swap.length.per_turn = mm(2.5);
    const auto answer = restore(swap);
    REQUIRE(answer.has_value());
    CHECK(in_mm(*answer->length_step.topped_out) == figure(4.875));
    CHECK(in_mm(*answer->length_step.rider) == figure(4.875));
    CHECK(in_newton_per_mm(*answer->predicted.wheel_rate) == figure(24.98356345));
}
