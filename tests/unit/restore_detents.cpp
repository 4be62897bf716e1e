#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "tests/unit/restore_cases.h"

using namespace restand;

namespace {

double miss(const Prediction& p, State state) {
    return p.residual_at(state) ? std::fabs(in_mm(*p.residual_at(state))) : 1e9;
}

bool on_grid(double value, double now, double step) {
    return std::fabs(std::remainder(value - now, step)) < 1e-6;
}

}  // namespace

TEST_CASE("detents: settable, tight enough, and never better than the continuous answer") {
    test::Random random(51);
    for (int i = 0; i < 10000; ++i) {
        const SwapCase swap = test::random_swap(random, 12);
        const auto answer = restore(swap);
        REQUIRE(answer.has_value());
        const double pitch = in_mm(*swap.length.per_turn) / 4, collar = in_mm(*swap.installed.per_turn) / 4;
        // A range narrower than one step may contain no step; then the bound itself is used.
        if (in_mm(swap.length.max - swap.length.min) > 2 * pitch)
            CHECK(on_grid(in_mm(answer->detent.length), in_mm(swap.length.now), pitch));
        CHECK(on_grid(in_mm(answer->detent.installed_length), in_mm(swap.installed.now), collar));
        CHECK(answer->detent.preload >= mm(-1e-9));
        const double continuous = miss(answer->predicted, State::rider);
        const double settable = miss(answer->predicted_detent, State::rider);
        CHECK(settable >= continuous - 1e-6);
        // Without limits, the collar alone brings the height to half a step, plus the half of the tolerance
        // that the topped-out height may cost.
        if (answer->limits.empty() && in_mm(answer->setting.preload) > 3 &&
            in_mm(swap.length.max - answer->setting.length) > 1 &&
            in_mm(answer->setting.length - swap.length.min) > 1) {
            const double step = in_mm(*answer->collar_step.rider) / 4;
            CHECK(settable <= 0.5 * std::fabs(step) * 1.02 + 0.5 + 1e-9);
        }
    }
}

TEST_CASE("detents: the rule, against a search over every step near by") {
    test::Random random(52);
    int compared = 0, told_apart = 0;
    for (int i = 0; i < 1500; ++i) {
        SwapCase swap = test::random_swap(random, 12);
        // Coarse enough that half the tolerance lies between one step and the next.
        swap.installed.per_turn = mm(random.between(1, 3));
        swap.length.min = swap.before.unit.length - mm(12),
        swap.length.max = swap.before.unit.length + mm(12);
        swap.length.now = swap.before.unit.length + mm(random.between(-3, 3));
        const auto answer = restore(swap);
        REQUIRE(answer.has_value());
        if (!answer->limits.empty() || in_mm(answer->setting.preload) < 3) continue;
        const double pitch = in_mm(*swap.length.per_turn) / 4, collar = in_mm(*swap.installed.per_turn) / 4;
        // With linear springs and constant gas, a longer unit is compensated by an equally longer spring.
        const double l = in_mm(answer->setting.length), s = in_mm(answer->setting.installed_length);
        const double l0 = in_mm(swap.length.now), s0 = in_mm(swap.installed.now);
        std::vector<Prediction> steps;
        double least = 1e9;
        for (int a = -1; a <= 2; ++a) {
            const double length = l0 + pitch * (std::floor((l - l0) / pitch) + a);
            const double exact = s + (length - l);
            for (int b = 0; b <= 1; ++b) {
                const double installed = s0 + collar * (std::floor((exact - s0) / collar) + b);
                steps.push_back(predict(swap, mm(length), mm(installed)));
                least = std::min(least, miss(steps.back(), State::rider));
            }
        }
        const auto nearest_within = [&](double more) {
            double nearest = 1e9;
            for (const Prediction& p : steps)
                if (miss(p, State::rider) <= least + more)
                    nearest = std::min(nearest, miss(p, State::topped_out));
            return nearest;
        };
        const double half = 0.5 * in_mm(swap.tolerance), nearest = nearest_within(half);
        told_apart +=
            nearest_within(0.9 * half) > nearest + 1e-3 || nearest_within(1.1 * half) < nearest - 1e-3;
        // The rider height first, then the topped-out height: of the steps equally good for the first, none
        // is better for the second.
        CHECK(miss(answer->predicted_detent, State::rider) <= least + half + 1e-6);
        CHECK(miss(answer->predicted_detent, State::topped_out) <= nearest + 1e-6);
        ++compared;
    }
    CHECK(compared > 250);
    CHECK(told_apart > 20);  // a rule with a tenth more or less would have answered differently
}

