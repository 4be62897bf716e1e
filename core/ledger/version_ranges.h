#pragma once
// Which entries a device holds, small enough to show another device; and what one lacks of the other.
//
//   per device incarnation: the running numbers held, as ranges, their count, and the XOR of their hashes.
//   Equal holdings = equal sets of entries. Same numbers but another XOR: two different entries bear one
//   number (a device went on from an old copy); then everything of that incarnation is exchanged.
// Never by 'newer than the last seen': numbers may have gaps.

#include <map>
#include <span>
#include <string>
#include <vector>

#include "core/ledger/entry.h"

namespace restand {

struct NumberRange {
    std::uint64_t first = 1, last = 0;      // both in it
    friend bool operator==(const NumberRange&, const NumberRange&) = default;
};
struct VersionRange {
    std::vector<NumberRange> numbers;       // ascending, apart
    std::uint64_t count = 0;                // of entries; more than numbers say: forked
    Hash sum{};                             // XOR of their hashes
    friend bool operator==(const VersionRange&, const VersionRange&) = default;
};
using VersionRanges = std::map<std::uint64_t, VersionRange>;   // by device incarnation

void add(VersionRanges& to, std::uint64_t device, std::uint64_t number, const Hash& hash);   // any order
VersionRanges ranges_of(std::span<const Entry> entries);

// What `mine` lacks of `theirs`, by incarnation. `whole`: hashes differ where the numbers agree.
struct Lack {
    std::uint64_t device = 0;
    std::vector<NumberRange> numbers;
    std::uint64_t count = 0;                // at least so many entries
    bool whole = false;
};
std::vector<Lack> lacking(const VersionRanges& mine, const VersionRanges& theirs);
bool within(const std::vector<Lack>& wanted, std::uint64_t device, std::uint64_t number);

}  // namespace restand
