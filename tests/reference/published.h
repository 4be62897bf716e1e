#pragma once
// What the tests against published figures share: relative distance, and the short names of the propagation.

#include <cmath>
#include <limits>
#include <optional>
#include <span>
#include <vector>

namespace restand::test {

inline bool rel(double a, double b, double tolerance) {
    return std::fabs(a - b) <= tolerance * std::fabs(b);
}

inline constexpr double inf = std::numeric_limits<double>::infinity();
using Out = std::optional<std::vector<double>>;  // what a model gives
using In = std::span<const double>;              // what it is given

}  // namespace restand::test
