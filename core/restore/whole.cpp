// Gauss–Newton over the adjusters: each round the bike is differentiated where it stands and the small change is
// asked of bounded_least_squares(). Twice: without any end, to say what would be wanted, then inside the ranges.
// After that teeth and links are made whole, the rest solved anew around each choice, and at last the settable steps on
// either side of the answer are tried by its slopes, the best few on the bike.

#include "core/restore/whole.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/machine/travel_table.h"
#include "core/restore/bounded_least_squares.h"
#include "core/restore/whole_model.h"
#include "core/restore/whole_ranges.h"

namespace restand {
namespace {

using Terms = std::vector<TargetTerm>;
using Values = std::vector<double>;
// Adjusters as they are read, and what the targets say there.
struct Found {
    Values at;
    Terms terms;
};

constexpr double settled = 1e-9;       // mm; a smaller change is none
constexpr double longest_step = 40.0;  // mm in one round: slopes are trusted no further
constexpr double edge = 1e-9;

// What matters first. A chain that is too tight or jumps off is no answer, whatever the bike stands like.
enum Level { chain_first, must_hold, weighted };
constexpr int level_count = 3;
// Without an adjuster of its own the chain is only watched: no shock is set for its sake.
Level level_of(const WholeCase& whole, const Target& t) {
    const auto own = [](const WholeAdjuster& a) { return moves_chain(a.what); };
    if (is_slack(t.what) && t.weight > 0.0 && std::any_of(whole.adjusters.begin(), whole.adjusters.end(), own))
        return chain_first;
    return t.must_hold ? must_hold : weighted;
}

// Misses in units of their tolerances, by level.
struct Merit {
    double at[level_count] = {};
    // Within their tolerances the first levels give the later ones room.
    double graded(int level) const { return level == weighted ? at[level] : std::max(1.0, at[level]); }
    bool better_than(const Merit& other) const {
        for (int level = 0; level < level_count; ++level)
            if (std::fabs(graded(level) - other.graded(level)) > 1e-9)
                return graded(level) < other.graded(level);
        return all() < other.all() - 1e-9;
    }
    double all() const { return at[chain_first] + at[must_hold] + at[weighted]; }
};

class Solver {
public:
    explicit Solver(const WholeCase& whole)
        : c_(whole), n_(whole.adjusters.size()), knobs_(knobs_of(whole.bike)) {
        // 3e-7 of a target's unit, whatever its tolerance.
        double widest = 0.0;
        for (const Target& t : whole.targets) widest = std::max(widest, tolerance_of(t));
        no_nearer_ = 1e-13 / (widest * widest);
    }

    Values now() const {
        Values x;
        for (const WholeAdjuster& a : c_.adjusters) x.push_back(a.now);
        return x;
    }
    WholeBike bike_at(const Values& x) const {
        WholeBike bike = c_.bike;
        for (std::size_t i = 0; i < n_; ++i) put(bike, c_.adjusters[i].what, knob_at(x, i));
        return bike;
    }
    Result<Found> found_at(Values x, AtStop at_stop = AtStop::held) const {
        Knobs<double> k = knobs_;
        for (std::size_t i = 0; i < n_; ++i) k[c_.adjusters[i].what] = knob_at(x, i);
        auto terms = target_terms(bike_at(x), c_.targets, k, at_stop);
        if (!terms) return terms.error();
        return Found{std::move(x), std::move(*terms)};
    }
    double slope(const TargetTerm& t, std::size_t adjuster) const {
        return t.slope[static_cast<int>(c_.adjusters[adjuster].what)];
    }

    Merit merit(const std::vector<double>& misses) const {
        Merit m;
        for (std::size_t j = 0; j < misses.size(); ++j) {
            const Target& t = c_.targets[j];
            const Level level = level_of(c_, t);
            const double share = misses[j] / tolerance_of(t);
            m.at[level] += (level == weighted ? t.weight : 1.0) * share * share;
        }
        return m;
    }
    static std::vector<double> misses_of(const Terms& terms) {
        std::vector<double> all;
        for (const TargetTerm& t : terms) all.push_back(t.miss);
        return all;
    }

    Merit merit(const Terms& terms) const { return merit(misses_of(terms)); }

