// Gauss–Newton over the adjusters, with safeguards against alternating steps at stops and kinks.

#include "core/restore/whole_search.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace restand {
namespace {

constexpr double settled_step = 1e-9;  // mm; a smaller step counts as converged
constexpr double longest_step = 40.0;  // mm in one round; slopes are not reliable further away
// Differences of the merit, in squared target units: two searches that reach the same point may differ by
// `no_nearer`; an improvement above `gain` counts.
constexpr double no_nearer = 1e-13, gain = 1e-20;

double largest_of(const Unknowns& step, std::size_t n) {
    double largest = 0.0;
    for (std::size_t i = 0; i < n; ++i) largest = std::max(largest, std::fabs(step[i]));
    return largest;
}

bool stands_on_stop(const WholeSearch::Terms& terms) {
    return std::any_of(terms.begin(), terms.end(), [](const TargetTerm& t) { return t.stopped; });
}

bool reached(const WholeSearch::Terms& terms) {
    return std::all_of(terms.begin(), terms.end(),
                       [](const TargetTerm& t) { return std::fabs(t.miss) < 1e-8; });
}

// True if the force of a unit has a kink: where a rubber makes contact, a helper closes, one of two springs
// comes loose, a spring's table bends or a top-out spring ends.
bool has_kinks(const WholeBike& bike) {
    const auto kinked = [](const SuspensionUnit& u) {
        return !u.bump.empty() || u.helper || u.other_leg || u.top_out || !u.spring.table.empty();
    };
    return kinked(bike.shock) || kinked(bike.fork);
}

constexpr int spread_starts = 12;
// Spreads any number of points evenly over 0 to 1 (van der Corput), with a different base for each adjuster
// (Halton).
double share_of(int k, std::size_t adjuster) {
    static constexpr int bases[most_unknowns] = {2, 3, 5, 7, 11, 13};
    double share = 0.0, part = 1.0;
    for (; k > 0; k /= bases[adjuster]) share += (part /= bases[adjuster]) * (k % bases[adjuster]);
    return share;
}

// Limits how much worse a step towards the smallest change may be: it keeps the targets to first order only.
bool allowed(const Merit& was, const Merit& is) {
    const auto much_worse = [&](int level) { return is.at[level] > 2.0 * was.at[level] + 1e-2; };
    const auto better = [&](int level) { return is.at[level] < 0.9 * was.at[level] - 1e-9; };
    if (much_worse(chain_first) || (much_worse(must_hold) && !better(chain_first))) return false;
    if (better(chain_first) || better(must_hold)) return true;
    return is.all() <= was.all() + 1e-2;
}

}  // namespace

Level level_of(const WholeCase& whole, const Target& t) {
    const auto own = [](const WholeAdjuster& a) { return moves_chain(a.what); };
    if (is_slack(t.what) && t.weight > 0.0 &&
        std::any_of(whole.adjusters.begin(), whole.adjusters.end(), own))
        return chain_first;
    return t.must_hold ? must_hold : weighted;
}

WholeSearch::WholeSearch(const WholeCase& whole)
    : c_(whole),
      n_(whole.adjusters.size()),
      adjustables_(adjustables_of(whole.bike)),
      map_(LinkageMap::of(whole.bike.linkage)) {
    for (const Target& t : whole.targets) {
        const bool watched = level_of(whole, t) == weighted && !(t.weight > 0.0);
        const double tolerance = tolerance_of(t);
        if (!watched && t.what != TargetKind::final_drive && (unit_ == 0.0 || tolerance < unit_))
            unit_ = tolerance;
    }
    if (unit_ == 0.0) unit_ = 1.0;
}

WholeSearch::Values WholeSearch::now() const {
    Values x;
    for (const WholeAdjuster& a : c_.adjusters) x.push_back(a.now);
    return x;
}

WholeBike WholeSearch::bike_at(const Values& x) const {
    WholeBike bike = c_.bike;
    for (std::size_t i = 0; i < n_; ++i) put(bike, c_.adjusters[i].what, adjustable_at(x, i));
    return bike;
}

auto WholeSearch::map_of(const WholeBike& bike, OwnMap& own) const -> const Result<LinkageMap>& {
    return bike.linkage == c_.bike.linkage ? map_ : own.emplace(LinkageMap::of(bike.linkage));
}

