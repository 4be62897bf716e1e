// From a continuous setting to a settable one. First teeth and links are rounded to whole numbers, and the
// other adjusters are solved again for each choice. Then the settable steps on both sides are ranked by the
// slopes, and the best few are evaluated on the bike.

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/restore/whole_search.h"

namespace restand {
namespace {

constexpr double step_rounding = 1e-9;

// On the chain and must-hold levels a merit up to 1 (a miss of one tolerance) counts as 1, so that a later
// level can decide.
double graded(const Merit& m, int level) {
    return level == weighted ? m.at[level] : std::max(1.0, m.at[level]);
}
bool better_than(const Merit& a, const Merit& b) {
    for (int level = 0; level < level_count; ++level)
        if (std::fabs(graded(a, level) - graded(b, level)) > 1e-9) return graded(a, level) < graded(b, level);
    return a.all() < b.all() - 1e-9;
}

// The settable positions next to a value: one below and one above, or the value itself if there are no steps.
std::vector<double> places(const WholeAdjuster& a, const AdjusterEnds& ends, double x) {
    if (a.detent <= 0.0) return {x};
    std::vector<double> out;
    const double below = std::floor((x - a.now) / a.detent + step_rounding);
    for (const double count : {below, below + 1.0}) {
        const double place = a.now + count * a.detent;
        if (place >= ends.low - step_rounding && place <= ends.high + step_rounding) out.push_back(place);
    }
    // No step lies between the ends: use `now`, moved to the nearest end if it is outside.
    if (out.empty()) out.push_back(std::clamp(a.now, ends.low, ends.high));
    return out;
}

}  // namespace

auto WholeSearch::with_whole_counts(const Found& here, Ends& ends) const -> Found {
    const Values& x = here.at;
    std::vector<Values> choices{x};
    for (std::size_t i = 0; i < n_; ++i) {
        if (!is_counted(c_.adjusters[i].what) || c_.adjusters[i].detent <= 0.0) continue;
        std::vector<Values> more;
        for (const Values& choice : choices)
            for (const double place : places(c_.adjusters[i], ends[i], x[i])) {
                more.push_back(choice);
                more.back()[i] = place;
            }
        choices = std::move(more);
    }
    if (choices.size() == 1 && choices[0] == x) return here;
    const auto hold_counts = [&](Ends& of, const Values& at) {
        for (std::size_t i = 0; i < n_; ++i)
            if (is_counted(c_.adjusters[i].what)) of[i].low = of[i].high = at[i];
    };
    Result<Found> best_one = Error{ErrorCode::no_solution, "bike", ""};
    for (const Values& choice : choices) {
        auto held = ends;
        hold_counts(held, choice);
        best_one = better(best_one, best(choice, held));
    }
    if (!best_one) return here;
    hold_counts(ends, best_one->at);
    return std::move(*best_one);
}

auto WholeSearch::on_steps(const Found& here, const Ends& ends) const -> Result<Found> {
    const auto& [x, terms] = here;
    struct Tried {
        Values at;
        Merit merit;
        double moved;
        bool better_than(const Tried& other) const {
            if (restand::better_than(merit, other.merit)) return true;
            return !restand::better_than(other.merit, merit) && moved < other.moved;
        }
    };
    std::vector<Tried> tried{{{}, {}, 0.0}};
    for (std::size_t i = 0; i < n_; ++i) {
        std::vector<Tried> longer;
        for (const Tried& t : tried)
            for (const double place : places(c_.adjusters[i], ends[i], x[i])) {
                longer.push_back(t);
                longer.back().at.push_back(place);
                longer.back().moved += std::fabs(place - c_.adjusters[i].now);
            }
        tried = std::move(longer);
    }
    for (Tried& t : tried) {
        std::vector<double> misses;
        for (const TargetTerm& term : terms) {
            double miss = term.miss;
            for (std::size_t i = 0; i < n_; ++i) miss += slope(term, i) * (t.at[i] - x[i]);
            misses.push_back(miss);
        }
        t.merit = merit(misses, 1.0);
    }
    const auto better = [](const Tried& a, const Tried& b) { return a.better_than(b); };
    const std::size_t few = std::min<std::size_t>(4, tried.size());
    std::partial_sort(tried.begin(), tried.begin() + static_cast<std::ptrdiff_t>(few), tried.end(), better);
    tried.resize(few);
    const Merit nowhere{{std::numeric_limits<double>::infinity(), 0.0, 0.0}};
    std::vector<Result<Found>> exact;
    for (Tried& t : tried) {
        exact.push_back(found_at(t.at));
        if (!exact.back()) {
            t.merit = nowhere;
            continue;
        }
        std::vector<double> misses;
        for (const TargetTerm& term : exact.back()->terms) misses.push_back(term.miss);
        t.merit = merit(misses, 1.0);
    }
    return exact[static_cast<std::size_t>(std::min_element(tried.begin(), tried.end(), better) -
                                          tried.begin())];
}

}  // namespace restand