    // From `x`, inside the ends. Error: the bike cannot stand anywhere near.
    // Where an end comes to a stop, each side of the stop is searched, and the bike as it stands decides.
    Result<Found> best(const Values& x, const std::vector<AdjusterEnds>& ends) const {
        bool stopped = false;
        auto best_one = searched(x, ends, AtStop::further, stopped);
        if (!best_one || !stopped) return best_one;
        for (const AtStop side :
             {AtStop::held, AtStop::both_on_spring, AtStop::rear_on_spring, AtStop::fork_on_spring}) {
            if (reached(*best_one)) break;
            const auto other = searched(x, ends, side, stopped);
            if (other && nearer(other->terms, best_one->terms)) best_one = other;
        }
        return best_one;
    }

    Result<Found> better(const Result<Found>& a, const Result<Found>& b) const {
        if (!a || !b) return a ? a : b;
        return nearer(b->terms, a->terms) ? b : a;
    }

    // For each target the adjusters at an end without which it would come nearer, the others keeping theirs.
    std::vector<std::vector<std::size_t>> in_the_way(const Found& here, const std::vector<AdjusterEnds>& ends) const;
    // Teeth and links as whole numbers next to these, everything else solved anew for them; `ends` then holds them there.
    Found with_whole_counts(const Found& here, std::vector<AdjusterEnds>& ends) const;
    // The best of the settable steps around these. Error as best().
    Result<Found> on_steps(const Found& here, const std::vector<AdjusterEnds>& ends) const;

private:
    static bool reached(const Found& found) {
        return std::all_of(found.terms.begin(), found.terms.end(),
                           [](const TargetTerm& t) { return std::fabs(t.miss) < 1e-8; });
    }

    // Level by level, and never by what counts as held: between two answers both held the nearer one is right.
    bool nearer(const Terms& is, const Terms& was) const {
        const Merit a = merit(is), b = merit(was);
        for (int level = 0; level < level_count; ++level)
            if (std::fabs(a.at[level] - b.at[level]) > no_nearer_) return a.at[level] < b.at[level];
        return false;
    }

    // One search by one way of leaving a stop; gives back the nearest place it met, as the bike stands there.
    Result<Found> searched(const Values& x, const std::vector<AdjusterEnds>& ends, AtStop side,
                           bool& stopped) const {
        const auto met = [&](const Found& f) {
            return std::any_of(f.terms.begin(), f.terms.end(), [](const TargetTerm& t) { return t.stopped; });
        };
        const auto as_it_stands = [&](const Found& f) { return met(f) ? found_at(f.at) : Result<Found>(f); };
        auto here = found_at(x, side);
        if (!here) return here.error();
        std::optional<Found> nearest;
        int no_nearer = 0;  // rounds at a stop: there a search that goes to and fro comes to nothing
        for (int round = 0; round < 40 && no_nearer < 6; ++round) {
            if (met(*here)) {
                stopped = true;
                const auto stands = side == AtStop::held ? here : as_it_stands(*here);
                const bool gained = stands && (!nearest || nearer(stands->terms, nearest->terms));
                if (gained) nearest = *stands;
                no_nearer = gained ? 0 : no_nearer + 1;
            }
            const Unknowns step = change(*here, ends);
            double largest = 0.0;
            for (std::size_t i = 0; i < n_; ++i) largest = std::max(largest, std::fabs(step[i]));
            if (largest < settled) break;
            auto next = walked(*here, step, std::min(1.0, longest_step / largest), ends, side);
            if (!next) break;
            here = std::move(*next);
        }
        auto last = as_it_stands(*here);
        if (nearest && (!last || nearer(nearest->terms, last->terms))) return std::move(*nearest);
        return last;
    }

    // An adjuster is read in its own way; what it changes is the same millimetre.
    double knob_at(const Values& x, std::size_t i) const {
        const WholeAdjuster& a = c_.adjusters[i];
        return knobs_[a.what] + (x[i] - a.now);
    }

