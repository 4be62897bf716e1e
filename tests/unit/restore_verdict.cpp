#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "core/restore/verdict.h"

using namespace restand;

namespace {

constexpr double endless = std::numeric_limits<double>::infinity();

// A value known to ±expanded at 95 %, with infinite degrees of freedom.
Measured known(double value, double expanded) {
    return {.value = value, .u = expanded / coverage_95(endless), .dof = endless, .spread = 0, .repeats = 1};
}

CheckInput rider_only(Measured before, Measured after, double tolerance) {
    CheckInput input{.before = {}, .after = {}, .predicted = {}, .tolerance = mm(tolerance)};
    input.before[2] = before;
    input.after[2] = after;
    input.predicted.residual[2] = mm(0);
    return input;
}

Verdict verdict(double difference, double expanded, double tolerance) {
    // Half of the variance on either side.
    const double each = expanded / std::sqrt(2.0);
    return judge(rider_only(known(470, each), known(470 + difference, each), tolerance)).verdict;
}

}  // namespace

TEST_CASE("verdict: E_n as in ISO 13528:2022, 9.7") {
    // U-19 [published] F: 20.03 ± 0.05 / 20.00 ± 0.02; 10.10 ± 0.06 / 10.00 ± 0.08, the limit; 10.15, beyond
    // it.
    const auto e_n = [](double x, double u_x, double ref, double u_ref) {
        return judge(rider_only(known(ref, u_ref), known(x, u_x), 1.0)).heights.at(0).e_n;
    };
    CHECK(e_n(20.03, 0.05, 20.00, 0.02) == doctest::Approx(0.5570860145).epsilon(1e-8).scale(0));
    CHECK(e_n(10.10, 0.06, 10.00, 0.08) == doctest::Approx(1.0).epsilon(1e-8));
    CHECK(e_n(10.15, 0.06, 10.00, 0.08) == doctest::Approx(1.5).epsilon(1e-8));
}

TEST_CASE("verdict: the table of the header") {
    // difference, expanded uncertainty, tolerance
    CHECK(verdict(0.3, 0.5, 1.0) == Verdict::restored);
    CHECK(verdict(-0.3, 0.5, 1.0) == Verdict::restored);
    CHECK(verdict(0.8, 0.5, 1.0) ==
          Verdict::cannot_tell);  // inside, but nearer to the limit than it is known
    CHECK(verdict(1.4, 0.5, 1.0) == Verdict::cannot_tell);
    CHECK(verdict(1.5, 0.5, 1.0) == Verdict::not_restored);
    CHECK(verdict(-1.5, 0.5, 1.0) == Verdict::not_restored);
    CHECK(verdict(0.3, 1.5, 1.0) == Verdict::cannot_tell);  // uncertainty too large for the tolerance
    CHECK(verdict(1.4, 1.5, 1.0) == Verdict::cannot_tell);
    CHECK(verdict(4.0, 1.5, 1.0) == Verdict::not_restored);  // large uncertainty, but a clear result
    // Without uncertainty every difference is real.
    CHECK(verdict(0.0, 0.0, 1.0) == Verdict::restored);
    CHECK(verdict(0.5, 0.0, 1.0) == Verdict::restored);
    CHECK(verdict(1.5, 0.0, 1.0) == Verdict::not_restored);
}

TEST_CASE("verdict: a difference at the edge of the tolerance is not called restored (JCGM 106:2012, 8.3)") {
    CHECK(verdict(1.9, 1.9, 2.0) == Verdict::cannot_tell);
    CHECK(verdict(-1.9, 1.9, 2.0) == Verdict::cannot_tell);
    CHECK(verdict(0.0, 1.9, 2.0) == Verdict::restored);
    // One-sided guard band of 1.645 u: table value of the normal distribution, Φ(1.645) = 0.95.
    const double u = 0.5, limit = 2.0 - 1.6448536 * u;
    CHECK(verdict(limit - 1e-4, 1.959964 * u, 2.0) == Verdict::restored);
    CHECK(verdict(limit + 1e-4, 1.959964 * u, 2.0) == Verdict::cannot_tell);
    const double beyond = 2.0 + 1.6448536 * u;
    CHECK(verdict(beyond - 1e-4, 1.959964 * u, 2.0) == Verdict::cannot_tell);
    CHECK(verdict(beyond + 1e-4, 1.959964 * u, 2.0) == Verdict::not_restored);
}

