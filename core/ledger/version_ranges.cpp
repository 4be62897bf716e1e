// Ranges of numbers, and what one set of ranges lacks of another.
//
// An XOR of hashes shows that two sets differ, but not where. So if the ranges do not show what is missing,
// all entries of an incarnation are requested. This is rare: it needs a device that continued from an old
// copy.

#include "core/ledger/version_ranges.h"

#include <algorithm>

namespace restand {
namespace {

// Keeps ranges ascending with gaps between them; a number already in a range changes nothing. A foreign sync
// bundle may contain any number, so no number is incremented before it is known not to be the largest.
void add_number(std::vector<NumberRange>& number_ranges, std::uint64_t n) {
    // Most often n follows the last one.
    if (!number_ranges.empty() && number_ranges.back().last < n && number_ranges.back().last + 1 == n)
        return void(number_ranges.back().last = n);
    // The first range that does not end before n − 1: n is in it, next to it, or before it.
    const auto at = std::partition_point(number_ranges.begin(), number_ranges.end(),
                                         [n](const NumberRange& r) { return r.last < n && r.last + 1 < n; });
    if (at == number_ranges.end()) return void(number_ranges.push_back({n, n}));
    if (n >= at->first && n <= at->last) return;
    if (n < at->first) {
        if (n + 1 == at->first)
            at->first = n;
        else
            number_ranges.insert(at, {n, n});
        return;
    }
    at->last = n;
    if (const auto next = at + 1; next != number_ranges.end() && next->first == n + 1) {
        at->last = next->last;
        number_ranges.erase(next);
    }
}

// What of `theirs` is not in `mine`; both ascending.
std::vector<NumberRange> without(const std::vector<NumberRange>& theirs,
                                 const std::vector<NumberRange>& mine) {
    std::vector<NumberRange> left;
    auto m = mine.begin();
    for (NumberRange r : theirs) {
        while (m != mine.end() && m->last < r.first) ++m;
        bool rest = true;
        for (auto it = m; rest && it != mine.end() && it->first <= r.last; ++it) {
            if (it->first > r.first) left.push_back({r.first, it->first - 1});
            rest = it->last < r.last;
            if (rest) r.first = it->last + 1;
        }
        if (rest) left.push_back(r);
    }
    return left;
}

std::uint64_t size(const std::vector<NumberRange>& number_ranges) {
    std::uint64_t sum = 0;
    for (const NumberRange& r : number_ranges) sum += r.last - r.first + 1;
    return sum;
}

}  // namespace

void add(VersionRanges& to, std::uint64_t device, std::uint64_t number, const Hash& hash) {
    VersionRange& range = to[device];
    add_number(range.numbers, number);
    ++range.count;
    for (std::size_t i = 0; i < hash.size(); ++i) range.sum[i] ^= hash[i];
}

VersionRanges ranges_of(std::span<const Entry> entries) {
    VersionRanges ranges;
    for (const Entry& e : entries) add(ranges, e.device, e.number, e.hash);
    return ranges;
}

std::vector<Lack> lacking(const VersionRanges& mine, const VersionRanges& theirs) {
    std::vector<Lack> all;
    for (const auto& [device, their] : theirs) {
        const auto it = mine.find(device);
        const VersionRange own = it == mine.end() ? VersionRange{} : it->second;
        if (own == their) continue;
        Lack lack{device, without(their.numbers, own.numbers), 0, false};
        lack.count = size(lack.numbers);
        // Two entries have one number (here or there), or the numbers are equal with other contents: the
        // ranges do not show which entry is missing.
        const bool forked = own.count > size(own.numbers) || their.count > size(their.numbers);
        if (forked || (lack.numbers.empty() && own.numbers == their.numbers)) {
            lack.numbers = their.numbers;
            lack.whole = true;
            lack.count = std::max<std::uint64_t>(1, their.count > own.count ? their.count - own.count : 1);
        }
        if (!lack.numbers.empty()) all.push_back(std::move(lack));
    }
    return all;
}

bool within(const std::vector<Lack>& wanted, std::uint64_t device, std::uint64_t number) {
    return std::any_of(wanted.begin(), wanted.end(), [&](const Lack& lack) {
        if (lack.device != device) return false;
        if (lack.whole) return true;
        const auto at = std::partition_point(lack.numbers.begin(), lack.numbers.end(),
                                             [&](const NumberRange& r) { return r.last < number; });
        return at != lack.numbers.end() && at->first <= number;
    });
}

}  // namespace restand
