#include "core/ledger/version_ranges.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <map>
#include <random>
#include <set>

using namespace restand;

namespace {

// An entry of a device; `other`: a different entry with the same number.
Entry entry(std::uint64_t device, std::uint64_t number, int other = 0) {
    Entry e;
    e.device = device;
    e.number = number;
    std::mt19937_64 random(device * 1'000'003 + number * 97 + static_cast<std::uint64_t>(other));
    for (auto& byte : e.hash) byte = static_cast<std::uint8_t>(random());
    return e;
}

using Key = std::pair<std::uint64_t, std::uint64_t>;  // device, number

struct RandomEntries {
    std::mt19937_64 engine;
    std::uint64_t below(std::uint64_t n) { return engine() % n; }

    std::vector<Entry> entries() {
        std::set<Key> keys;
        const std::uint64_t count = below(60);
        for (std::uint64_t i = 0; i < count; ++i) keys.insert({1 + below(3), 1 + below(30)});
        std::vector<Entry> all;
        for (const auto& [device, number] : keys) all.push_back(entry(device, number));
        std::shuffle(all.begin(), all.end(), engine);
        return all;
    }
};

std::set<Key> keys(const std::vector<Entry>& entries) {
    std::set<Key> all;
    for (const Entry& e : entries) all.insert({e.device, e.number});
    return all;
}

std::set<Key> keys(const std::vector<Lack>& lacks) {
    std::set<Key> all;
    for (const Lack& lack : lacks)
        for (const NumberRange& r : lack.numbers)
            for (std::uint64_t n = r.first; n <= r.last; ++n) all.insert({lack.device, n});
    return all;
}

}  // namespace

TEST_CASE("holdings: equal if and only if the sets of entries are equal") {
    RandomEntries random{std::mt19937_64(1)};
    int equal = 0;
    for (int run = 0; run < 3000; ++run) {
        auto a = random.entries(), b = run % 2 ? random.entries() : a;
        std::shuffle(b.begin(), b.end(), random.engine);
        if (run % 4 == 2 && !b.empty())
            b.back() = entry(b.back().device, b.back().number, 1);  // a different entry with that number
        const auto hashes = [](const std::vector<Entry>& all) {
            std::set<Hash> set;
            for (const Entry& e : all) set.insert(e.hash);
            return set;
        };
        const bool same = hashes(a) == hashes(b);
        equal += same;
        REQUIRE((ranges_of(a) == ranges_of(b)) == same);
    }
    CHECK(equal > 500);
}

TEST_CASE("holdings: ranges are ascending, apart and as few as can be") {
    RandomEntries random{std::mt19937_64(2)};
    for (int run = 0; run < 2000; ++run) {
        const auto all = random.entries();
        std::uint64_t held = 0;
        for (const auto& [device, range] : ranges_of(all)) {
            std::uint64_t count = 0;
            for (std::size_t i = 0; i < range.numbers.size(); ++i) {
                const NumberRange& r = range.numbers[i];
                REQUIRE(r.first <= r.last);
                if (i > 0) REQUIRE(range.numbers[i - 1].last + 1 < r.first);
                count += r.last - r.first + 1;
            }
            REQUIRE(count == range.count);
            held += count;
        }
        REQUIRE(held == all.size());
    }
}

TEST_CASE("holdings: every missing entry is lacked, and no other") {
    RandomEntries random{std::mt19937_64(3)};
    for (int run = 0; run < 3000; ++run) {
        const auto mine = random.entries(), theirs = random.entries();
        const auto lacks = lacking(ranges_of(mine), ranges_of(theirs));
        std::set<Key> expected;
        const auto have = keys(mine), want = keys(theirs);
        std::set_difference(want.begin(), want.end(), have.begin(), have.end(),
                            std::inserter(expected, expected.end()));
        REQUIRE(keys(lacks) == expected);
        std::uint64_t count = 0;
        for (const Lack& lack : lacks) {
            REQUIRE_FALSE(lack.whole);
            count += lack.count;
        }
        REQUIRE(count == expected.size());
        for (const Key& key : want) REQUIRE(within(lacks, key.first, key.second) == expected.contains(key));
        REQUIRE_FALSE(within(lacks, 9, 1));
    }
}

TEST_CASE("holdings: a device that went on from an old copy is exchanged whole") {
    std::vector<Entry> mine = {entry(1, 1), entry(1, 2), entry(1, 3)}, theirs = mine;
    theirs[2] = entry(1, 3, 1);
    for (const auto& lacks :
         {lacking(ranges_of(mine), ranges_of(theirs)), lacking(ranges_of(theirs), ranges_of(mine))}) {
        REQUIRE(lacks.size() == 1);
        CHECK(lacks[0].whole);
        CHECK(lacks[0].count >= 1);
        for (std::uint64_t n = 1; n <= 4; ++n) CHECK(within(lacks, 1, n));
        CHECK_FALSE(within(lacks, 2, 1));
    }
    // Then both have both, and nothing is missing any more.
    mine.push_back(theirs[2]);
    theirs.push_back(mine[2]);
    CHECK(ranges_of(mine) == ranges_of(theirs));
    CHECK(lacking(ranges_of(mine), ranges_of(theirs)).empty());
}

TEST_CASE("holdings: forked devices agree after as many exchanges as it takes") {
    // Union through lacking() and within() alone, even where a fork hides behind different numbers.
    RandomEntries random{std::mt19937_64(4)};
    for (int run = 0; run < 500; ++run) {
        std::map<Hash, Entry> a, b;
        for (std::uint64_t n = 1; n <= 12; ++n)
            for (int other = 0; other < 2; ++other)
                for (auto* side : {&a, &b})
                    if (random.below(3)) {
                        const Entry e = entry(1, n, other);
                        side->emplace(e.hash, e);
                    }
        const auto holds = [](const std::map<Hash, Entry>& side) {
            std::vector<Entry> all;
            for (const auto& [hash, e] : side) all.push_back(e);
            return ranges_of(all);
        };
        const auto give = [&](const std::map<Hash, Entry>& from, std::map<Hash, Entry>& to) {
            const auto lacks = lacking(holds(to), holds(from));
            for (const auto& [hash, e] : from)
                if (within(lacks, e.device, e.number)) to.emplace(hash, e);
        };
        std::set<Hash> all;
        for (const auto* side : {&a, &b})
            for (const auto& [hash, e] : *side) all.insert(hash);
        for (int round = 0; round < 3; ++round) give(a, b), give(b, a);
        REQUIRE(a.size() == all.size());
        REQUIRE(b.size() == all.size());
    }
}

TEST_CASE("holdings: the largest and the smallest number wrap nothing around") {
    constexpr std::uint64_t most = UINT64_MAX;
    VersionRanges mine, theirs;
    for (const std::uint64_t n : {most, std::uint64_t{0}, most - 1, std::uint64_t{5}})
        add(theirs, 1, n, entry(1, n).hash);
    CHECK(theirs[1].numbers == std::vector<NumberRange>{{0, 0}, {5, 5}, {most - 1, most}});
    add(mine, 1, most, entry(1, most).hash);
    const auto lacks = lacking(mine, theirs);
    REQUIRE(lacks.size() == 1);
    CHECK(lacks[0].numbers == std::vector<NumberRange>{{0, 0}, {5, 5}, {most - 1, most - 1}});
    CHECK(lacking(theirs, mine).empty());
}
