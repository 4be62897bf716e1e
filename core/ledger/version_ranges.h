#pragma once
// A short summary of the entries that a device holds, to send to another device; and what one lacks.
//
//   Per device incarnation: the running numbers held, as ranges; the count of entries; the XOR of their
//   hashes. Equal version ranges mean equal sets of entries. Equal numbers with another XOR: two different
//   entries have one number (a device continued from an old copy). Then all entries of that incarnation are
//   exchanged.
// Missing entries are never found by 'newer than the last seen', because numbers may have gaps.

#include <map>
#include <span>
#include <string>
#include <vector>

#include "core/ledger/entry.h"

namespace restand {

struct NumberRange {
    std::uint64_t first = 1, last = 0;      // inclusive
    friend bool operator==(const NumberRange&, const NumberRange&) = default;
};
struct VersionRange {
    std::vector<NumberRange> numbers;       // ascending, with gaps between
    std::uint64_t count = 0;                // of entries; more than the numbers: forked
    Hash sum{};                             // XOR of their hashes
    friend bool operator==(const VersionRange&, const VersionRange&) = default;
};
using VersionRanges = std::map<std::uint64_t, VersionRange>;   // by device incarnation

void add(VersionRanges& to, std::uint64_t device, std::uint64_t number, const Hash& hash);   // any order
VersionRanges ranges_of(std::span<const Entry> entries);

// What `mine` lacks of `theirs`, by incarnation. `whole`: two entries have one number, so all are needed.
struct Lack {
    std::uint64_t device = 0;
    std::vector<NumberRange> numbers;
    std::uint64_t count = 0;                // at least this many entries
    bool whole = false;
};
std::vector<Lack> lacking(const VersionRanges& mine, const VersionRanges& theirs);
bool within(const std::vector<Lack>& wanted, std::uint64_t device, std::uint64_t number);

}  // namespace restand
