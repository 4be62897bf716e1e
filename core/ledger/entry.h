#pragma once
// The only record type of the append-only ledger. No entry is edited. A correction or an undo is a new entry
// that supersedes others; a merge is the union of two sets of entries.
//
// Invariants
//   1  An entry never changes; its hash covers every field but itself (codec/canonical.h).
//   2  `number` counts 1, 2, 3 … within one device incarnation and `previous` is the hash of that device's
//   last entry.
//   3  An entry stands if no other entry supersedes it. If two stand for one thing, a person decides.
//   4  The clock orders what is shown. It never decides what is kept.
//   5  Unknown kinds and keys are kept word for word and passed on.

#include <array>
#include <compare>
#include <cstdint>
#include <string>
#include <vector>

#include "core/quantity/result.h"

namespace restand {

struct Id {                                   // UUIDv7, RFC 9562
    std::array<std::uint8_t, 16> bytes{};
    friend auto operator<=>(const Id&, const Id&) = default;
    bool nil() const { return *this == Id{}; }
};
std::string to_text(const Id& id);            // 8-4-4-4-12 lower-case hex
Result<Id> id_from_text(std::string_view text);
using Hash = std::array<std::uint8_t, 32>;    // SHA-256

struct Clock {                                // hybrid logical clock, Kulkarni et al. 2014
    std::int64_t ms = 0;                      // Unix time, UTC, by the writer's wall clock
    std::uint32_t counter = 0;                // upper 16 bits: epoch; lower 16 bits: count in one millisecond
    constexpr std::uint32_t epoch() const { return counter >> 16; }
    // By epoch, then time, then counter. Entries written after a clock was found to run ahead have a later
    // epoch.
    friend constexpr std::strong_ordering operator<=>(const Clock& a, const Clock& b) {
        if (const auto by_epoch = a.counter >> 16 <=> b.counter >> 16; by_epoch != 0) return by_epoch;
        if (const auto by_time = a.ms <=> b.ms; by_time != 0) return by_time;
        return a.counter <=> b.counter;
    }
    friend bool operator==(const Clock&, const Clock&) = default;
};
inline constexpr std::int64_t far_ahead_ms = 24ll * 3600 * 1000;   // a clock further ahead than this is wrong
inline constexpr std::uint32_t last_epoch = 0xfffe;                // a clock with a greater epoch is forged
inline constexpr std::int64_t last_day_ms = 253'402'300'799'999;   // the end of the year 9999
// True if a device can have written this clock.
constexpr bool possible(const Clock& c) { return c.epoch() <= last_epoch && c.ms <= last_day_ms; }
// The next clock of a device; always later than `last`. `wall_ms`: the device's wall clock. `last`: the
// greatest clock it has seen, its own or another device's. If `last` is at most 24 h ahead of the wall clock,
// the result continues from `last`. If `last` is further ahead, the next epoch begins at `wall_ms`. The last
// epoch has no next one: there the result continues from `last` in any case.
Clock tick(Clock last, std::int64_t wall_ms);

struct Entry {
    Id id;
    std::uint64_t device = 0;                 // incarnation: new at install and at every restore
    std::uint64_t number = 0;
    Clock clock;
    Hash previous{};                          // all zero for a device's first
    std::string kind;                         // "reading"; see body.h
    Id bike;                                  // nil: it concerns no bike
    Id about;                                 // what it belongs to, e.g. the swap of a reading; nil: nothing
    Id by;                                    // person; nil: nobody has given a name yet
    std::vector<Id> supersedes;
    std::string body;                         // JSON object, unit-suffixed keys
    Hash hash{};
    friend bool operator==(const Entry&, const Entry&) = default;
};

// The order of entries wherever they have one: by clock, then by id.
bool earlier(const Entry& a, const Entry& b);

// An entry to be written. The store adds id, device, number, clock, previous and hash.
struct NewEntry {
    std::string kind;
    Id bike, about, by;
    std::vector<Id> supersedes;
    std::string body;
    friend bool operator==(const NewEntry&, const NewEntry&) = default;
};

// An entry that could not be written to the workshop's disk. `at_ms`: when it should have been written (0:
// not known).
struct RejectedEntry {
    NewEntry entry;
    std::int64_t at_ms = 0;
    friend bool operator==(const RejectedEntry&, const RejectedEntry&) = default;
};

}  // namespace restand
