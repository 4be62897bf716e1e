#include "core/sync/sync_pool.h"

#include <algorithm>

namespace restand {
namespace {

constexpr std::uint64_t piece_size = 4000;  // entries requested at a time: some MB

const VersionRange& range_of(const VersionRanges& ranges, std::uint64_t device) {
    static const VersionRange none;
    const auto found = ranges.find(device);
    return found == ranges.end() ? none : found->second;
}

// Copies one device's entries from our store into the pool. Adds them to `given.sum` and `given.count`.
Result<std::uint64_t> put_numbers(Pool& pool, std::uint64_t device, const Numbers& numbers,
                                  const Those& those, VersionRange& given, Progress* progress) {
    std::uint64_t written = 0;
    for (const Numbers& piece : pieces(numbers, piece_size)) {
        if (cancelled(progress)) return cancelled_error();
        const auto entries = those({{device, piece, count_of(piece), false}});
        if (!entries) return entries.error();
        for (const Entry& entry : *entries) {
            add_sum(given.sum, entry.hash);
            ++given.count;
        }
        const auto wrote = pool.write(*entries);
        if (!wrote) return wrote.error();
        written += *wrote;
        if (progress) progress->done += entries->size();
    }
    return written;
}

Result<std::uint64_t> put_device(Pool& pool, std::uint64_t device, const VersionRange& mine,
                                 const VersionRange& theirs, const Those& those, Progress* progress) {
    const Numbers missing = minus(mine.numbers, theirs.numbers);
    if (progress) progress->total += count_of(missing);
    VersionRange both = theirs;
    if (!covers(mine.numbers, theirs.numbers)) {
        const auto overlap = pool.within(device, mine.numbers);
        if (!overlap) return overlap.error();
        both = *overlap;
    }
    const auto written = put_numbers(pool, device, missing, those, both, progress);
    if (!written) return written.error();
    if (both.count == mine.count && both.sum == mine.sum) return *written;

    // The pool has another entry under one of our numbers, or lacks one of ours: put all again.
    VersionRange ignored;
    const auto again = put_numbers(pool, device, mine.numbers, those, ignored, progress);
    if (!again) return again.error();
    return *written + *again;
}

}  // namespace

Numbers minus(const Numbers& from, const Numbers& what) {
    Numbers left;
    auto cut = what.begin();
    for (NumberRange number_range : from) {
        while (cut != what.end() && cut->last < number_range.first) ++cut;
        auto at = cut;
        bool any = true;
        for (; any && at != what.end() && at->first <= number_range.last; ++at) {
            if (at->first > number_range.first) left.push_back({number_range.first, at->first - 1});
            any = at->last < number_range.last;
            number_range.first = at->last + 1;
        }
        if (any) left.push_back(number_range);
    }
    return left;
}

Numbers common(const Numbers& a, const Numbers& b) {
    Numbers both;
    for (auto i = a.begin(), j = b.begin(); i != a.end() && j != b.end();) {
        const NumberRange number_range{std::max(i->first, j->first), std::min(i->last, j->last)};
        if (number_range.first <= number_range.last) both.push_back(number_range);
        (i->last < j->last ? i : j)++;
    }
    return both;
}

Numbers united(const Numbers& a, const Numbers& b) {
    Numbers all = a;
    const Numbers more = minus(b, a);
    all.insert(all.end(), more.begin(), more.end());
    std::sort(all.begin(), all.end(),
              [](const NumberRange& x, const NumberRange& y) { return x.first < y.first; });
    return all;
}

bool covers(const Numbers& outer, const Numbers& inner) {
    return minus(inner, outer).empty();
}

std::uint64_t count_of(const Numbers& numbers) {
    std::uint64_t count = 0;
    for (const NumberRange& number_range : numbers) count += number_range.last - number_range.first + 1;
    return count;
}

std::vector<Numbers> pieces(const Numbers& numbers, std::uint64_t size) {
    std::vector<Numbers> all;
    std::uint64_t room = 0;
    for (NumberRange number_range : numbers)
        for (bool more = true; more;) {
            if (room == 0) {
                all.emplace_back();
                room = size;
            }
            const std::uint64_t length = std::min(room, number_range.last - number_range.first + 1);
            all.back().push_back({number_range.first, number_range.first + length - 1});
            room -= length;
            more = number_range.first + length - 1 < number_range.last;
            number_range.first += length;
        }
    return all;
}

void add_sum(Hash& to, const Hash& hash) {
    for (std::size_t i = 0; i < to.size(); ++i) to[i] = static_cast<std::uint8_t>(to[i] ^ hash[i]);
}

Result<std::uint64_t> put_into(Pool& pool, const Sender& me, const Those& those, Progress* progress) {
    const auto there = pool.ranges();
    if (!there) return there.error();
    std::uint64_t written = 0;
    for (const auto& [device, mine] : me.holds) {
        const VersionRange& theirs = range_of(*there, device);
        if (theirs == mine) continue;
        const auto wrote = put_device(pool, device, mine, theirs, those, progress);
        if (!wrote) return wrote.error();
        written += *wrote;
    }
    if (cancelled(progress)) return cancelled_error();
    const auto rest = pool.finish();
    if (!rest) return rest.error();
    return written + *rest;
}

Outcome take_from(Pool& pool, const Sender& me, Taken& taken, Progress* progress) {
    const auto there = pool.ranges();
    if (!there) return there.error();
    for (const auto& [device, theirs] : *there) {
        if (cancelled(progress)) return cancelled_error();
        const VersionRange& mine = range_of(me.holds, device);
        if (theirs == mine) continue;
        const std::size_t before = taken.entries.size();
        if (const auto read = pool.read(device, minus(theirs.numbers, mine.numbers), taken); !read)
            return read.error();
        const Numbers both = common(theirs.numbers, mine.numbers);
        if (both.empty()) continue;

        // The place's entries without the newly read ones must equal ours: same numbers, count and sum.
        VersionRange rest = theirs;
        for (std::size_t i = before; i < taken.entries.size(); ++i) {
            add_sum(rest.sum, taken.entries[i].hash);
            --rest.count;
        }
        const bool ours = both == mine.numbers && rest.count == mine.count && rest.sum == mine.sum;
        if (ours) continue;
        if (const auto read = pool.read(device, both, taken); !read) return read.error();
    }
    return Done{};
}

bool newer(const Sender& a, const Sender& b) {
    const auto rank = [](const Sender& s) {
        const Numbers& own = range_of(s.holds, s.device).numbers;
        std::uint64_t count = 0;
        for (const auto& [device, range] : s.holds) count += range.count;
        return std::tuple(own.empty() ? 0 : own.back().last, count, s.at_ms);
    };
    return rank(a) > rank(b);
}

Result<bool> Heard::borne_out(const VersionRanges& said) {
    for (const auto& [device, range] : said) {
        const VersionRange& theirs = range_of(there_, device);
        if (theirs == range) continue;
        if (!covers(theirs.numbers, range.numbers)) return false;
        const auto known =
            std::find_if(asked_.begin(), asked_.end(), [&, d = device, &n = range.numbers](const auto& a) {
                return std::get<0>(a) == d && std::get<1>(a) == n;
            });
        VersionRange within = known == asked_.end() ? VersionRange{} : std::get<2>(*known);
        if (known == asked_.end()) {
            auto answer = pool_.within(device, range.numbers);
            if (!answer) return answer.error();
            within = std::move(*answer);
            asked_.emplace_back(device, range.numbers, within);
        }
        if (within.count < range.count || (within.count == range.count && within.sum != range.sum))
            return false;
    }
    return true;
}

Outcome Heard::hear(Sender said) {
    const auto best = best_.find(said.device);
    if (best != best_.end() && !newer(said, best->second)) return Done{};
    const auto believed = borne_out(said.holds);
    if (!believed) return believed.error();
    if (*believed)
        best_.insert_or_assign(said.device, std::move(said));
    else
        unreadable(said.device, said.name);
    return Done{};
}

void Heard::unreadable(std::uint64_t device, const std::string& name) {
    silent_.try_emplace(device, Sender{device, name, 0, {}});
}

std::vector<Sender> Heard::believed() const {
    auto all = best_;
    all.insert(silent_.begin(), silent_.end());
    std::vector<Sender> senders;
    for (auto& [device, sender] : all) senders.push_back(std::move(sender));
    return senders;
}

std::vector<Seen> seen_by(const Sender& me, std::vector<Sender> others) {
    std::vector<Seen> all;
    for (Sender& other : others) {
        if (other.device == me.device) continue;
        Seen seen{std::move(other), 0, 0};
        for (const Lack& lack : lacking(seen.sender.holds, me.holds)) seen.lacks += lack.count;
        for (const Lack& lack : lacking(me.holds, seen.sender.holds)) seen.has += lack.count;
        all.push_back(std::move(seen));
    }
    std::sort(all.begin(), all.end(), [](const Seen& a, const Seen& b) {
        return std::tie(a.sender.name, a.sender.device) < std::tie(b.sender.name, b.sender.device);
    });
    return all;
}

}  // namespace restand
