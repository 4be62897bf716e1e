#pragma once
// Which small change of some adjusters brings several heights nearest to their targets, by importance?
//
//   level 0:  min Σ weight·(a·d − b)²      within low <= d <= high
//   level 1:  the same for the rows of level 1, among the d that minimise level 0; and so on
//   last:     of the remaining d, the one nearest to `prefer`
//
// Dense, at most six unknowns, no heap. Each level uses a primal active-set method: a bound that stops a step
// stays active until its release lowers the sum. Columns below 1e-9 of the largest one count as zero in the
// rank. Source: Nocedal & Wright, Numerical Optimization, 2nd ed., ch. 16.5 (active set), applied by levels.

#include <array>
#include <span>

namespace restand {

inline constexpr int most_unknowns = 6, most_rows = 25;
using Unknowns = std::array<double, most_unknowns>;  // the first `count` are in use

struct LeastRow {
    Unknowns a{};
    double b = 0.0;
    double weight = 1.0;  // >= 0; 0 leaves the row out
    int level = 0;
};
struct LeastProblem {
    int count = 0;                   // unknowns, 1..most_unknowns
    std::span<const LeastRow> rows;  // at most most_rows
    Unknowns low{}, high{};          // low <= high; may be infinite
    Unknowns prefer{};
};
// The result is always within the bounds.
Unknowns bounded_least_squares(const LeastProblem& problem);

}  // namespace restand
