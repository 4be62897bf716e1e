#pragma once
// Which small change of some adjusters brings several heights nearest to where they should be, most important
// first?
//
//   level 0:  min Σ weight·(a·d − b)²      within low <= d <= high
//   level 1:  the same of its own rows, among the d that are best for level 0; and so on
//   at last:  the d nearest to `prefer`
//
// Dense, at most six unknowns, no heap. Each level is a primal active-set step: bounds that stop a step are
// kept until releasing one lowers the sum again. Ranks are decided at 1e-9 of the largest column. Source:
// Nocedal & Wright, Numerical Optimization, 2nd ed., ch. 16.5 (active set), by levels.

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
// Always within the bounds.
Unknowns bounded_least_squares(const LeastProblem& problem);

}  // namespace restand