TEST_CASE("verdict: the worst held height decides, the others only tell") {
    CheckInput input = rider_only(known(470, 0.3), known(470.1, 0.3), 1.0);
    input.before[0] = known(500, 0.3), input.after[0] = known(497, 0.3);
    input.predicted.residual[0] = mm(-3);  // the answer said that this height would not come back
    CheckResult result = judge(input);
    CHECK(result.heights.size() == 2);
    CHECK_FALSE(result.heights[0].held);
    CHECK(result.heights[0].verdict == Verdict::not_restored);
    CHECK(result.heights[1].held);
    CHECK(result.verdict == Verdict::restored);
    input.predicted.residual[0] = mm(0);
    CHECK(judge(input).verdict == Verdict::not_restored);
    input.after[0] = known(500.1, 2.0);
    CHECK(judge(input).verdict == Verdict::cannot_tell);
    // Not restored outranks cannot tell.
    input.after[2] = known(473, 0.3);
    CHECK(judge(input).verdict == Verdict::not_restored);
}

TEST_CASE("verdict: nothing read, nothing told") {
    CheckInput input{.before = {}, .after = {}, .predicted = {}, .tolerance = mm(1)};
    CHECK(judge(input).verdict == Verdict::cannot_tell);
    input.after[2] = known(470, 0.3);
    CHECK(judge(input).heights.empty());
    CHECK(judge(input).verdict == Verdict::cannot_tell);
    // A height that was read but never predicted does not decide; the rider height needs no prediction.
    input.after = {};
    input.before[0] = known(500, 0.3);
    input.after[0] = known(500, 0.3);
    CHECK(judge(input).heights.size() == 1);
    CHECK(judge(input).verdict == Verdict::cannot_tell);
}

TEST_CASE("verdict: what was promised is held, also after a wrong setting that predicts something else") {
    CheckInput input = rider_only(known(470, 0.3), known(464.7, 0.3), 2.0);
    input.predicted.residual[2] = mm(-5.3);  // collar set wrong; the bike stands as then predicted
    CHECK(judge(input).verdict == Verdict::not_restored);
    input.promised = Prediction{};
    input.promised->residual[2] = mm(0);
    const CheckResult result = judge(input);
    CHECK(result.heights.at(0).held);
    CHECK(result.verdict == Verdict::not_restored);
}

TEST_CASE("verdict: the same tape before and after shares its error, which cancels in the difference") {
    // U-20 [published] F, GUM 5.2.2: u(a − b) of two fully common parts is 0. Own: 0.5 mm of spread each, the
    // rest shared.
    Measured reading{.value = 470,
                     .u = std::hypot(0.5, 0.577),
                     .dof = endless,
                     .spread = 0,
                     .repeats = 1,
                     .common = 0.577};
    CheckInput input = rider_only(reading, reading, 2.0);
    const double apart = judge(input).heights.at(0).expanded.value;
    input.same_instrument[2] = true;
    const double together = judge(input).heights.at(0).expanded.value;
    CHECK(apart == doctest::Approx(1.959963985 * std::sqrt(2.0) * std::hypot(0.5, 0.577)).epsilon(1e-9));
    CHECK(together == doctest::Approx(1.959963985 * std::sqrt(2.0) * 0.5).epsilon(1e-9));
    reading.u = reading.common;
    input = rider_only(reading, reading, 2.0);
    input.same_instrument[2] = true;
    CHECK(judge(input).heights.at(0).expanded.value == doctest::Approx(0.0));
}

namespace {

// Static and rider read before and after, each to ± 1 mm on either side; predicted as before.
CheckInput loaded(double still_after, double rider_after) {
    CheckInput input = rider_only(known(470, 1), known(rider_after, 1), 2.0);
    input.before[1] = known(490, 1);
    input.after[1] = known(still_after, 1);
    Standing stands{.length = mm(300),
                    .travel = mm(10),
                    .height = mm(490),
                    .load = newton(700),
                    .leverage = 2.0,
                    .wheel_rate = newton_per_mm(23.75),
                    .topped_out = false};
    input.predicted.standing[1] = stands;
    input.predicted.residual[1] = mm(0);
    stands.height = mm(470);
    input.predicted.standing[2] = stands;
    return input;
}

}  // namespace

