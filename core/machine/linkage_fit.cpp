// Compares a linkage with a measured table. The zero of the table's axle rise is unknown, so it is always
// fitted. Points are fitted only on request, and their shifts are weighted by their uncertainty.

#include "core/machine/linkage_fit.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

namespace restand {
namespace {

// All lengths and coordinates of a linkage that are measured with a rule.
std::vector<Length*> lengths_of(Linkage& linkage, Length& arm) {
    std::vector<Length*> all{&arm, &linkage.unit_end.at.x, &linkage.unit_end.at.z};
    if (!linkage.rocker) {
        all.insert(all.end(), {&linkage.direct.at.x, &linkage.direct.at.z});
        return all;
    }
    Rocker& r = *linkage.rocker;
    all.insert(all.end(), {&r.pivot.at.x, &r.pivot.at.z, &r.rod_end.at.x, &r.rod_end.at.z, &r.rod,
                           &r.pivot_to_rod, &r.pivot_to_unit});
    return all;
}

// Axle rise from the linkage minus measured rise, at the unit length of each pair; mm.
Result<Eigen::VectorXd> misfits(const Linkage& linkage, Length arm, const std::vector<LinkagePair>& pairs) {
    const auto map = LinkageMap::of(linkage);
    if (!map) return map.error();
    Eigen::VectorXd out(static_cast<Eigen::Index>(pairs.size()));
    for (std::size_t i = 0; i < pairs.size(); ++i) {
        const auto droop = map->droop_at(pairs[i].unit);
        if (!droop) return droop.error();
        out[static_cast<Eigen::Index>(i)] = -(arm * sin(*droop)).value - pairs[i].axle_rise.value;
    }
    return out;
}

Outcome enough(const std::vector<LinkagePair>& pairs) {
    if (pairs.size() < 3) return Error{ErrorCode::missing, "pairs", "at least 3 of them"};
    return Done{};
}

// Largest shift of a point (both coordinates together) or of a length. `moves` in the order of lengths_of().
Length farthest_of(const Linkage& linkage, const std::vector<double>& moves) {
    const std::size_t points = linkage.rocker ? 3 : 2;
    double far = std::fabs(moves[0]);
    for (std::size_t i = 1; i < moves.size(); ++i)
        far = i <= 2 * points ? std::max(far, std::hypot(moves[i], i % 2 ? moves[i + 1] : moves[i - 1]))
                              : std::max(far, std::fabs(moves[i]));
    return mm(far);
}

std::vector<double> moves_between(Linkage was, Length arm_was, Linkage is, Length arm_is) {
    std::vector<double> moves;
    const auto a = lengths_of(was, arm_was), b = lengths_of(is, arm_is);
    for (std::size_t i = 0; i < a.size(); ++i) moves.push_back((*b[i] - *a[i]).value);
    return moves;
}

}  // namespace

std::string_view key(Agreement agreement) {
    constexpr std::string_view keys[] = {"agrees", "points", "contradict"};
    return keys[static_cast<int>(agreement)];
}

Result<LinkageFit> fit_of(const Linkage& linkage, Length arm, const std::vector<LinkagePair>& pairs) {
    if (const auto few = enough(pairs); !few) return few.error();
    const auto all = misfits(linkage, arm, pairs);
    if (!all) return all.error();
    const Eigen::VectorXd miss = all->array() - all->mean();
    LinkageFit fit;
    for (const double m : miss) fit.misses.push_back(mm(m));
    fit.worst = mm(miss.cwiseAbs().maxCoeff());
    fit.rms = mm(std::sqrt(miss.squaredNorm() / static_cast<double>(pairs.size())));
    return fit;
}

// Gauss–Newton on residuals and shifts, each divided by its own uncertainty. Derivatives by finite
// differences: this runs once, and no restore depends on it.
Result<LinkageEstimate> estimated(const Linkage& linkage, Length arm, const std::vector<LinkagePair>& pairs,
                                  Length point_u, Length pair_u) {
    if (const auto few = enough(pairs); !few) return few.error();
    if (!(point_u.value > 0.0 && pair_u.value > 0.0))
        return Error{ErrorCode::out_of_range, "point_u_mm", "x > 0; pair_u_mm too"};
    Linkage now = linkage;
    Length arm_now = arm;
    const auto adjustables = lengths_of(now, arm_now);
    const auto count = static_cast<Eigen::Index>(adjustables.size());
    const auto rows = static_cast<Eigen::Index>(pairs.size());
    Eigen::VectorXd moved = Eigen::VectorXd::Zero(count);
    const auto put = [&](const Eigen::VectorXd& moves) {
        Linkage was = linkage;
        Length was_arm = arm;
        const auto old = lengths_of(was, was_arm);
        for (Eigen::Index i = 0; i < count; ++i) {
            const auto k = static_cast<std::size_t>(i);
            *adjustables[k] = *old[k] + mm(moves[i]);
        }
    };
    for (int round = 0; round < 12; ++round) {
        put(moved);
        const auto here = misfits(now, arm_now, pairs);
        if (!here) return here.error();
        Eigen::MatrixXd slopes(rows, count);
        constexpr double h = 1e-4;
        for (Eigen::Index i = 0; i < count; ++i) {
            Eigen::VectorXd beside = moved;
            beside[i] += h;
            put(beside);
            const auto there = misfits(now, arm_now, pairs);
            if (!there) return there.error();
            slopes.col(i) = (*there - *here) / h;
        }
        // Fitting the unknown zero removes the mean of the residuals and of each column of slopes.
        const Eigen::VectorXd miss = here->array() - here->mean();
        slopes.rowwise() -= slopes.colwise().mean().eval();
        const double wp = 1.0 / (pair_u.value * pair_u.value), wm = 1.0 / (point_u.value * point_u.value);
        const Eigen::MatrixXd normal =
            wp * slopes.transpose() * slopes + wm * Eigen::MatrixXd::Identity(count, count);
        const Eigen::VectorXd down = wp * slopes.transpose() * miss + wm * moved;
        const Eigen::VectorXd step = normal.ldlt().solve(down);
        moved -= step;
        if (step.cwiseAbs().maxCoeff() < 1e-9) break;
    }
    put(moved);
    return LinkageEstimate{now, arm_now};
}

Result<LinkageCheck> checked(const Linkage& linkage, Length arm, const LinkageTable& table) {
    const auto map = LinkageMap::of(linkage);
    if (!map) return map.error();
    for (std::size_t i = 0; i < table.pairs.size(); ++i)
        if (const auto there = map->droop_at(table.pairs[i].unit); !there)
            return Error{there.error().code, "pairs[" + std::to_string(i + 1) + "]", there.error().detail};
    const auto fit = fit_of(linkage, arm, table.pairs);
    if (!fit) return fit.error();
    LinkageCheck out{*fit, {}, Agreement::contradict};
    constexpr double within = 3.0;
    if (fit->worst <= within * table.pair_u) out.agreement = Agreement::agrees;
    const auto near = estimated(linkage, arm, table.pairs, table.point_u, table.pair_u);
    if (!near) return near.error().code == ErrorCode::out_of_range ? Result<LinkageCheck>(near.error()) : out;
    const auto better = fit_of(near->linkage, near->arm, table.pairs);
    if (!better || !(better->rms < fit->rms)) return out;
    const auto moves = moves_between(linkage, arm, near->linkage, near->arm);
    out.best = LinkageCheck::Best{near->linkage, near->arm, *better, farthest_of(linkage, moves)};
    const auto is_far = [&](double move) { return std::fabs(move) > within * table.point_u.value; };
    const bool explained =
        better->worst <= within * table.pair_u && std::none_of(moves.begin(), moves.end(), is_far);
    if (out.agreement != Agreement::agrees && explained) out.agreement = Agreement::points;
    return out;
}

}  // namespace restand