auto WholeSearch::found_at(Values x, AtStop at_stop) const -> Result<Found> {
    Adjustables<double> k = adjustables_;
    for (std::size_t i = 0; i < n_; ++i) k[c_.adjusters[i].what] = adjustable_at(x, i);
    const WholeBike bike = bike_at(x);
    OwnMap own;
    const Result<LinkageMap>& map = map_of(bike, own);
    if (!map) return map.error();
    auto terms = target_terms(bike, *map, c_.targets, k, at_stop);
    if (!terms) return terms.error();
    return Found{std::move(x), std::move(*terms)};
}

// An adjuster may be read from a different datum than the adjustable; a change is the same in both.
double WholeSearch::adjustable_at(const Values& x, std::size_t i) const {
    const WholeAdjuster& a = c_.adjusters[i];
    return adjustables_[a.what] + (x[i] - a.now);
}

double WholeSearch::slope(const TargetTerm& t, std::size_t adjuster) const {
    return t.slope[static_cast<int>(c_.adjusters[adjuster].what)];
}

Merit WholeSearch::merit(std::span<const double> misses, double unit) const {
    Merit m;
    for (std::size_t j = 0; j < misses.size(); ++j) {
        const Target& t = c_.targets[j];
        const Level level = level_of(c_, t);
        const double share = misses[j] * (unit / tolerance_of(t));
        m.at[level] += (level == weighted ? t.weight : 1.0) * share * share;
    }
    return m;
}

Merit WholeSearch::merit(const Terms& terms) const {
    std::vector<double> misses;
    for (const TargetTerm& t : terms) misses.push_back(t.miss);
    return merit(misses, unit_);
}

// Compares level by level and ignores which targets count as held: of two answers that both hold, the nearer
// one is better.
bool WholeSearch::nearer(const Terms& is, const Terms& was, double by) const {
    const Merit a = merit(is), b = merit(was);
    for (int level = 0; level < level_count; ++level)
        if (std::fabs(a.at[level] - b.at[level]) > by) return a.at[level] < b.at[level];
    return false;
}

auto WholeSearch::better(const Result<Found>& a, const Result<Found>& b) const -> Result<Found> {
    if (!a || !b) return a ? a : b;
    return nearer(b->terms, a->terms, no_nearer) ? b : a;
}

// Across a kink, the slope change of every target is proportional to one quantity, the distance to the kink.
// So the target with the largest slope change gives the place where the two pieces meet. nullopt: both points
// are on the same piece.
std::optional<LeastRow> WholeSearch::kink_between(const Found& here, const Found& across) const {
    LeastRow row;
    double most = 1e-6;
    for (std::size_t j = 0; j < here.terms.size(); ++j) {
        LeastRow bend;
        double size = 0.0;
        bend.b = across.terms[j].miss - here.terms[j].miss;
        for (std::size_t i = 0; i < n_; ++i) {
            const double beyond = slope(across.terms[j], i);
            bend.a[i] = slope(here.terms[j], i) - beyond;
            bend.b -= beyond * (across.at[i] - here.at[i]);
            size = std::max(size, std::fabs(bend.a[i]));
        }
        if (size > most) most = size, row = bend;
    }
    if (most == 1e-6) return std::nullopt;
    for (double& a : row.a) a /= most;
    row.b /= most;
    return row;
}

Unknowns WholeSearch::change(const Found& here, const Ends& ends, Seek seek, const Found* across) const {
    const auto& [x, terms] = here;
    std::vector<LeastRow> rows;
    if (across)
        if (const auto kink = kink_between(here, *across)) rows.push_back(*kink);
    for (std::size_t j = 0; j < terms.size(); ++j) {
        const Target& t = c_.targets[j];
        LeastRow row;
        for (std::size_t i = 0; i < n_; ++i) row.a[i] = slope(terms[j], i);
        row.b = -terms[j].miss;
        const Level level = level_of(c_, t);
        row.level = 1 + level;  // 0: the kink
        const double share = unit_ / tolerance_of(t);
        row.weight = (level == weighted ? t.weight : 1.0) * share * share;
        if (row.weight > 0.0) rows.push_back(row);
    }
    LeastProblem problem{static_cast<int>(n_), rows, {}, {}, {}};
    for (std::size_t i = 0; i < n_; ++i) {
        problem.low[i] = std::min(0.0, ends[i].low - x[i]);
        problem.high[i] = std::max(0.0, ends[i].high - x[i]);
        problem.prefer[i] = seek == Seek::least_change ? c_.adjusters[i].now - x[i] : 0.0;
    }
    return bounded_least_squares(problem);
}

