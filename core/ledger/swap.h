#pragma once
// A swap replaces one or several parts in six steps; four of them take readings. One table (swap_table.cpp)
// says for all parts which readings each step asks for. Few are required: what is not read is carried or
// assumed (swap_inputs.h). What a step asks for is one line there.

#include <array>
#include <compare>
#include <map>
#include <vector>

#include "core/ledger/entry.h"
#include "core/measure/reading.h"
#include "core/measure/uncertainty.h"
#include "core/restore/restore.h"
#include "core/restore/verdict.h"

namespace restand {

// In the order of the work on the bench. A shock includes its spring, a fork its springs and its oil.
enum class SwapPart {
    shock, shock_spring, link_rod, rear_tyre, sprockets, chain,   // rear
    fork, fork_springs, fork_oil, front_tyre,
    load,                                                         // tank, bodywork, ballast: both ends
};
inline constexpr int swap_part_count = 11;
End end_of(SwapPart part);            // of a load: rear
std::string_view key(SwapPart part);
// Sorted, each part once, without parts that another one includes.
std::vector<SwapPart> tidy(std::vector<SwapPart> parts);

enum class Step6 { before, new_part, answer, set, check, keep };  // the six steps, in order
inline constexpr int step_count = 6;
enum class Phase { before, new_part, set, check };                // the steps that take readings
inline constexpr std::array all_phases = {Phase::before, Phase::new_part, Phase::set, Phase::check};
std::string_view key(Step6 step);
std::string_view key(Phase phase);

// The place of a reading in a swap.
struct ReadAt {
    Phase phase;
    End end;
    Point point;
    friend auto operator<=>(const ReadAt&, const ReadAt&) = default;
};

struct Asked {
    End end;
    Point point;
    bool wanted;        // it narrows the answer or the verdict; else it is for later work
    bool inside;        // of the unit's insides: asked for on request
};

// A reading with its provenance.
struct StoredReading {
    Reading reading;
    Id entry;                 // of the ledger
    Id by;
    Clock at;
    Id swap;                  // in which it was read; nil: a quick entry
    bool confirmed = false;   // the app asked 'same mark, same state?' and got a yes
    std::optional<Clock> original{};   // of a copy that an Undo made: when the original was said
    // When it was set: an Undo that brings a setting back does not make it anew.
    Clock set_at() const { return original.value_or(at); }
    friend bool operator==(const StoredReading&, const StoredReading&) = default;
};

struct Swap {
    Id id, bike;
    std::vector<SwapPart> parts;                             // tidy
    Step6 step = Step6::before;                              // the newest one entered
    Clock started;
    Id by;
    // More than one: two devices disagree
    std::map<ReadAt, std::vector<StoredReading>> stored_readings;
    struct Pick { Id entry, item; friend bool operator==(const Pick&, const Pick&) = default; };
    std::vector<Pick> picks;                                 // from the shelf, oldest first
    bool kept = false, abandoned = false;
    bool open() const { return !kept && !abandoned; }
    bool has(SwapPart part) const;
    // The newest by clock; nullptr: not read. A check reading counts only if no later setting moved it.
    const StoredReading* stored(const ReadAt& spot) const;
    std::vector<Id> entries(const ReadAt& spot) const;         // standing ones; a new reading supersedes them
};
// The ends it works on, rear first. A reading that does not say its end belongs to the first.
std::vector<End> ends_of(const Swap& swap);
// True if the swap changes how this end stands, so that the answer contains settings for it.
bool sets(const Swap& swap, End end);
bool swaps_load(const Swap& swap);
bool refits_chain(const Swap& swap);     // true for sprockets or chain: they determine the axle position
// True if a new part has its own value of this point. The old part's value then does not hold after the swap.
// For a sprocket, and for where a tank sits: only if the new one was read.
bool replaces(const Swap& swap, End end, Point point);
// A point of the old spring that the new unit takes over (spring_moved): its rate and free length, not how it
// is set. What was read of a new spring then does not count.
bool stays(const Swap& swap, End end, Point point);
bool brings(SwapPart part, Point point);   // a part of this kind has its own value of the point

// In working order: rear, then front; heights, chain, then the parts on the bench.
std::vector<Asked> asked(const Swap& swap, Phase phase);
// Not read, and without it nothing can be said or judged.
std::vector<ReadAt> missing(const Swap& swap, Phase phase);
// Wanted and not read in this swap; contains what is missing.
std::vector<ReadAt> unread(const Swap& swap, Phase phase);

}  // namespace restand
