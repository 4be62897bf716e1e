#include "core/restore/bounded_least_squares.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/quantity/result.h"

namespace restand {
namespace {

constexpr double rank_tolerance = 1e-9;
using Flags = std::array<bool, most_unknowns>;

double dot_product(const Unknowns& a, const Unknowns& b, int n) {
    double sum = 0.0;
    for (int i = 0; i < n; ++i) sum += a[i] * b[i];
    return sum;
}

// Orthonormal vectors. `add` appends the part of a vector that is independent of them. `complement` returns
// the directions orthogonal to all of them.
struct Basis {
    int n = 0, size = 0;
    std::array<Unknowns, most_unknowns> q{};

    bool add(Unknowns v, double tolerance) {
        const double before = std::sqrt(dot_product(v, v, n));
        if (before == 0.0 || size == n) return false;
        // Two passes are enough (Parlett): the second one removes what rounding left.
        for (int pass = 0; pass < 2; ++pass)
            for (int k = 0; k < size; ++k) {
                const double part = dot_product(v, q[k], n);
                for (int i = 0; i < n; ++i) v[i] -= part * q[k][i];
            }
        const double after = std::sqrt(dot_product(v, v, n));
        if (after <= tolerance * before) return false;
        for (int i = 0; i < n; ++i) v[i] /= after;
        q[size++] = v;
        return true;
    }
    Basis complement() const {
        Basis all = *this, free{n, 0, {}};
        for (int i = 0; i < n; ++i) {
            Unknowns unit{};
            unit[i] = 1.0;
            if (all.add(unit, 1e-7)) free.q[free.size++] = all.q[all.size - 1];
        }
        return free;
    }
};

struct LevelRows {
    int n, rows = 0;
    std::array<Unknowns, most_rows> a;  // weighted; the first `rows` are set
    std::array<double, most_rows> b;

    explicit LevelRows(int unknowns) : n(unknowns) {}