TEST_CASE("detents: a step in length where there is no thread, any position where nothing is known") {
    SwapCase swap = test::example_swap();
    swap.length.per_turn.reset();
    swap.length.detent = mm(1);
    auto answer = restore(swap);
    CHECK(on_grid(in_mm(answer->detent.length), 305, 1));
    CHECK_FALSE(answer->detent.length_turns.has_value());
    CHECK(in_mm(answer->length_step.setting) == 1.0);
    swap.length.detent = mm(0);
    answer = restore(swap);
    CHECK(on_grid(in_mm(answer->detent.installed_length), 148, 0.375));
    // The length follows the collar's step exactly.
    CHECK(miss(answer->predicted_detent, State::rider) < 1e-6);
    swap.installed.per_turn.reset();
    answer = restore(swap);
    CHECK(in_mm(answer->detent.installed_length) == doctest::Approx(in_mm(answer->setting.installed_length)));
    CHECK(in_mm(answer->detent.length) == doctest::Approx(in_mm(answer->setting.length)));
}

TEST_CASE("detents: beside a loose spring the tight step is taken") {
    SwapCase swap = test::example_swap();
    swap.new_unit.spring.rate = newton_per_mm(150);
    swap.installed.now = mm(154.9);  // 0.1 mm of preload: one step out would be loose
    const auto answer = restore(swap);
    REQUIRE(answer.has_value());
    CHECK(in_mm(answer->setting.preload) == 0.0);
    CHECK(in_mm(answer->detent.preload) == doctest::Approx(0.1));
}

TEST_CASE("detents: no length adjuster, no length step") {
    SwapCase swap = test::example_swap();
    swap.length = {.min = mm(309.3), .max = mm(309.3), .now = mm(309.3), .per_turn = {}, .detent = {}};
    const auto answer = restore(swap);
    REQUIRE(answer.has_value());
    CHECK(in_mm(answer->detent.length) == 309.3);
    CHECK(answer->held);
}

TEST_CASE("detents: a step that binds the coils is not taken, and what is answered is what is judged") {
    // The case of case.md: 6.064 preload wanted, steps at 6.25 and 5.875; 66 travel. Block 82.9: clear by
    // 0.036 at the exact setting, coil bound by 0.15 at the nearest step.
    SwapCase swap{.end = End::rear,
                  .map = *HeightMap::leverage(2.05),
                  .before = {SuspensionUnit{.length = mm(310),
                                            .travel = {},
                                            .legs = 1,
                                            .spring = {newton_per_mm(95), mm(160), {}},
                                            .installed_length = mm(150),
                                            .helper = {},
                                            .gas = {newton(150), {}},
                                            .bump = {}},
                             mm(500), mm(490.3), mm(469.8)},
                  .new_unit = SuspensionUnit{.length = mm(305),
                                             .travel = mm(66),
                                             .legs = 1,
                                             .spring = {newton_per_mm(100), mm(155), mm(82.9)},
                                             .installed_length = mm(148),
                                             .helper = {},
                                             .gas = {newton(420), {}},
                                             .bump = {}},
                  .length = {mm(300), mm(316), mm(305), mm(1.25), 0.25, {}},
                  .installed = {mm(1), mm(2000), mm(148), mm(1.5), 0.25, {}},
                  .load_scale = 1.0,
                  .tolerance = mm(1)};
    const auto answer = restore(swap);
    REQUIRE(answer.has_value());
    CHECK(answer->held);
    CHECK(answer->predicted_detent.block_margin->value >= 0);
    // Half a millimetre less, and every step is coil bound: refused, with the limit named.
    swap.new_unit.spring.block_length = mm(83.5);
    const auto bound = restore(swap);
    REQUIRE(bound.has_value());
    CHECK_FALSE(bound->held);
    REQUIRE(bound->limits.size() == 1);
    CHECK(bound->limits[0].code == LimitCode::coil_bind_before_full_travel);
}
