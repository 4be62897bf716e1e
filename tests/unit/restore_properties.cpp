#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "tests/unit/restore_cases.h"

using namespace restand;

namespace {

// The reverse swap: the new setting becomes the baseline, and the old unit comes back.
SwapCase undo(const SwapCase& swap, const Answer& answer) {
    SwapCase back = swap;
    back.before.unit = swap.new_unit;
    back.before.unit.length = answer.setting.length;
    back.before.unit.installed_length = answer.setting.installed_length;
    back.before.topped_out = answer.predicted.at(State::topped_out)->height;
    back.before.rider = answer.predicted.at(State::rider)->height;
    if (swap.before.static_) back.before.static_ = answer.predicted.at(State::static_)->height;
    back.new_unit = swap.before.unit;
    back.length.min = swap.before.unit.length - mm(20), back.length.max = swap.before.unit.length + mm(20);
    back.length.now = back.length.min + mm(7);
    back.installed.now = swap.before.unit.spring.free_length;
    back.load_scale = 1.0 / swap.load_scale;
    return back;
}

double force_at(const Answer& answer) {
    const Standing& rider = *answer.predicted.at(State::rider);
    return in_newton(rider.load) * rider.leverage;
}

}  // namespace

TEST_CASE("restore: the swap undone gives the first set-up") {
    test::Random random(31);
    int undone = 0;
    for (int i = 0; i < 3000; ++i) {
        SwapCase swap = test::random_swap(random, 12);
        // Also with rising gas, rubber and a helper: any kind of unit.
        if (random.one_in(2)) swap.new_unit.gas.chamber = Gas::Chamber{Area(154), Volume(60000), 1.3};
        if (random.one_in(3)) swap.new_unit.bump = {{mm(20), newton(0)}, {mm(60), newton(900)}};
        swap.length.min = swap.before.unit.length - mm(20),
        swap.length.max = swap.before.unit.length + mm(20);
        swap.length.now = swap.before.unit.length + mm(3);
        const auto there = restore(swap);
        REQUIRE(there.has_value());
        if (!there->limits.empty()) continue;
        CHECK(std::fabs(in_mm(*there->predicted.residual_at(State::rider))) < 1e-9);
        const auto back = restore(undo(swap, *there));
        REQUIRE(back.has_value());
        CHECK(std::fabs(in_mm(back->setting.length - swap.before.unit.length)) < 1e-8);
        CHECK(std::fabs(in_mm(back->setting.installed_length - swap.before.unit.installed_length)) < 1e-8);
        ++undone;
    }
    CHECK(undone > 1000);
}

TEST_CASE("restore: twice the forces, the same setting; twice the lengths, twice the setting") {
    test::Random random(32);
    for (int i = 0; i < 1000; ++i) {
        SwapCase swap = test::random_swap(random, 12);
        swap.map = *HeightMap::leverage(random.between(0.9, 3));
        const auto plain = restore(swap);
        REQUIRE(plain.has_value());

        SwapCase stiff = swap, large = swap;
        for (SuspensionUnit* unit : {&stiff.before.unit, &stiff.new_unit})
            unit->spring.rate = unit->spring.rate * 2, unit->gas.topped_out = unit->gas.topped_out * 2;
        for (SuspensionUnit* unit : {&large.before.unit, &large.new_unit}) {
            unit->spring.rate = unit->spring.rate / 2;  // the same force at twice the travel
            unit->spring.free_length = unit->spring.free_length * 2;
            unit->installed_length = unit->installed_length * 2;
            unit->length = unit->length * 2;
        }
        large.before.topped_out = swap.before.topped_out * 2;
        large.before.rider = *swap.before.rider * 2;
        if (swap.before.static_) large.before.static_ = *swap.before.static_ * 2;
        for (Adjuster* a : {&large.length, &large.installed}) {
            a->min = a->min * 2, a->max = a->max * 2, a->now = a->now * 2;
            if (a->per_turn) a->per_turn = *a->per_turn * 2;
        }
        const auto stiff_answer = restore(stiff), large_answer = restore(large);
        REQUIRE(stiff_answer.has_value());
        REQUIRE(large_answer.has_value());
        CHECK(std::fabs(in_mm(stiff_answer->setting.length - plain->setting.length)) < 1e-8);
        CHECK(std::fabs(in_mm(stiff_answer->setting.preload - plain->setting.preload)) < 1e-8);
        CHECK(std::fabs(in_mm(large_answer->setting.length - plain->setting.length * 2)) < 1e-8);
        CHECK(std::fabs(in_mm(large_answer->setting.preload - plain->setting.preload * 2)) < 1e-8);
    }
}

TEST_CASE("restore: a stiffer spring needs less preload, a stronger gas as well") {
    SwapCase swap = test::example_swap();
    double last = 1e9;
    for (double rate = 80; rate <= 120; rate += 2.5) {
        swap.new_unit.spring.rate = newton_per_mm(rate);
        const double preload = in_mm(restore(swap)->wanted.preload);
        CHECK(preload < last);
        last = preload;
    }
    last = 1e9;
    for (double gas = 0; gas <= 600; gas += 50) {
        swap.new_unit.gas.topped_out = newton(gas);
        const double preload = in_mm(restore(swap)->wanted.preload);
        CHECK(preload < last);
        last = preload;
    }
}

