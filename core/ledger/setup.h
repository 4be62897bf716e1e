#pragma once
// How a bike is set up at a moment, folded from entries: its newest baseline then, and what was changed
// since. And what a change does to how the bike stands.
//
// Rules
//   1  A moment is a clock; 'now' is the largest. What was superseded or retracted does not stand, at no
//      moment.
//   2  The newest standing baseline up to the moment is the ground; standing changes and ticks after it,
//      oldest first, lie over it. A record (older readings from a table) never counts.
//   3  A value keeps its provenance: who, when, from which entry.

#include <map>
#include <set>
#include <span>

#include "core/ledger/ledger.h"

namespace restand {

using Place = std::pair<End, Point>;

struct SetUp {
    Id bike;
    Id baseline;                       // the ground; nil: none yet
    Clock at;                          // of the newest entry in it
    std::map<Place, StoredReading> values;
    // How it was set when its ride heights were last read: settings and heights that belong together.
    // Changes since then are in `values` alone; heights in `values` that are older than they are stand in
    // `stale` too.
    std::map<Place, StoredReading> read_with;
    std::set<Place> stale;
    const StoredReading* stored(End end, Point point) const;
    std::optional<Length> length(End end, Point point) const;   // nullopt: not known or no length
};

inline constexpr Clock latest{INT64_MAX, UINT32_MAX};

// `facts`: entries of one bike in any order, at least its baselines, changes and ticks up to `until` and what
// supersedes them. A pure function of their set.
SetUp setup_at(const Id& bike, std::span<const Fact* const> facts, Clock until = latest);
SetUp setup_of(const Baseline& baseline);
// Another tyre among what is set: what one turn of the old one rolled goes with it.
void forget_what_rolled(SetUp& setup, std::span<const SetValue> set);

// The baseline a finished swap makes: its readings (what was set, what was checked), and what it did not touch carried
// over from how the bike now stands, changes since the last baseline and during the swap with it. Values keep their
// provenance; stale heights are left out.
BaselineBody baseline_of(const Swap& swap, const SetUp& stands, std::string reason);

// Two devices that kept a baseline on the same one: both stand, a person decides. Ids newest first; fewer
// than two: nothing to decide.
std::vector<const Baseline*> rivals_of(const Ledger& ledger, const Baseline& baseline);

// Whether something that carries this end was set to another value since its heights were read.
bool moved_since_read(const SetUp& setup, End end);

// A length as a reading of its own, exact: what was computed is no measurement.
StoredReading computed(Point point, Length value);

// What a change does to the stance of one end, by the bike's own map and springs: heights after minus before.
// nullopt where it cannot be said. Error missing (subject: point key) names what is not known.
struct StanceChange {
    End end;
    std::optional<Length> topped_out, static_, rider;
    std::optional<Length> preload;     // after − before
    std::optional<double> ratio;       // final drive, after / before; only where a sprocket changed
};
Result<StanceChange> stance_change(const BikeBody& bike, End end, const SetUp& before, const SetUp& after);

// Heights as the set-up must give them: read, or predicted from the last readings where settings were changed
// since. nullopt: never read. Error missing (subject: point key): the end cannot be computed.
struct Stance { std::optional<Length> topped_out, static_, rider; };
Result<Stance> stance_of(const BikeBody& bike, End end, const SetUp& setup);
// The restoring case from one set-up to the parts of another: heights of `then`, unit and settings of `now`.
Result<SwapCase> case_of(const BikeBody& bike, End end, const SetUp& then, const SetUp& now);

}  // namespace restand
