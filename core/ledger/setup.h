#pragma once
// The set-up of a bike at a moment, folded from entries: the newest baseline at that moment and the changes
// since. Also: how a change affects the bike's ride heights.
//
// Rules
//   1  A moment is a clock; 'now' is the largest clock. A superseded or retracted entry counts at no moment,
//      not even an earlier one.
//   2  The fold starts from the newest standing baseline up to the moment. Standing changes and plan steps
//      after it are applied oldest first. A record (older readings from a table) never counts.
//   3  A value keeps its provenance: who, when, from which entry.

#include <map>
#include <memory>
#include <set>
#include <span>

#include "core/ledger/ledger.h"

namespace restand {

using Place = std::pair<End, Point>;

struct SetUp {
    Id bike;
    Id baseline;                       // the one it starts from; nil: none yet
    Clock at;                          // of the newest entry in it
    std::map<Place, StoredReading> values;
    // The set-up when its ride heights were last read: settings and heights that belong together. Later
    // changes are in `values` only. `stale` names the heights in `values` that are older than such a change.
    std::map<Place, StoredReading> read_with;
    std::set<Place> stale;
    // The set-up when the chain's slack was last read; null: nothing was changed since.
    std::shared_ptr<const SetUp> at_slack{};
    void before_change();              // to be called before a value is changed: keeps `at_slack`
    const StoredReading* stored(End end, Point point) const;
    std::optional<Length> length(End end, Point point) const;   // nullopt: not known, or not a length
    std::optional<double> number(End end, Point point) const;   // canonical; nullopt: not known, or a text
};

inline constexpr Clock latest{INT64_MAX, UINT32_MAX};

// `facts`: entries of one bike in any order; at least its baselines, changes and plan steps up to `until` and
// the entries that supersede them. A pure function of the set of facts.
SetUp setup_at(const Id& bike, std::span<const Fact* const> facts, Clock until = latest);
// The set-up as the bike stands now: setup_at() of the present, and what its open swap did. An open swap
// counts from its first setting or check: then the new part is in. The heights of an end that it sets are
// stale until they are checked; `read_with` keeps them with the old part.
SetUp setup_now(const Ledger& ledger, const Id& bike);
SetUp setup_of(const Baseline& baseline);
// True if nothing was changed or read since the baseline was kept.
bool is_as_kept(const SetUp& now, const Baseline& baseline);
// Gap between the coils at full travel; below 0 they touch before it. nullopt: block length or travel is not
// known.
std::optional<Length> coils_apart(const SetUp& setup, End end);
// If `set` contains another tyre, removes the rolling circumference of the old one.
void forget_what_rolled(SetUp& setup, std::span<const SetValue> set);

// The baseline that a finished swap makes: its readings (settings and checks), and the values that it did not
// touch. These are carried over from `stands`, the current set-up with the changes since the last baseline
// and during the swap. Values keep their provenance; stale heights are left out.
BaselineBody baseline_of(const Swap& swap, const SetUp& stands, std::string reason);
// The baseline of a bike as it stands, without a swap: every value of its set-up but the stale heights.
BaselineBody baseline_of(const SetUp& stands, std::string reason);

// The baselines based on the same one as `baseline`. Two devices may each keep one: both stand and a person
// decides. Newest first; fewer than two: nothing to decide.
std::vector<const Baseline*> rivals_of(const Ledger& ledger, const Baseline& baseline);

// True if a setting that affects the heights of this end was changed since they were read.
bool moved_since_read(const SetUp& setup, End end);

// A computed length as a reading; its `where` says so. It is exact, because it is not a measurement.
StoredReading computed(Point point, Length value);
bool is_computed(const Reading& reading);

// The effect of a change on the ride heights of one end, by the bike's own height map and springs: after
// minus before. nullopt: not known. Error missing (subject: point key) names the missing value.
struct StanceChange {
    End end;
    std::optional<Length> topped_out, static_, rider;
    std::optional<Length> preload;     // after − before
    std::optional<double> ratio;       // final drive, after / before; only where a sprocket changed
};
Result<StanceChange> stance_change(const BikeBody& bike, End end, const SetUp& before, const SetUp& after);

// The ride heights of a set-up: as read, or predicted from the last readings if settings changed since.
// nullopt: never read. Error missing (subject: point key): the end cannot be computed.
struct Stance { std::optional<Length> topped_out, static_, rider; };
Result<Stance> stance_of(const BikeBody& bike, End end, const SetUp& setup);
// The case that restores one set-up with the parts of another: heights of `then`, unit and settings of `now`.
Result<SwapCase> case_of(const BikeBody& bike, End end, const SetUp& then, const SetUp& now);

}  // namespace restand