TEST_CASE("restore: two fork legs on a raked map are one spring of twice the rate") {
    const double rake = 24.0;
    SwapCase fork = test::example_swap();
    fork.end = End::front;
    fork.map = *HeightMap::leverage(cos(degrees(rake)));
    fork.before.unit = {.length = mm(720),
                        .travel = mm(120),
                        .legs = 2,
                        .spring = {newton_per_mm(9.5), mm(250), {}},
                        .installed_length = mm(238),
                        .helper = {},
                        .gas = {newton(60), {}},
                        .bump = {}};
    fork.before.topped_out = mm(640), fork.before.static_ = mm(618), fork.before.rider = mm(604);
    fork.new_unit = fork.before.unit;
    fork.new_unit.spring.rate = newton_per_mm(10);
    fork.length = {.min = mm(705), .max = mm(730), .now = mm(718), .per_turn = {}, .detent = mm(0.5)};
    fork.installed = {.min = mm(225), .max = mm(250), .now = mm(250), .per_turn = mm(1), .detent = {}};
    SwapCase one = fork;
    for (SuspensionUnit* unit : {&one.before.unit, &one.new_unit}) {
        unit->legs = 1;
        unit->spring.rate = unit->spring.rate * 2;
    }
    const auto two_legs = restore(fork), one_spring = restore(one);
    REQUIRE(two_legs.has_value());
    REQUIRE(one_spring.has_value());
    CHECK(in_mm(two_legs->setting.length) ==
          doctest::Approx(in_mm(one_spring->setting.length)).epsilon(1e-12));
    CHECK(in_mm(two_legs->setting.preload) ==
          doctest::Approx(in_mm(one_spring->setting.preload)).epsilon(1e-12));
    CHECK(in_newton_per_mm(*two_legs->predicted.wheel_rate) ==
          doctest::Approx(in_newton_per_mm(*one_spring->predicted.wheel_rate)).epsilon(1e-12));
    // By hand: fork travel with rider is 36/cos(rake); both legs 2·9.5·(12 + x), then 2·10·(p + x) is the
    // same.
    const double x = 36 / std::cos(rake * pi / 180);
    CHECK(in_mm(two_legs->setting.preload) == doctest::Approx(0.95 * (12 + x) - x));
    CHECK(two_legs->held);
    // The fork adjuster moves in steps of half a millimetre; it has no turns.
    CHECK_FALSE(two_legs->setting.length_turns.has_value());
    CHECK(std::fabs(std::remainder(in_mm(two_legs->detent.length) - 718, 0.5)) < 1e-9);
}

TEST_CASE("restore: heavier by a tenth, the force at the same height is a tenth more") {
    SwapCase swap = test::example_swap();
    const auto same = restore(swap);
    swap.load_scale = 1.1;
    const auto heavier = restore(swap);
    REQUIRE(heavier.has_value());
    CHECK(std::fabs(in_mm(*heavier->predicted.residual_at(State::rider))) < 1e-9);
    CHECK(force_at(*heavier) == doctest::Approx(1.1 * force_at(*same)).epsilon(1e-12));
}

TEST_CASE("restore: one step of an adjuster does what a step does") {
    test::Random random(33);
    for (int i = 0; i < 1000; ++i) {
        const SwapCase swap = test::random_swap(random, 12);
        const auto answer = restore(swap);
        REQUIRE(answer.has_value());
        const Setting& at = answer->setting;
        const auto height = [&](double longer, double in, State state) {
            const Prediction p = predict(swap, at.length + mm(longer), at.installed_length - mm(in));
            return p.at(state) ? in_mm(p.at(state)->height) : std::nan("");
        };
        const double d = 1e-4;
        // In turns, from a central difference over 0.2 µm. At the stop (sag 0) and at a pair of the map there
        // is a corner, where the slope of either side is valid.
        const double longer = (height(d, 0, State::rider) - height(-d, 0, State::rider)) / (2 * d);
        const double in = (height(0, d, State::rider) - height(0, -d, State::rider)) / (2 * d);
        if (std::isnan(longer) || std::isnan(in) || in_mm(answer->predicted.at(State::rider)->travel) < 0.01)
            continue;
        CHECK(in_mm(*answer->length_step.rider) / in_mm(answer->length_step.setting) ==
              doctest::Approx(longer).epsilon(1e-4));
        if (in_mm(at.preload) > 0.001)
            CHECK(in_mm(*answer->collar_step.rider) / in_mm(answer->collar_step.setting) ==
                  doctest::Approx(in).epsilon(1e-4));
        CHECK(answer->length_step.setting == *swap.length.per_turn);
    }
}

TEST_CASE("restore: only static read, static is held; nothing read, nothing answered") {
    SwapCase swap = test::example_swap();
    swap.before.rider.reset();
    const auto answer = restore(swap);
    REQUIRE(answer.has_value());
    CHECK(std::fabs(in_mm(*answer->predicted.residual_at(State::static_))) < 1e-9);
    CHECK(answer->held);
    CHECK_FALSE(answer->predicted.at(State::rider).has_value());
    swap.before.static_.reset();
    CHECK(restore(swap).error().code == ErrorCode::missing);
}

TEST_CASE("restore: before is what was read") {
    const SwapCase swap = test::example_swap();
    const auto answer = restore(swap);
    REQUIRE(answer.has_value());
    CHECK(in_mm(*answer->before.free_sag) == doctest::Approx(9.7));
    CHECK(in_mm(*answer->before.rider_sag) == doctest::Approx(30.2));
    CHECK(in_newton(answer->before.at(State::topped_out)->load) == 0.0);
    // By hand: (95·(10 + 30.2/2.05) + 150)/2.05
    CHECK(in_newton(answer->before.at(State::rider)->load) ==
          doctest::Approx((95 * (10 + 30.2 / 2.05) + 150) / 2.05));
    CHECK(in_newton_per_mm(*answer->before.wheel_rate) == doctest::Approx(95 / 2.05 / 2.05));
    CHECK(in_mm(*answer->predicted.travel_left) == doctest::Approx(66 - 30.2 / 2.05));
}