TEST_CASE("verdict: a height on the spring that alone is off has had another load, and turns do not help") {
    const CheckResult seated = judge(loaded(490, 464));
    CHECK(seated.verdict == Verdict::not_restored);
    CHECK(seated.alone == State::rider);
    CHECK_FALSE(seated.turns_help());
    CHECK(judge(loaded(496, 470)).alone == State::static_);
    // Both off alike: a collar does that, and so does a load: 6 mm at 23.75 N/mm are 142.5 N, or 14.53 kg.
    const CheckInput both = loaded(484, 464);
    const CheckResult low = judge(both);
    CHECK_FALSE(low.alone.has_value());
    CHECK(low.turns_help());
    const auto load = load_for(low.heights.back(), both.predicted);
    REQUIRE(load.has_value());
    CHECK(in_kilogram(*load) == doctest::Approx(6 * 23.75 / 9.80665));
    // On its top-out stop static does not feel the collar: turns do help.
    CheckInput hanging = loaded(490, 464);
    hanging.predicted.standing[1]->topped_out = true;
    CHECK_FALSE(judge(hanging).alone.has_value());
    // Apart by less than the readings can tell: no pattern.
    CHECK_FALSE(judge(loaded(490, 468.5)).alone.has_value());
}

TEST_CASE("verdict: another load is named for what is off from what was to be, and no setting explains") {
    const CheckInput input = loaded(484, 464);
    HeightCheck height = judge(input).heights.back();
    const auto kilograms = [&](double to_be, double predicted, double is) -> std::optional<double> {
        height.before = mm(to_be), height.predicted = mm(predicted), height.after = mm(is);
        const auto load = load_for(height, input.predicted);
        return load ? std::optional(in_kilogram(*load)) : std::nullopt;
    };
    const double one = 23.75 / 9.80665;  // kg that make 1 mm
    // After a correction the bike stands as it is to be, and not where the model has it.
    CHECK_FALSE(kilograms(470, 476, 470));
    CHECK_FALSE(kilograms(470, 476, 470.5));
    // Set 4 mm lower on purpose, it stands 6 mm lower: the load makes 2 mm of it.
    CHECK(kilograms(470, 466, 464).value_or(0) == doctest::Approx(2 * one));
    // Still 2 mm low after a correction of 6 mm that the model does not know of.
    CHECK(kilograms(470, 476, 468).value_or(0) == doctest::Approx(2 * one));
    CHECK(kilograms(470, 470, 472).value_or(0) == doctest::Approx(-2 * one));
}

TEST_CASE(
    "verdict: where topped out is off with the rest, it is another mark or another length, and no turns "
    "help") {
    const auto topped = [](double top, double still, double rider) {
        CheckInput input = loaded(still, rider);
        input.before[0] = known(500, 1);
        input.after[0] = known(top, 1);
        Standing stands = *input.predicted.standing[1];
        stands.height = mm(500);
        stands.topped_out = true;
        input.predicted.standing[0] = stands;
        input.predicted.residual[0] = mm(0);
        return judge(input);
    };
    const CheckResult other_mark = topped(600, 590, 570);
    CHECK(other_mark.verdict == Verdict::not_restored);
    REQUIRE(other_mark.all_off.has_value());
    CHECK(in_mm(*other_mark.all_off) == doctest::Approx(100));
    CHECK_FALSE(other_mark.turns_help());
    CHECK(topped(488, 478, 458).all_off.has_value());
    // As much as a length may be set wrong by, or a collar besides: turns bring that back.
    CHECK_FALSE(topped(505, 495, 475).all_off.has_value());
    CHECK(topped(505, 495, 475).turns_help());
    CHECK_FALSE(topped(500, 484, 464).all_off.has_value());
    CHECK_FALSE(topped(512, 490, 470).all_off.has_value());  // topped out alone
}
