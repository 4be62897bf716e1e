#pragma once
// How close can a bike come to its targets inside the ranges? Two searches by values alone: a grid refined
// around its best points, and a simplex from many starts. They use nothing of the solver under test, no
// slopes and no state of an end.

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "core/restore/whole.h"
#include "tests/unit/random_bike.h"

namespace restand::test {

// Squared misses, in tolerances: of the targets that must hold, and the weighted sum of the others.
struct Missed {
    double must = 1e30, rest = 1e30;
    bool stands() const { return must < 1e29; }
    // Both as one number, for a search without priorities.
    double all() const { return 1e6 * must + rest; }
};

using Place = std::vector<double>;

class GeneralSearch {
public:
    // `ends`: the solver's limits of each adjuster.
    GeneralSearch(const WholeCase& whole, const std::vector<AdjusterEnds>& ends)
        : c_(whole), map_(LinkageMap::of(whole.bike.linkage).value()) {
        for (const AdjusterEnds& e : ends) low_.push_back(e.low), high_.push_back(e.high);
    }

    // Neither rod nor chain may be among the adjusted values.
    Missed missed_at(const Place& x) const {
        WholeBike bike = c_.bike;
        for (std::size_t i = 0; i < x.size(); ++i) put(bike, c_.adjusters[i].what, x[i]);
        std::array<std::optional<StandingBike>, 3> stands{};
        Missed m{0.0, 0.0};
        for (const Target& t : c_.targets) {
            auto& at = stands[static_cast<std::size_t>(t.state)];
            if (!at) {
                auto stood = posed(bike, t.state);
                if (!stood) return {};
                at = std::move(*stood);
            }
            const auto is = value_of(bike, t.what, *at);
            if (!is) return {};
            const double share = (*is - t.value) / tolerance_of(t);
            (t.must_hold ? m.must : m.rest) += (t.must_hold ? 1.0 : t.weight) * share * share;
        }
        return m;
    }

    // A grid with `count` points per adjuster; its best points are refined until the cells are 1e-6 wide.
    Place on_grid(int count, std::size_t refined) const {
        struct Cell {
            double value;
            Place at;
        };
        std::vector<Cell> cells;
        Place x = low_;
        const auto fill = [&](auto&& self, std::size_t i) -> void {
            if (i == low_.size()) return cells.push_back({value(x), x});
            for (int k = 0; k < count; ++k) {
                x[i] = low_[i] + (high_[i] - low_[i]) * k / (count - 1);
                self(self, i + 1);
            }
        };
        fill(fill, 0);
        refined = std::min(refined, cells.size());
        std::partial_sort(cells.begin(), cells.begin() + static_cast<std::ptrdiff_t>(refined), cells.end(),
                          [](const Cell& a, const Cell& b) { return a.value < b.value; });
        Cell best = cells.front();
        for (std::size_t i = 0; i < refined; ++i) {
            const Place found = closed_in(cells[i].at, 1.0 / (count - 1));
            if (const double v = value(found); v < best.value) best = {v, found};
        }
        return best.at;
    }

    // Simplexes from random starts (Nelder and Mead). Each is restarted where it ended.
    Place from_many_starts(RandomBikes& random, int starts) const {
        Place best = low_;
        double least = value(best);
        for (int s = 0; s < starts; ++s) {
            Place x = low_;
            for (std::size_t i = 0; i < x.size(); ++i) x[i] = random.between(low_[i], high_[i]);
            for (const double size : {0.2, 0.05, 0.01, 0.001}) x = simplex(x, size);
            if (const double v = value(x); v < least) least = v, best = x;
        }
        return best;
    }

private:
    std::optional<StandingBike> posed(const WholeBike& bike, State state) const {
        if (state != State::topped_out) {
            const auto stood = standing(bike, map_, state == State::rider ? Rider::on : Rider::off);
            return stood ? std::optional(*stood) : std::nullopt;
        }
        const auto droop = map_.droop_at(bike.shock.length);
        if (!droop) return std::nullopt;
        StandingBike hung;
        hung.pose = {*droop, mm(0)};
        hung.radii = {bike.rear.radius, bike.front.radius};
        hung.attitude = attitude(bike, hung.pose, hung.radii);
        return hung;
    }
    static double front_height(const WholeBike& b, const StandingBike& at) {
        return in_mm(b.fork.length - b.fork_position - at.pose.fork_travel);
    }
    std::optional<double> value_of(const WholeBike& b, TargetKind what, const StandingBike& at) const {
        switch (what) {
            case TargetKind::rear_height:
                return in_mm(at.attitude.tail_height.value());
            case TargetKind::front_height:
                return front_height(b, at);
            case TargetKind::rake:
                return in_degrees(at.attitude.rake);
            case TargetKind::trail:
                return in_mm(at.attitude.trail);
            case TargetKind::wheelbase:
                return in_mm(at.attitude.wheelbase);
            case TargetKind::arm_to_ground:
                return in_degrees(at.attitude.arm_to_ground);
            case TargetKind::pivot_height:
                return in_mm(at.attitude.pivot_height);
            case TargetKind::rear_sag:
            case TargetKind::front_sag: {
                const auto top = posed(b, State::topped_out);
                if (!top) return std::nullopt;
                if (what == TargetKind::front_sag) return front_height(b, *top) - front_height(b, at);
                return in_mm(*top->attitude.tail_height - *at.attitude.tail_height);
            }
            default:
                return std::nullopt;
        }
    }

