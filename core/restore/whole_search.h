#pragma once
// Internal to the solver: searches the adjuster values, inside their ends, that meet the targets best.
//
//   one round     differentiate the bike where it stands; bounded_least_squares() gives the step
//   first         of all points that meet the targets equally well, seek the smallest change
//   at a stop     search on each side of the stop; compare by the bike as it stands
//   at a kink     if the rounds alternate across a kink, go to where its two pieces meet
//
// 1. A search returns the point nearest to the targets of all points it visited.
// 2. Only ratios of tolerances count: if all tolerances are ten times as wide, every step stays the same.

#include <span>

#include "core/restore/bounded_least_squares.h"
#include "core/restore/whole.h"
#include "core/restore/whole_model.h"

namespace restand {

// Order of importance. A chain that is too tight or jumps off is never acceptable, however the bike stands.
enum Level { chain_first, must_hold, weighted };
inline constexpr int level_count = 3;
// Slack comes first only if an adjuster moves the chain; the shock is not set for the chain's sake.
Level level_of(const WholeCase& whole, const Target& t);

// Weighted sums of squared misses, by level.
struct Merit {
    double at[level_count] = {};
    double all() const { return at[chain_first] + at[must_hold] + at[weighted]; }
};

class WholeSearch {
public:
    using Values = std::vector<double>;  // adjusters, as read on the bike
    using Terms = std::vector<TargetTerm>;
    using Ends = std::vector<AdjusterEnds>;
    // Adjuster values and the target terms there.
    struct Found {
        Values at;
        Terms terms;
    };

    explicit WholeSearch(const WholeCase& whole);

    Values now() const;
    WholeBike bike_at(const Values& x) const;
    // The map of such a bike's linkage: the one of the case, or, if an adjuster has changed the linkage, one
    // that is built into `own`.
    using OwnMap = std::optional<Result<LinkageMap>>;
    const Result<LinkageMap>& map_of(const WholeBike& bike, OwnMap& own) const;
    Result<Found> found_at(Values x, AtStop at_stop = AtStop::held) const;
    // Searches from `x`, inside the ends. Error: the bike finds no equilibrium at `x`.
    Result<Found> best(const Values& x, const Ends& ends) const;
    // `first` if it meets the targets; else the best of `first` and of searches from other starts.
    Result<Found> best_of_all(const Result<Found>& first, const Ends& ends) const;
    // The one nearer to the targets; which targets count as held is ignored.
    Result<Found> better(const Result<Found>& a, const Result<Found>& b) const;
    // For each target: every adjuster at an end that would bring the target nearer if only that end were
    // removed.
    std::vector<std::vector<std::size_t>> in_the_way(const Found& here, const Ends& ends) const;
    // Rounds teeth and links to neighbouring whole numbers and solves the other adjusters again for them.
    // `ends` then fixes these counts.
    Found with_whole_counts(const Found& here, Ends& ends) const;
    // The best of the settable steps around `here`. Error: the bike finds no equilibrium at any step tried.
    Result<Found> on_steps(const Found& here, const Ends& ends) const;

private:
    enum class Seek { least_change, nearest };

    double adjustable_at(const Values& x, std::size_t i) const;
    double slope(const TargetTerm& t, std::size_t adjuster) const;
    Merit merit(std::span<const double> misses, double unit) const;
    Merit merit(const Terms& terms) const;
    bool nearer(const Terms& is, const Terms& was, double by) const;
    Unknowns change(const Found& here, const Ends& ends, Seek seek, const Found* across = nullptr) const;
    std::optional<LeastRow> kink_between(const Found& here, const Found& across) const;
    Values stepped(const Values& x, const Unknowns& step, double share, const Ends& ends) const;
    std::optional<Found> walked(const Found& from, const Unknowns& step, double share, const Ends& ends,
                                AtStop side) const;
    Result<Found> searched(const Values& x, const Ends& ends, AtStop side, bool& stopped,
                           bool& settled) const;
    std::vector<Values> other_starts(const Found& from, const Ends& ends) const;
    Found closed_in(Found here, const Ends& ends) const;

    const WholeCase& c_;
    std::size_t n_;
    Adjustables<double> adjustables_;
    Result<LinkageMap> map_;  // of the case's linkage
    // The smallest tolerance of a target that counts and is not exact. Tolerances are scaled by it.
    double unit_ = 0.0;
};

}  // namespace restand
