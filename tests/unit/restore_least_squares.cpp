#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "core/restore/bounded_least_squares.h"
#include "tests/unit/restore_cases.h"

using namespace restand;

namespace {

double sum(const LeastProblem& p, const Unknowns& d, int level) {
    double total = 0;
    for (const LeastRow& row : p.rows) {
        if (row.level != level) continue;
        double miss = -row.b;
        for (int i = 0; i < p.count; ++i) miss += row.a[i] * d[i];
        total += row.weight * miss * miss;
    }
    return total;
}

struct RandomProblem {
    test::Random engine;
    LeastProblem problem(std::vector<LeastRow>& rows, int levels) {
        LeastProblem p;
        p.count = 1 + static_cast<int>(engine.between(0, 6));
        rows.clear();
        for (int level = 0; level < levels; ++level)
            for (int r = 1 + static_cast<int>(engine.between(0, 3)); r > 0; --r) {
                LeastRow row{
                    .a = {}, .b = engine.between(-5, 5), .weight = engine.between(0.2, 3), .level = level};
                for (int i = 0; i < p.count; ++i) row.a[i] = engine.one_in(5) ? 0.0 : engine.between(-3, 3);
                rows.push_back(row);
            }
        for (int i = 0; i < p.count; ++i) {
            p.low[i] = engine.between(-2, 1);
            p.high[i] = engine.one_in(8) ? p.low[i] : p.low[i] + engine.between(0, 3);
            p.prefer[i] = engine.between(-3, 3);
        }
        p.rows = rows;
        return p;
    }
};

}  // namespace

TEST_CASE("least squares: one level is a minimum in the sense of Karush, Kuhn and Tucker") {
    RandomProblem random{test::Random(21)};
    std::vector<LeastRow> rows;
    for (int n = 0; n < 20000; ++n) {
        const LeastProblem p = random.problem(rows, 1);
        const Unknowns d = bounded_least_squares(p);
        // Convex problem: it is enough that no direction inside the bounds leads downhill. 1e-8 on sums of
        // order 10: rounding.
        for (int i = 0; i < p.count; ++i) {
            REQUIRE(d[i] >= p.low[i]);
            REQUIRE(d[i] <= p.high[i]);
            double slope = 0;
            for (const LeastRow& row : rows) {
                double miss = -row.b;
                for (int k = 0; k < p.count; ++k) miss += row.a[k] * d[k];
                slope += 2 * row.weight * miss * row.a[i];
            }
            if (d[i] > p.low[i]) CHECK(slope < 1e-8);
            if (d[i] < p.high[i]) CHECK(slope > -1e-8);
        }
    }
}

TEST_CASE("least squares: a later level never costs an earlier one") {
    RandomProblem random{test::Random(22)};
    std::vector<LeastRow> rows;
    for (int n = 0; n < 20000; ++n) {
        const LeastProblem both = random.problem(rows, 2);
        std::vector<LeastRow> first_rows;
        for (const LeastRow& row : rows)
            if (row.level == 0) first_rows.push_back(row);
        LeastProblem first = both;
        first.rows = first_rows;
        const Unknowns alone = bounded_least_squares(first), d = bounded_least_squares(both);
        CHECK(sum(both, d, 0) == doctest::Approx(sum(both, alone, 0)).epsilon(1e-9));
        CHECK(sum(both, d, 1) <= sum(both, alone, 1) + 1e-9);
    }
}

TEST_CASE("least squares: the second level and the smallest change, against a search") {
    // One must-hold row over three unknowns leaves a plane. Random points of it inside the bounds are tried.
    test::Random random(23);
    for (int n = 0; n < 300; ++n) {
        const std::vector<LeastRow> rows = {
            {.a = {random.between(1, 3), -random.between(1, 3), random.between(-1, 1)},
             .b = random.between(-1, 1)},
            {.a = {2, 0, 0}, .b = random.between(-6, 6), .level = 1}};
        const LeastProblem p{.count = 3,
                             .rows = rows,
                             .low = {-2, -2, -2},
                             .high = {2, 2, 2},
                             .prefer = {0, random.between(-1, 1), random.between(-1, 1)}};
        const Unknowns d = bounded_least_squares(p);
        CHECK(sum(p, d, 0) < 1e-18);
        const auto change = [&](const Unknowns& at) {
            return std::hypot(at[0] - p.prefer[0], at[1] - p.prefer[1], at[2] - p.prefer[2]);
        };
        for (int k = 0; k < 300; ++k) {
            Unknowns other{random.between(-2, 2), 0, random.between(-2, 2)};
            // Half of the time the first unknown is the same: then only the change decides.
            if (random.one_in(2)) other[0] = d[0];
            other[1] = (rows[0].b - rows[0].a[0] * other[0] - rows[0].a[2] * other[2]) / rows[0].a[1];
            if (std::fabs(other[1]) > 2) continue;
            CHECK(sum(p, d, 1) <= sum(p, other, 1) + 1e-9);
            if (std::fabs(sum(p, d, 1) - sum(p, other, 1)) < 1e-12) CHECK(change(d) <= change(other) + 1e-9);
        }
    }
}

TEST_CASE("least squares: nothing asked, nothing moved") {
    const LeastProblem p{.count = 2, .rows = {}, .low = {-1, -1}, .high = {1, 1}, .prefer = {0.5, 3}};
    const Unknowns d = bounded_least_squares(p);
    CHECK(d[0] == doctest::Approx(0.5));
    CHECK(d[1] == doctest::Approx(1.0));
}
