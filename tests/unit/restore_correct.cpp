#include <doctest/doctest.h>

#include <cmath>

#include "tests/unit/restore_cases.h"

using namespace restand;

namespace {

// The real bike: the case with deviations that nobody recorded (a spring softer than stamped, other gas).
SwapCase truth_of(SwapCase swap, double rate_factor, double more_gas) {
    swap.new_unit.spring.rate = swap.new_unit.spring.rate * rate_factor;
    swap.new_unit.gas.topped_out += newton(more_gas);
    return swap;
}

Checked check_at(const SwapCase& truth, Length length, Length installed) {
    const Prediction real = predict(truth, length, installed);
    Checked checked{length, installed, {}, {}, {}};
    checked.topped_out = real.at(State::topped_out)->height;
    checked.static_ = real.at(State::static_)->height;
    checked.rider = real.at(State::rider)->height;
    return checked;
}

}  // namespace

TEST_CASE("correct: readings as predicted change nothing") {
    const SwapCase swap = test::example_swap();
    const auto answer = restore(swap);
    const auto again =
        correct(swap, check_at(swap, answer->setting.length, answer->setting.installed_length));
    REQUIRE(again.has_value());
    CHECK(std::fabs(in_mm(again->setting.length - answer->setting.length)) < 1e-8);
    CHECK(std::fabs(in_mm(again->setting.installed_length - answer->setting.installed_length)) < 1e-8);
    // Turns now count from the new setting: none.
    CHECK(std::fabs(*again->setting.length_turns) < 1e-8);
    CHECK(std::fabs(*again->setting.collar_turns) < 1e-8);
    CHECK(again->held);
}

TEST_CASE("correct: a wrong setting is corrected back to the answer") {
    const SwapCase swap = test::example_swap();
    const auto answer = restore(swap);
    const auto back = correct(swap, check_at(swap, mm(307), mm(147)));
    REQUIRE(back.has_value());
    CHECK(in_mm(back->setting.length) == doctest::Approx(in_mm(answer->setting.length)));
    CHECK(in_mm(back->setting.installed_length) == doctest::Approx(in_mm(answer->setting.installed_length)));
    CHECK(*back->setting.length_turns == doctest::Approx(3 / 1.25));
}

TEST_CASE("correct: a spring that is not what is stamped on it is met after one correction") {
    test::Random random(61);
    for (int i = 0; i < 500; ++i) {
        SwapCase swap = test::example_swap();
        const SwapCase truth = truth_of(swap, random.between(0.94, 1.06), random.between(-60, 60));
        const auto first = restore(swap);
        Length length = first->setting.length, installed = first->setting.installed_length;
        const double before = std::fabs(in_mm(*predict(truth, length, installed).residual_at(State::rider)));
        for (int round = 0; round < 2; ++round) {
            const auto next = correct(swap, check_at(truth, length, installed));
            REQUIRE(next.has_value());
            length = next->setting.length, installed = next->setting.installed_length;
        }
        const Prediction after = predict(truth, length, installed);
        // Rate wrong by 6 %: one correction leaves 6 % of the error, two leave 0.4 %.
        CHECK(std::fabs(in_mm(*after.residual_at(State::rider))) <= 0.005 * before + 1e-6);
        CHECK(std::fabs(in_mm(*after.residual_at(State::topped_out))) < 1e-6);
    }
}

TEST_CASE("correct: the prediction carries what was measured") {
    const SwapCase swap = test::example_swap();
    const auto answer = restore(swap);
    Checked checked = check_at(swap, answer->setting.length, answer->setting.installed_length);
    *checked.rider += mm(3.0);  // stands 3 mm too high
    const auto next = correct(swap, checked);
    REQUIRE(next.has_value());
    // Less preload, by the amount that lowers the model by 3 mm: leverage 2.05.
    CHECK(in_mm(next->setting.preload) == doctest::Approx(in_mm(answer->setting.preload) - 3 / 2.05));
    CHECK(in_mm(next->setting.length) == doctest::Approx(in_mm(answer->setting.length)));
    // The heights shown are those expected on the bike, not those of the model.
    CHECK(in_mm(next->predicted.at(State::rider)->height) == doctest::Approx(469.8));
    CHECK(std::fabs(in_mm(*next->predicted.residual_at(State::rider))) < 1e-9);
}

TEST_CASE("correct: what was not read again") {
    const SwapCase swap = test::example_swap();
    const auto answer = restore(swap);
    Checked checked = check_at(swap, answer->setting.length, answer->setting.installed_length);
    checked.rider.reset();
    *checked.static_ += mm(1.0);
    const auto by_static = correct(swap, checked);
    REQUIRE(by_static.has_value());
    CHECK(std::fabs(in_mm(*by_static->predicted.residual_at(State::static_))) < 1e-9);
    checked.static_.reset();
    CHECK(correct(swap, checked).error().code == ErrorCode::missing);
    checked.rider = mm(std::nan(""));
    CHECK(correct(swap, checked).error().code == ErrorCode::not_a_number);
}
