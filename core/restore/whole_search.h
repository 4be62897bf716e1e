#pragma once
// Inside the solver: a search over the adjusters for the place where the targets are met best, inside their ends.
//
//   one round     the bike is differentiated where it stands, the step is asked of bounded_least_squares()
//   first         to the smallest change of all places that meet the targets alike
//   at a stop     each side of it is searched, and the bike as it stands decides
//   at a kink     where the two pieces meet, when the rounds go to and fro across it
//
// 1. A search gives back the nearest place it met.
// 2. Only ratios of tolerances count: all of them ten times as wide change no step.

#include <span>

#include "core/restore/bounded_least_squares.h"
#include "core/restore/whole.h"
#include "core/restore/whole_model.h"

namespace restand {

// What matters first. A chain that is too tight or jumps off is no answer, whatever the bike stands like.
enum Level { chain_first, must_hold, weighted };
inline constexpr int level_count = 3;
// Without an adjuster of its own the chain is only watched: no shock is set for its sake.
Level level_of(const WholeCase& whole, const Target& t);

// Weighted squares of misses, by level.
struct Merit {
    double at[level_count] = {};
    double all() const { return at[chain_first] + at[must_hold] + at[weighted]; }
};

class WholeSearch {
public:
    using Values = std::vector<double>;  // adjusters, as they are read
    using Terms = std::vector<TargetTerm>;
    using Ends = std::vector<AdjusterEnds>;
    // Adjusters, and what the targets say there.
    struct Found {
        Values at;
        Terms terms;
    };

    explicit WholeSearch(const WholeCase& whole);

    Values now() const;
    WholeBike bike_at(const Values& x) const;
    Result<Found> found_at(Values x, AtStop at_stop = AtStop::held) const;
    // From `x`, inside the ends. Error: the bike cannot stand anywhere near.
    Result<Found> best(const Values& x, const Ends& ends) const;
    // Where `first` does not meet the targets: the best from other starts too.
    Result<Found> best_of_all(const Result<Found>& first, const Ends& ends) const;
    // The nearer one to the targets; never by what counts as held.
    Result<Found> better(const Result<Found>& a, const Result<Found>& b) const;
    // For each target the adjusters at an end without which it would come nearer, the others keeping theirs.
    std::vector<std::vector<std::size_t>> in_the_way(const Found& here, const Ends& ends) const;
    // Teeth and links as whole numbers next to these, everything else solved anew for them; `ends` then holds them there.
    Found with_whole_counts(const Found& here, Ends& ends) const;
    // The best of the settable steps around these. Error as best().
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
    Result<Found> searched(const Values& x, const Ends& ends, AtStop side, bool& stopped, bool& settled) const;
    std::vector<Values> other_starts(const Found& from, const Ends& ends) const;
    Found closed_in(Found here, const Ends& ends) const;

    const WholeCase& c_;
    std::size_t n_;
    Adjustables<double> adjustables_;
    // The least tolerance of what is not exact: misses are measured in tolerances, and those in this one.
    double unit_ = 0.0;
};

}  // namespace restand