    Unknowns change(const Found& here, const std::vector<AdjusterEnds>& ends) const {
        const auto& [x, terms] = here;
        std::vector<LeastRow> rows;
        for (std::size_t j = 0; j < terms.size(); ++j) {
            const Target& t = c_.targets[j];
            LeastRow row;
            for (std::size_t i = 0; i < n_; ++i) row.a[i] = slope(terms[j], i);
            row.b = -terms[j].miss;
            row.level = level_of(c_, t);
            row.weight = (row.level == weighted ? t.weight : 1.0) / (tolerance_of(t) * tolerance_of(t));
            if (row.weight > 0.0) rows.push_back(row);
        }
        LeastProblem problem{static_cast<int>(n_), rows, {}, {}, {}};
        for (std::size_t i = 0; i < n_; ++i) {
            problem.low[i] = std::min(0.0, ends[i].low - x[i]);
            problem.high[i] = std::max(0.0, ends[i].high - x[i]);
            problem.prefer[i] = c_.adjusters[i].now - x[i];
        }
        return bounded_least_squares(problem);
    }

    // As much of the step as the bike can stand with and that does not make it much worse.
    std::optional<Found> walked(const Found& from, const Unknowns& step, double share,
                                const std::vector<AdjusterEnds>& ends, AtStop side) const {
        const Merit was = merit(from.terms);
        const Values& x = from.at;
        for (int halving = 0; halving < 12; ++halving, share *= 0.5) {
            Values next = x;
            for (std::size_t i = 0; i < n_; ++i)
                next[i] = std::clamp(x[i] + share * step[i], std::min(x[i], ends[i].low),
                                     std::max(x[i], ends[i].high));
            auto there = found_at(std::move(next), side);
            // A little worse is allowed: the smallest change is sought along what holds, to first order.
            if (there && allowed(was, merit(there->terms))) return std::move(*there);
        }
        return std::nullopt;
    }

    static bool allowed(const Merit& was, const Merit& is) {
        const auto much_worse = [&](int level) { return is.at[level] > 2.0 * was.at[level] + 1e-2; };
        const auto better = [&](int level) { return is.at[level] < 0.9 * was.at[level] - 1e-9; };
        if (much_worse(chain_first) || (much_worse(must_hold) && !better(chain_first))) return false;
        if (better(chain_first) || better(must_hold)) return true;
        return is.all() <= was.all() + 1e-2;
    }