    Place inside(Place x) const {
        for (std::size_t i = 0; i < x.size(); ++i) x[i] = std::clamp(x[i], low_[i], high_[i]);
        return x;
    }
    double value(const Place& x) const { return missed_at(inside(x)).all(); }

    // The best of 3 points per adjuster around the best point. Cells are halved when the middle stays the
    // best.
    Place closed_in(Place x, double cell) const {
        double least = value(x);
        while (cell * widest() > 1e-6) {
            Place centre = x, at = x;
            const auto around = [&](auto&& self, std::size_t i) -> void {
                if (i == low_.size()) {
                    if (const double v = value(at); v < least) least = v, x = inside(at);
                    return;
                }
                for (const double by : {-1.0, 0.0, 1.0}) {
                    at[i] = centre[i] + by * cell * (high_[i] - low_[i]);
                    self(self, i + 1);
                }
            };
            around(around, 0);
            if (x == centre) {
                cell *= 0.5;
                continue;
            }
            // Continue in the same direction while it improves: long steps along a valley.
            for (double on = 2.0; on < 1e4; on *= 2.0) {
                Place further = x;
                for (std::size_t i = 0; i < x.size(); ++i) further[i] = centre[i] + on * (x[i] - centre[i]);
                further = inside(further);
                const double v = value(further);
                if (v >= least) break;
                least = v, x = further;
            }
        }
        return x;
    }
    double widest() const {
        double most = 0.0;
        for (std::size_t i = 0; i < low_.size(); ++i) most = std::max(most, high_[i] - low_[i]);
        return most;
    }

    Place simplex(const Place& start, double size) const {
        const std::size_t n = start.size();
        std::vector<std::pair<double, Place>> s{{value(start), start}};
        for (std::size_t i = 0; i < n; ++i) {
            Place x = start;
            const double by = size * (high_[i] - low_[i]);
            x[i] += x[i] + by <= high_[i] ? by : -by;
            s.push_back({value(x), x});
        }
        const auto along = [&](const Place& from, const Place& to, double share) {
            Place x = from;
            for (std::size_t i = 0; i < n; ++i) x[i] += share * (to[i] - from[i]);
            return inside(x);
        };
        for (int round = 0; round < 300; ++round) {
            std::sort(s.begin(), s.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
            if (s.back().first - s.front().first < 1e-13) break;
            Place middle(n, 0.0);
            for (std::size_t k = 0; k < n; ++k)
                for (std::size_t i = 0; i < n; ++i) middle[i] += s[k].second[i] / static_cast<double>(n);
            Place x = along(middle, s.back().second, -1.0);
            double v = value(x);
            if (v < s.front().first) {
                const Place further = along(middle, s.back().second, -2.0);
                if (const double w = value(further); w < v) v = w, x = further;
            } else if (v >= s[n - 1].first) {
                x = along(middle, s.back().second, v < s.back().first ? -0.5 : 0.5);
                v = value(x);
            }
            if (v < s.back().first) {
                s.back() = {v, x};
                continue;
            }
            for (std::size_t k = 1; k <= n; ++k) {
                s[k].second = along(s.front().second, s[k].second, 0.5);
                s[k].first = value(s[k].second);
            }
        }
        return std::min_element(s.begin(), s.end(),
                                [](const auto& a, const auto& b) { return a.first < b.first; })
            ->second;
    }

    const WholeCase& c_;
    LinkageMap map_;
    Place low_, high_;
};

}  // namespace restand::test
