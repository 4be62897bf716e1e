#pragma once
// A swap: one part or several at once, in six steps, four of which take readings. Which are asked for at which step,
// and which are needed? One table for all parts (swap.cpp); a new reading is a line there.

#include <compare>
#include <map>
#include <vector>

#include "core/ledger/entry.h"
#include "core/measure/reading.h"
#include "core/measure/uncertainty.h"
#include "core/restore/restore.h"
#include "core/restore/verdict.h"

namespace restand {

// In the order of the work on the bench. A shock comes with its spring, a fork with its springs and its oil.
enum class SwapPart {
    shock, shock_spring, link_rod, rear_tyre, sprockets, chain,   // rear
    fork, fork_springs, fork_oil, front_tyre,
};
inline constexpr int swap_part_count = 10;
End end_of(SwapPart part);
std::string_view key(SwapPart part);
// In their order, each once, without those that come with another.
std::vector<SwapPart> tidy(std::vector<SwapPart> parts);

enum class Step6 { before, new_part, answer, set, check, keep };  // the six steps, in order
inline constexpr int step_count = 6;
enum class Phase { before, new_part, set, check };                // the steps that take readings
std::string_view key(Step6 step);
std::string_view key(Phase phase);

// Where a reading of a swap belongs.
struct ReadAt {
    Phase phase;
    End end;
    Point point;
    friend auto operator<=>(const ReadAt&, const ReadAt&) = default;
};

struct Asked {
    End end;
    Point point;
    bool required;      // the answer (or the verdict) cannot be had without it
};

// A reading with its provenance.
struct StoredReading {
    Reading reading;
    Id entry;                 // of the ledger
    Id by;
    Clock at;
    Id swap;                  // in which it was taken; nil for a quick entry
    bool confirmed = false;   // the app asked 'same mark, same state?' and got a yes
    friend bool operator==(const StoredReading&, const StoredReading&) = default;
};

struct Swap {
    Id id, bike;
    std::vector<SwapPart> parts;                             // tidy
    Step6 step = Step6::before;                              // where it was left
    Clock started;
    Id by;
    std::map<ReadAt, std::vector<StoredReading>> stored_readings;                 // more than one: two devices disagree
    struct Pick { Id entry, item; friend bool operator==(const Pick&, const Pick&) = default; };
    std::vector<Pick> picks;                                 // of the shelf, oldest first
    bool kept = false, abandoned = false;
    bool open() const { return !kept && !abandoned; }
    bool has(SwapPart part) const;
    // Newest by clock; nullptr when not read. Of the check only what no later setting moved.
    const StoredReading* stored(const ReadAt& spot) const;
    std::vector<Id> entries(const ReadAt& spot) const;         // all that stand there: what a new reading supersedes
};
// The ends it works on, rear first. The first is where its oldest readings were made that do not say their end.
std::vector<End> ends_of(const Swap& swap);
// Whole units and what changes how an end stands: these ends get settings for an answer.
bool sets(const Swap& swap, End end);
bool refits_chain(const Swap& swap);     // sprockets, chain: the axle goes where they want it
// Does a new part bring its own value of this point? Then the old part's says nothing of the bike after the swap.
// Of the two sprockets only one that was read.
bool replaces(const Swap& swap, End end, Point point);
bool brings(SwapPart part, Point point);   // a part of this kind has its own value of the point

// In the order a person walks: rear then front; heights, chain, then the parts on the bench.
std::vector<Asked> asked(const Swap& swap, Phase phase);
std::vector<ReadAt> missing(const Swap& swap, Phase phase);    // required and not read

}  // namespace restand