    const WholeCase& c_;
    std::size_t n_;
    Knobs<double> knobs_;
    double no_nearer_;
};

std::vector<std::vector<std::size_t>> Solver::in_the_way(const Found& here,
                                                         const std::vector<AdjusterEnds>& ends) const {
    const auto& [x, terms] = here;
    constexpr double at_end = 1e-6, inf = std::numeric_limits<double>::infinity();
    std::vector<std::vector<std::size_t>> all(terms.size());
    for (std::size_t i = 0; i < n_; ++i) {
        auto free = ends;
        if (x[i] >= ends[i].high - at_end) free[i].high = inf;
        if (x[i] <= ends[i].low + at_end) free[i].low = -inf;
        if (free[i].high == ends[i].high && free[i].low == ends[i].low) continue;
        const Unknowns step = change(here, free);
        for (std::size_t j = 0; j < terms.size(); ++j) {
            double miss = terms[j].miss;
            for (std::size_t k = 0; k < n_; ++k) miss += slope(terms[j], k) * step[k];
            if (std::fabs(miss) < std::fabs(terms[j].miss) - 1e-3 * tolerance_of(c_.targets[j]))
                all[j].push_back(i);
        }
    }
    return all;
}

// Places an adjuster can be set at next to a value: one below and one above, or itself where it has no steps.
std::vector<double> places(const WholeAdjuster& a, const AdjusterEnds& ends, double x) {
    if (a.detent <= 0.0) return {x};
    std::vector<double> out;
    const double below = std::floor((x - a.now) / a.detent + edge);
    for (const double count : {below, below + 1.0}) {
        const double place = a.now + count * a.detent;
        if (place >= ends.low - edge && place <= ends.high + edge) out.push_back(place);
    }
    // No step between the ends: at an end it can be set all the same.
    if (out.empty()) out.push_back(std::clamp(a.now, ends.low, ends.high));
    return out;
}

Found Solver::with_whole_counts(const Found& here, std::vector<AdjusterEnds>& ends) const {
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
    const auto hold_counts = [&](std::vector<AdjusterEnds>& of, const Values& at) {
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

Result<Found> Solver::on_steps(const Found& here, const std::vector<AdjusterEnds>& ends) const {
    const auto& [x, terms] = here;
    struct Tried {
        Values at;
        Merit merit;
        double moved;
        bool better_than(const Tried& other) const {
            if (merit.better_than(other.merit)) return true;
            return !other.merit.better_than(merit) && moved < other.moved;
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
        t.merit = merit(misses);
    }
    const auto better = [](const Tried& a, const Tried& b) { return a.better_than(b); };
    const std::size_t few = std::min<std::size_t>(4, tried.size());
    std::partial_sort(tried.begin(), tried.begin() + static_cast<std::ptrdiff_t>(few), tried.end(), better);
    tried.resize(few);
    const Merit nowhere{{std::numeric_limits<double>::infinity(), 0.0, 0.0}};
    std::vector<Result<Found>> exact;
    for (Tried& t : tried) {
        exact.push_back(found_at(t.at));
        t.merit = exact.back() ? merit(exact.back()->terms) : nowhere;
    }
    return exact[static_cast<std::size_t>(std::min_element(tried.begin(), tried.end(), better) - tried.begin())];
}

}  // namespace

Result<WholeAnswer> restore(const WholeCase& whole) {
    if (const auto good = validate(whole); !good) return good.error();
    const Solver solver(whole);
    WholeAnswer out;
    for (const WholeAdjuster& a : whole.adjusters) out.ends.push_back(ends_of(whole.bike, a));
    Values start = solver.now();
    const auto found = solver.found_at(start);
    if (!found) return found.error();

    const auto wanted = solver.best(start, endless(whole.adjusters.size()));
    for (std::size_t i = 0; i < start.size(); ++i)
        start[i] = std::clamp(wanted ? wanted->at[i] : start[i], out.ends[i].low, out.ends[i].high);
    // What is wanted may lie where the bike cannot stand, or behind a hill; from where it stands now it can be walked.
    const auto setting = solver.better(solver.best(start, out.ends), solver.best(solver.now(), out.ends));
    if (!setting) return setting.error();
    out.setting = setting->at;
    out.wanted = wanted ? wanted->at : setting->at;
    auto held = out.ends;
    const Found counts = solver.with_whole_counts(*setting, held);
    const auto settable = solver.on_steps(counts, held);
    if (!settable) return settable.error();
    out.detent = settable->at;
    out.bike = solver.bike_at(out.detent);

    auto in_the_way = solver.in_the_way(*setting, out.ends);
    out.held = true;
    for (std::size_t j = 0; j < whole.targets.size(); ++j) {
        const Target& t = whole.targets[j];
        TargetAnswer a{found->terms[j].value, setting->terms[j].value, settable->terms[j].value, false, {}};
        a.held = std::fabs(a.detent - t.value) <= tolerance_of(t);
        a.in_the_way = std::move(in_the_way[j]);
        out.held = out.held && (a.held || level_of(whole, t) == weighted);
        out.targets.push_back(std::move(a));
        std::vector<double> row;
        for (const WholeAdjuster& adjuster : whole.adjusters)
            row.push_back(setting->terms[j].value_slope[static_cast<int>(adjuster.what)]);
        out.sensitivity.push_back(std::move(row));
    }
    if (out.bike.chain) {
        const auto tight = tight_spot(out.bike);
        if (tight && tight->excess.value < 0.0) out.chain_short = -tight->excess;
        out.held = out.held && !out.chain_short;
    }
    out.shock_margin = block_margin(out.bike.shock);
    out.fork_margin = block_margin(out.bike.fork);
    for (const auto& margin : {out.shock_margin, out.fork_margin})
        out.held = out.held && !(margin && margin->value < -1e-9);
    for (const SuspensionUnit* unit : {&out.bike.shock, &out.bike.fork})
        out.held = out.held && least_preload(*unit).value >= -1e-9;
    if (out.bike.masses) {
        if (const auto alone = standing(out.bike, Rider::off)) out.alone = *alone;
        if (const auto with_rider = standing(out.bike, Rider::on)) out.with_rider = *with_rider;
    }
    return out;
}

}  // namespace restand