auto WholeSearch::stepped(const Values& x, const Unknowns& step, double share, const Ends& ends) const
    -> Values {
    Values next = x;
    for (std::size_t i = 0; i < n_; ++i)
        next[i] =
            std::clamp(x[i] + share * step[i], std::min(x[i], ends[i].low), std::max(x[i], ends[i].high));
    return next;
}

// The largest tried share of the step at which the bike finds an equilibrium and is not much worse.
auto WholeSearch::walked(const Found& from, const Unknowns& step, double share, const Ends& ends,
                         AtStop side) const -> std::optional<Found> {
    const Merit was = merit(from.terms);
    for (int halving = 0; halving < 12; ++halving, share *= 0.5) {
        auto there = found_at(stepped(from.at, step, share, ends), side);
        if (there && allowed(was, merit(there->terms))) return std::move(*there);
    }
    return std::nullopt;
}

// One search with one treatment of the stops. Returns the nearest point it visited, as the bike stands there.
auto WholeSearch::searched(const Values& x, const Ends& ends, AtStop side, bool& stopped, bool& settled) const
    -> Result<Found> {
    auto here = found_at(x, side);
    if (!here) return here.error();
    std::optional<Found> nearest;
    int no_gain = 0;  // rounds in a row without improvement; alternating steps do not improve
    settled = false;
    for (int round = 0; round < 40 && no_gain < 6; ++round) {
        const bool on_stop = stands_on_stop(here->terms);
        stopped = stopped || on_stop;
        const auto stands = on_stop && side != AtStop::held ? found_at(here->at) : here;
        const bool gained = stands && (!nearest || nearer(stands->terms, nearest->terms, no_nearer));
        if (gained) nearest = *stands;
        no_gain = gained ? 0 : no_gain + 1;
        const Unknowns step = change(*here, ends, Seek::least_change);
        const double largest = largest_of(step, n_);
        settled = largest < settled_step;
        auto next =
            settled ? std::nullopt : walked(*here, step, std::min(1.0, longest_step / largest), ends, side);
        if (!next) break;
        here = std::move(*next);
    }
    auto last = stands_on_stop(here->terms) && side != AtStop::held ? found_at(here->at) : here;
    if (nearest && (!last || nearer(nearest->terms, last->terms, no_nearer))) return std::move(*nearest);
    return last;
}

// Accepts only steps that come nearer, and takes the shortest ones. A step across a kink that brings no gain
// shows the slopes on the other side; the next step goes to where the two pieces meet.
auto WholeSearch::closed_in(Found here, const Ends& ends) const -> Found {
    std::optional<Found> across;
    for (int round = 0, failed = 0; round < 40 && failed < 3; ++round) {
        const Unknowns step = change(here, ends, Seek::nearest, across ? &*across : nullptr);
        const double largest = largest_of(step, n_);
        if (largest < 1e-11) {
            if (!across) break;
            across.reset();
            ++failed;
            continue;
        }
        double share = std::min(1.0, longest_step / largest);
        std::optional<Found> beyond;
        bool gained = false;
        for (int halving = 0; halving < 24 && !gained; ++halving, share *= 0.5) {
            auto there = found_at(stepped(here.at, step, share, ends));
            if (!there) continue;
            gained = nearer(there->terms, here.terms, gain);
            if (gained)
                // If the step crossed the kink, the old point is now on the other side.
                across = kink_between(*there, here) && across ? std::optional(std::move(here)) : across,
                here = std::move(*there);
            else if (!beyond || kink_between(here, *there))
                beyond = std::move(*there);
        }
        failed = gained ? 0 : failed + 1;
        if (!gained) across = beyond && kink_between(here, *beyond) ? std::move(beyond) : std::nullopt;
        if (reached(here.terms)) break;
    }
    return here;
}

// Searches with every treatment of the stops if an end stood on one; then refines with closed_in() if the
// targets are not reached.
auto WholeSearch::best(const Values& x, const Ends& ends) const -> Result<Found> {
    bool stopped = false, settled = false;
    auto best_one = searched(x, ends, AtStop::further, stopped, settled);
    if (!best_one || (settled && !stopped) || reached(best_one->terms)) return best_one;
    for (const AtStop side :
         {AtStop::held, AtStop::both_on_spring, AtStop::rear_on_spring, AtStop::fork_on_spring}) {
        if (!stopped || reached(best_one->terms)) break;
        const auto other = searched(x, ends, side, stopped, settled);
        if (other && nearer(other->terms, best_one->terms, no_nearer)) best_one = other;
    }
    if (reached(best_one->terms)) return best_one;
    return closed_in(std::move(*best_one), ends);
}

