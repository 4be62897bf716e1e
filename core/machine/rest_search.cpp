#include "core/machine/rest_search.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "core/machine/derivatives.h"

namespace restand {
namespace {

using S = Dual<4>;

constexpr int sample_steps = 20;      // over the travel; a linkage has no features shorter than one step
constexpr double settled = 1e-10;     // mm; change of fork travel and radii at one droop
constexpr double most_raised = -0.8;  // rad; least droop: no bike stands with the arm higher
constexpr double least_droop_step = 1e-14;

Error no_rest(const char* why) {
    return Error{ErrorCode::no_solution, "bike", why};
}

}  // namespace

RestSearch::RestSearch(const WholeBike& bike, const LinkageMap& map, Rider rider)
    : bike_(bike), map_(map), rider_(rider), adjustables_(adjustables_of(bike)) {
    const SuspensionUnit& fork = bike.fork;
    const double gas_end = gas_travel_end(fork.gas);
    fork_ends_ = fork.travel && fork.travel->value < gas_end;
    const double end = fork_ends_ ? fork.travel->value : std::min(gas_end, fork.length.value);
    std::vector<double> travels = unit_kinks(fork);
    travels.insert(travels.begin(), 0.0);
    std::erase_if(travels, [&](double t) { return t >= end; });
    travels.push_back(end);
    for (const double t : travels) fork_knots_.push_back({t, unit_terms(fork, t, true).force});
}

Balance<double> RestSearch::balance_at(const BikeState<double>& q) const {
    return balance<double>(bike_, map_.constants(), adjustables_, q, rider_ == Rider::on, Hold::spring,
                           Hold::spring);
}

// Least travel s at which the fork force reaches asked + by_travel·s. nullopt: not within the travel.
std::optional<double> RestSearch::fork_travel(double asked, double by_travel) const {
    const auto over = [&](double travel, double force) { return force - asked - by_travel * travel; };
    double a = fork_knots_.front().travel, at_a = over(a, fork_knots_.front().force);
    if (at_a >= 0.0) return a;
    for (std::size_t i = 1; i < fork_knots_.size(); ++i) {
        double b = fork_knots_[i].travel, at_b = over(b, fork_knots_[i].force);
        if (!(at_b >= 0.0)) {
            a = b, at_a = at_b;
            continue;
        }
        // False position, every third step bisection: it is exact on straight pieces.
        for (int round = 0; round < 100 && b - a > 1e-12; ++round) {
            double s =
                std::isfinite(at_b) && round % 3 != 2 ? a - at_a * (b - a) / (at_b - at_a) : 0.5 * (a + b);
            s = std::clamp(s, a, b);
            const double at_s = over(s, unit_terms(bike_.fork, s, true).force);
            if (std::fabs(at_s) < 1e-12) return s;
            if (at_s < 0.0)
                a = s, at_a = at_s;
            else
                b = s, at_b = at_s;
        }
        return b;
    }
    return std::nullopt;
}

auto RestSearch::slaved(double droop, const BikeState<double>& near) const -> Slaved {
    Slaved out{{droop, near.fork_travel, near.rear_radius, near.front_radius}, Hold::spring, 0.0, true};
    // Secant estimate of the change of fork load with fork travel, from one round to the next.
    double by_travel = 0.0, asked_last = 0.0, travel_last = 0.0;
    for (int round = 0; round < 40; ++round) {
        const Balance<double> b = balance_at(out.at);
        out.left = b.rear_stop;
        const double asked = b.fork_force - b.fork_stop, travel = out.at.fork_travel;
        if (round > 0 && std::fabs(travel - travel_last) > 1e-3)
            by_travel = (asked - asked_last) / (travel - travel_last);
        asked_last = asked, travel_last = travel;
        auto s = fork_travel(asked - by_travel * travel, by_travel);
        if (!s && !fork_ends_) {
            out.sound = false;
            return out;
        }
        out.fork = !s ? Hold::bottomed : *s <= 0.0 ? Hold::topped_out : Hold::spring;
        out.at.fork_travel = s.value_or(fork_knots_.back().travel);
        out.at.rear_radius -= b.rear_radius;
        out.at.front_radius -= b.front_radius;
        const double moved = std::max(
            {std::fabs(out.at.fork_travel - travel), std::fabs(b.rear_radius), std::fabs(b.front_radius)});
        if (moved < settled) break;
    }
    return out;
}

// Droops to sample, in falling order from `top` to `bottom`: equal steps, and the shock's kinks.
std::vector<double> RestSearch::droops(double top, double bottom) const {
    std::vector<double> at;
    for (int i = 0; i <= sample_steps; ++i) at.push_back(top + (bottom - top) * i / sample_steps);
    for (const double kink : unit_kinks(bike_.shock))
        if (const auto droop = map_.droop_at(bike_.shock.length - mm(kink));
            droop && droop->value < top && droop->value > bottom)
            at.push_back(droop->value);
    std::sort(at.begin(), at.end(), std::greater<>());
    return at;
}

// Newton on all four unknowns, exact derivatives. nullopt: too large a step, off the map, or no convergence.
std::optional<BikeState<double>> RestSearch::newton(BikeState<double> q, Hold rear, Hold fork) const {
    Adjustables<S> adjustables;
    for (int i = 0; i < adjustable_count; ++i) adjustables.at[i] = S(adjustables_.at[i]);
    for (int i = 0; i < 20; ++i) {
        const BikeState<S> dual{S(q.droop, 4, 0), S(q.fork_travel, 4, 1), S(q.rear_radius, 4, 2),
                                S(q.front_radius, 4, 3)};
        const auto b =
            balance<S>(bike_, map_.constants(), adjustables, dual, rider_ == Rider::on, rear, fork);
        const Eigen::Vector4d miss{b.rear.value(), b.fork.value(), b.rear_radius.value(),
                                   b.front_radius.value()};
        Eigen::Matrix4d slopes;
        slopes.row(0) = b.rear.derivatives();
        slopes.row(1) = b.fork.derivatives();
        slopes.row(2) = b.rear_radius.derivatives();
        slopes.row(3) = b.front_radius.derivatives();
        const Eigen::Vector4d step = slopes.householderQr().solve(-miss);
        if (!step.allFinite() || std::fabs(step[0]) > 0.2 || std::fabs(step[1]) > 80.0) return std::nullopt;
        q.droop += step[0];
        q.fork_travel += step[1];
        q.rear_radius += step[2];
        q.front_radius += step[3];
        if (q.droop <= map_.shortest().droop.value || q.droop >= map_.longest().droop.value)
            return std::nullopt;
        if (std::fabs(step[0]) < 1e-13 && step.tail<3>().cwiseAbs().maxCoeff() < 1e-10) return q;
    }
    return std::nullopt;
}

// Refines a rest by Newton's method. Keeps `near` if Newton fails or converges to a different place.
Rest RestSearch::finished(const Slaved& near, Hold rear) const {
    const auto exact = newton(near.at, rear, near.fork);
    const bool same = exact && std::fabs(exact->droop - near.at.droop) < 1e-6 &&
                      std::fabs(exact->fork_travel - near.at.fork_travel) < 1e-4;
    return {same ? *exact : near.at, rear, near.fork};
}

// The rest between two droops: at `less` (less compressed) the rear compresses further, at `more` it is
// pushed out. nullopt: the fork's travel jumps between them, so there is no rest.
std::optional<Rest> RestSearch::between(Slaved less, Slaved more) const {
    const double from = less.at.droop, to = more.at.droop;
    const double share = less.left / (less.left - more.left);
    if (std::isfinite(more.left)) {
        const auto mid = [&](double a, double b) { return a + share * (b - a); };
        const BikeState<double> guess{mid(from, to), mid(less.at.fork_travel, more.at.fork_travel),
                                      mid(less.at.rear_radius, more.at.rear_radius),
                                      mid(less.at.front_radius, more.at.front_radius)};
        // Accept Newton's result if it is inside the bracket, and the fork is held in the same way and at its
        // first rest.
        const auto q = less.fork == more.fork ? newton(guess, Hold::spring, less.fork) : std::nullopt;
        if (q && q->droop <= from + 1e-12 && q->droop >= to - 1e-12) {
            const Slaved there = slaved(q->droop, *q);
            if (there.sound && there.fork == less.fork &&
                std::fabs(there.at.fork_travel - q->fork_travel) < 1e-8)
                return Rest{*q, Hold::spring, less.fork};
        }
    }
    for (int round = 0; round < 60 && less.at.droop - more.at.droop > least_droop_step; ++round) {
        const Slaved middle = slaved(0.5 * (less.at.droop + more.at.droop), less.at);
        if (!middle.sound) return std::nullopt;
        (middle.left < 0.0 ? less : more) = middle;
    }
    if (std::fabs(less.at.fork_travel - more.at.fork_travel) > 1e-3) return std::nullopt;
    return finished(more, Hold::spring);
}

// Golden-section search for the maximum of `left` between the droops `a` and `c`; `left` is highest at `b`.
// Stops at the first point where `left` is not below 0.
auto RestSearch::highest(const Slaved& a, const Slaved& b, const Slaved& c) const -> Slaved {
    Slaved best = b;
    double from = a.at.droop, to = c.at.droop;
    for (int round = 0; round < 40 && best.left < 0.0 && from - to > 1e-7; ++round) {
        const bool first = from - best.at.droop > best.at.droop - to;
        const double droop = best.at.droop + 0.382 * ((first ? from : to) - best.at.droop);
        const Slaved there = slaved(droop, best.at);
        if (!there.sound) break;
        if (there.left > best.left) {
            (first ? to : from) = best.at.droop;
            best = there;
        } else {
            (first ? from : to) = droop;
        }
    }
    return best;
}

Result<std::vector<Rest>> RestSearch::search(bool only_first) const {
    const auto top = map_.droop_at(bike_.shock.length);
    if (!top) return top.error();
    const double least = std::max(map_.shortest().droop.value, most_raised);
    bool stops = false;  // the unit's travel ends before the linkage does
    double bottom = least + 1e-9;
    if (bike_.shock.travel)
        if (const auto full = map_.droop_at(bike_.shock.length - *bike_.shock.travel))
            stops = true, bottom = full->value;
    std::vector<Rest> rests;
    const BikeState<double> hung{top->value, 0.0, adjustables_[Adjustable::rear_radius],
                                 adjustables_[Adjustable::front_radius]};
    Slaved last = slaved(top->value, hung);
    std::optional<Slaved> before;  // the one before `last`
    if (last.sound && last.left >= 0.0) rests.push_back(finished(last, Hold::topped_out));
    for (const double droop : droops(top->value, bottom)) {
        if (only_first && !rests.empty()) return rests;
        if (!last.sound) return no_rest("the fork springs carry their load nowhere in the travel");
        if (droop >= last.at.droop) continue;
        Slaved here = slaved(droop, last.at);
        if (!here.sound) return no_rest("the fork springs carry their load nowhere in the travel");
        if (last.left < 0.0 && here.left >= 0.0) {
            if (const auto rest = between(last, here)) rests.push_back(*rest);
        } else if (before && last.left < 0.0 && last.left > before->left && last.left > here.left) {
            // `left` may have risen above 0 and fallen again between two steps.
            const Slaved high = highest(*before, last, here);
            if (high.left >= 0.0) {
                const bool sooner = high.at.droop > last.at.droop;
                if (const auto rest = between(sooner ? *before : last, high)) rests.push_back(*rest);
            }
        }
        before = last;
        last = here;
    }
    if (last.left < 0.0 && stops) rests.push_back(finished(last, Hold::bottomed));
    if (rests.empty()) return no_rest("the rear springs carry their load nowhere in the travel");
    return rests;
}

Result<Rest> RestSearch::first() const {
    auto rests = search(true);
    if (!rests) return rests.error();
    return rests->front();
}

Result<std::vector<Rest>> RestSearch::all() const {
    return search(false);
}

}  // namespace restand