    double sum(const Unknowns& d) const {
        double total = 0.0;
        for (int r = 0; r < rows; ++r) total += std::pow(dot_product(a[r], d, n) - b[r], 2);
        return total;
    }
};

// Best step inside the free directions: least squares by pivoted Gram–Schmidt on A·Z. Directions without
// effect on this level (rank) stay at zero; later levels determine them.
Unknowns best_step(const LevelRows& level, const Unknowns& d, const Basis& free) {
    const int m = level.rows, n = level.n;
    std::array<std::array<double, most_rows>, most_unknowns> column;  // free.size columns of m rows
    std::array<double, most_rows> miss;
    for (int r = 0; r < m; ++r) {
        miss[r] = level.b[r] - dot_product(level.a[r], d, n);
        for (int c = 0; c < free.size; ++c) column[c][r] = dot_product(level.a[r], free.q[c], n);
    }
    const auto inner = [m](const auto& x, const auto& y) {
        double sum = 0.0;
        for (int r = 0; r < m; ++r) sum += x[r] * y[r];
        return sum;
    };
    std::array<int, most_unknowns> order{0, 1, 2, 3, 4, 5};
    std::array<std::array<double, most_unknowns>, most_unknowns> triangle{};
    std::array<double, most_unknowns> right{};
    int rank = 0;
    double largest = 0.0;
    for (; rank < std::min(free.size, m); ++rank) {
        // Largest remaining column first.
        int best = rank;
        for (int c = rank + 1; c < free.size; ++c)
            if (inner(column[order[c]], column[order[c]]) > inner(column[order[best]], column[order[best]]))
                best = c;
        std::swap(order[rank], order[best]);
        auto& pivot = column[order[rank]];
        const double norm = std::sqrt(inner(pivot, pivot));
        if (rank == 0) largest = norm;
        if (norm <= rank_tolerance * largest || norm == 0.0) break;
        for (int r = 0; r < m; ++r) pivot[r] /= norm;
        triangle[rank][order[rank]] = norm;
        for (int c = rank + 1; c < free.size; ++c) {
            auto& other = column[order[c]];
            const double part = inner(pivot, other);
            triangle[rank][order[c]] = part;
            for (int r = 0; r < m; ++r) other[r] -= part * pivot[r];
        }
        right[rank] = inner(pivot, miss);
        for (int r = 0; r < m; ++r) miss[r] -= right[rank] * pivot[r];
    }
    // Back substitution, then transform from free directions to unknowns.
    Unknowns y{}, step{};
    for (int k = rank - 1; k >= 0; --k) {
        double value = right[k];
        for (int c = k + 1; c < rank; ++c) value -= triangle[k][order[c]] * y[order[c]];
        y[order[k]] = value / triangle[k][order[k]];
    }
    for (int c = 0; c < free.size; ++c)
        for (int i = 0; i < n; ++i) step[i] += y[c] * free.q[c][i];
    return step;
}

Basis free_directions(const Basis& held, const Flags& fixed) {
    Basis taken = held;
    for (int i = 0; i < taken.n; ++i) {
        if (!fixed[i]) continue;
        Unknowns unit{};
        unit[i] = 1.0;
        taken.add(unit, rank_tolerance);
    }
    return taken.complement();
}

double size_of(const Unknowns& v, int n) {
    return std::sqrt(dot_product(v, v, n));
}

// Releases one active bound if the step without it leads inside the bounds and lowers the sum.
bool release_one(const LevelRows& level, const LeastProblem& p, const Basis& held, const Unknowns& d,
                 Flags& fixed) {
    const double now = level.sum(d);
    for (int i = 0; i < p.count; ++i) {
        if (!fixed[i] || p.low[i] == p.high[i]) continue;
        Flags tried = fixed;
        tried[i] = false;
        const Unknowns step = best_step(level, d, free_directions(held, tried));
        const bool inside = d[i] >= p.high[i] ? step[i] < 0.0 : step[i] > 0.0;
        Unknowns there = d;
        for (int k = 0; k < p.count; ++k) there[k] += step[k];
        if (!inside || level.sum(there) >= now - 1e-18 * (1.0 + now)) continue;
        fixed = tried;
        return true;
    }
    return false;
}

void minimise(const LevelRows& level, const LeastProblem& p, const Basis& held, Unknowns& d, Flags& fixed) {
    // Every pass ends, activates one more bound, or releases one and lowers the sum. The cap stops a cycle
    // due to rounding.
    Basis free = free_directions(held, fixed);
    Flags freed_for = fixed;
    for (int pass = 0; pass < 8 * most_unknowns; ++pass) {
        if (fixed != freed_for) free = free_directions(held, freed_for = fixed);
        const Unknowns step = best_step(level, d, free);
        if (size_of(step, p.count) <= 1e-13 * (1.0 + size_of(d, p.count))) {
            if (!release_one(level, p, held, d, fixed)) return;
            continue;
        }
        double reach = 1.0;
        int stopped_by = -1;
        for (int i = 0; i < p.count; ++i) {
            if (step[i] == 0.0 || fixed[i]) continue;
            const double room = ((step[i] > 0.0 ? p.high[i] : p.low[i]) - d[i]) / step[i];
            if (room < reach) reach = std::max(0.0, room), stopped_by = i;
        }
        for (int i = 0; i < p.count; ++i)
            if (!fixed[i]) d[i] = std::clamp(d[i] + reach * step[i], p.low[i], p.high[i]);
        if (stopped_by < 0) continue;
        d[stopped_by] = step[stopped_by] > 0.0 ? p.high[stopped_by] : p.low[stopped_by];
        fixed[stopped_by] = true;
    }
}

}  // namespace

Unknowns bounded_least_squares(const LeastProblem& p) {
    check(p.count >= 1 && p.count <= most_unknowns, "1 to 6 unknowns");
    check(p.rows.size() <= most_rows, "at most 24 targets and one kink");
    Unknowns d{};
    Flags fixed{};
    for (int i = 0; i < p.count; ++i) {
        check(p.low[i] <= p.high[i], "bounds in order");
        d[i] = std::clamp(p.prefer[i], p.low[i], p.high[i]);
        fixed[i] = p.low[i] == p.high[i];
    }
    Basis held{p.count, 0, {}};
    int last = -1;
    for (const LeastRow& row : p.rows) last = std::max(last, row.level);
    for (int number = 0; number <= last; ++number) {
        LevelRows level(p.count);
        for (const LeastRow& row : p.rows) {
            if (row.level != number || !(row.weight > 0.0)) continue;
            const double w = std::sqrt(row.weight);
            level.a[level.rows] = {};
            for (int i = 0; i < p.count; ++i) level.a[level.rows][i] = w * row.a[i];
            level.b[level.rows++] = w * row.b;
        }
        if (level.rows == 0) continue;
        minimise(level, p, held, d, fixed);
        // The next levels must not change the result of this one.
        for (int r = 0; r < level.rows; ++r) held.add(level.a[r], rank_tolerance);
    }
    LevelRows nearest(p.count);
    for (int i = 0; i < p.count; ++i) {
        nearest.a[i] = {};
        nearest.a[i][i] = 1.0;
        nearest.b[nearest.rows++] = p.prefer[i];
    }
    minimise(nearest, p, held, d, fixed);
    return d;
}

}  // namespace restand