// Starts that no slope leads to from `from`: with one or both springs preloaded until the end tops out; and,
// with few adjusters, a kink or an end on a stop, points spread over the whole ranges.
auto WholeSearch::other_starts(const Found& from, const Ends& ends) const -> std::vector<Values> {
    std::vector<Values> starts;
    std::vector<std::size_t> collars;
    for (std::size_t i = 0; i < n_; ++i) {
        const Adjustable what = c_.adjusters[i].what;
        if (what == Adjustable::shock_installed || what == Adjustable::fork_installed) collars.push_back(i);
    }
    const auto stops_at = [&](const Values& x) {
        const auto there = found_at(x);
        return there && stands_on_stop(there->terms);
    };
    const std::size_t sets = std::size_t{1} << collars.size();
    for (std::size_t which = 1; which < 2 * sets; ++which) {
        if (which % sets == 0) continue;
        // The collar alone, or together with the length that compensates its lift: heights then stay and only
        // sag decreases.
        const auto wound = [&](double share) {
            Values x = from.at;
            for (std::size_t k = 0; k < collars.size(); ++k) {
                if (!(which >> k & 1)) continue;
                const std::size_t collar = collars[k];
                const double by = share * (ends[collar].low - x[collar]);
                x[collar] += by;
                if (which < sets) continue;
                const bool rear = c_.adjusters[collar].what == Adjustable::shock_installed;
                for (std::size_t i = 0; i < n_; ++i)
                    if (c_.adjusters[i].what == (rear ? Adjustable::shock_length : Adjustable::fork_position))
                        x[i] = std::clamp(x[i] + (rear ? by : -by), ends[i].low, ends[i].high);
            }
            return x;
        };
        if (!stops_at(wound(1.0))) continue;
        // At full preload the end is topped out in every state, and the collar has no effect. So start a
        // little beyond the preload at which an end first tops out.
        double off = 0.0, on = 1.0;
        for (int halving = 0; halving < 8; ++halving)
            (stops_at(wound(0.5 * (off + on))) ? on : off) = 0.5 * (off + on);
        for (const double share : {0.03, 0.3, 1.0}) starts.push_back(wound(on + share * (1.0 - on)));
    }
    // Slopes do not show where an end reaches its stop, so spread starts are also needed without a kink.
    if (n_ <= 4 || has_kinks(c_.bike) || stands_on_stop(from.terms))
        for (int k = 1; k <= spread_starts; ++k) {
            Values spread = from.at;
            for (std::size_t i = 0; i < n_; ++i)
                spread[i] = ends[i].low + (ends[i].high - ends[i].low) * share_of(k, i);
            starts.push_back(std::move(spread));
        }
    return starts;
}

auto WholeSearch::best_of_all(const Result<Found>& first, const Ends& ends) const -> Result<Found> {
    if (!first || reached(first->terms)) return first;
    Result<Found> best_one = first;
    for (const Values& start : other_starts(*first, ends)) {
        best_one = better(best_one, best(start, ends));
        if (reached(best_one->terms)) break;
    }
    return best_one;
}

auto WholeSearch::in_the_way(const Found& here, const Ends& ends) const
    -> std::vector<std::vector<std::size_t>> {
    const auto& [x, terms] = here;
    constexpr double at_end = 1e-6, inf = std::numeric_limits<double>::infinity();
    std::vector<std::vector<std::size_t>> all(terms.size());
    for (std::size_t i = 0; i < n_; ++i) {
        auto free = ends;
        if (x[i] >= ends[i].high - at_end) free[i].high = inf;
        if (x[i] <= ends[i].low + at_end) free[i].low = -inf;
        if (free[i].high == ends[i].high && free[i].low == ends[i].low) continue;
        const Unknowns step = change(here, free, Seek::least_change);
        for (std::size_t j = 0; j < terms.size(); ++j) {
            double miss = terms[j].miss;
            for (std::size_t k = 0; k < n_; ++k) miss += slope(terms[j], k) * step[k];
            if (std::fabs(miss) < std::fabs(terms[j].miss) - 1e-3 * tolerance_of(c_.targets[j]))
                all[j].push_back(i);
        }
    }
    return all;
}

}  // namespace restand
