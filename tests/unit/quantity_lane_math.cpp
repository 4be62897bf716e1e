// The vectorised elementary functions against the library's.

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "core/quantity/lane_math.h"

using namespace restand;

TEST_CASE("lane math: sine and cosine are the library's to 2e-15, over many turns") {
    double worst = 0.0;
    for (int i = -200'000; i <= 200'000; ++i) {
        const double angle = i * 1e-3;
        const SineCosine at = sine_cosine(angle);
        worst =
            std::max({worst, std::fabs(at.sine - std::sin(angle)), std::fabs(at.cosine - std::cos(angle))});
    }
    // Four rounded doublings of a series that is exact to half a unit in the last place.
    CHECK(worst < 2e-15);
    CHECK(worst > 0.0);  // they are not the same code
}

TEST_CASE("lane math: logarithm and exponential are the library's to 4e-15 of their value") {
    double log_worst = 0.0, exp_worst = 0.0;
    for (int i = 1; i < 200'000; ++i) {
        const double share = i / 200'000.0, x = std::ldexp(share, -(i % 40)),
                     y = 46.0 * share * share * share;
        log_worst = std::max(log_worst, std::fabs(natural_log(x) / std::log(x) - 1.0));
        exp_worst = std::max(exp_worst, std::fabs(exponential_minus_one(y) / std::expm1(y) - 1.0));
    }
    CHECK(log_worst < 1e-15);
    CHECK(exp_worst < 4e-15);
    CHECK(natural_log(1.0) == 0.0);
    CHECK(exponential_minus_one(0.0) == 0.0);
}
