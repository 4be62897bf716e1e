// Long work takes the store in slices and readings are stored in between: nothing is counted twice, left out or
// taken for more than it is.

#include <doctest/doctest.h>

#include <random>
#include <set>

#include "core/store/merging.h"
#include "core/store/snapshot.h"
#include "tests/store/season.h"
#include "tests/store/workshop.h"

using namespace restand;

namespace {

// Entries of another device.
std::vector<Entry> foreign_entries(int count) {
    const test::Folder elsewhere;
    Store other = test::open(elsewhere("other.restand"));
    std::vector<NewEntry> wanted;
    for (int i = 0; i < count; ++i) wanted.push_back(encode(PersonBody{"Rider " + std::to_string(i)}));
    return test::got(other.append_all(wanted));
}

std::uint64_t entries_in(const Store& store) {
    return test::got(Snapshot::entries_in(store));
}

}  // namespace

TEST_CASE("slices: what is held is counted once, with entries stored and merged between the slices") {
    for (const std::size_t rows : {std::size_t{1}, std::size_t{7}, std::size_t{1000}}) {
        const test::Folder folder;
        std::mt19937 random(5);
        Store store = test::open(folder("w.restand"));
        test::write_season(store, random, 60);
        const auto theirs = foreign_entries(20);
        std::size_t given = 0, slices = 0;
        for (bool counted = false; !counted; ++slices) {
            counted = test::got(store.count(rows));
            // Some get an id before the last one counted, others behind it.
            if (given < theirs.size() && slices % 2 == 1) (void)test::got(store.merge({theirs[given++]}));
            if (slices % 5 == 2 && slices < 40) test::add_person(store);
        }
        const auto all = test::got(store.all());
        CHECK(test::got(store.ranges()) == ranges_of(all));
        CHECK((slices > 3 || rows == 1000));
        // An index that is not counted at all would pass as well: what another connection counts is the same.
        CHECK(test::got(test::open(folder("w.restand"), Store::Mode::read).ranges()) == ranges_of(all));
    }
}

TEST_CASE("slices: a walk meets every entry once, and what another device lacks") {
    const test::Folder folder;
    std::mt19937 random(6);
    Store store = test::open(folder("w.restand"));
    test::write_season(store, random, 60);
    const auto all = test::by_id(test::got(store.all()));
    const std::vector<Lack> lack{{all.front().device, {{5, 17}}}};
    for (const std::size_t rows : {std::size_t{1}, std::size_t{9}, all.size(), all.size() + 1}) {
        std::vector<Entry> met, wanted;
        for (Store::Walk walk; !walk.ended;)
            for (Entry& e : test::got(store.next(walk, rows))) met.push_back(std::move(e));
        CHECK(met == all);
        for (Store::Walk walk; !walk.ended;)
            for (Entry& e : test::got(store.next(walk, rows, &lack))) wanted.push_back(std::move(e));
        CHECK(wanted.size() == 13);
        CHECK(test::by_id(wanted) == test::by_id(test::got(store.those(lack))));
    }
}

TEST_CASE("slices: what stands of a bike's season, in slices of any size") {
    const test::Folder folder;
    std::mt19937 random(14);
    Store store = test::open(folder("w.restand"));
    test::write_season(store, random, 200);
    const auto all = test::got(store.all());
    std::set<Id> gone;
    for (const Entry& e : all) gone.insert(e.supersedes.begin(), e.supersedes.end());
    const Id bike = test::bikes_in(all).front();
    std::vector<Entry> expected;
    for (const Entry& e : all) {
        constexpr std::string_view kinds[] = {"baseline", "change", "event",    "part", "reading",
                                              "record",   "swap",   "swap_end", "tick"};
        const bool wanted = std::find(std::begin(kinds), std::end(kinds), e.kind) != std::end(kinds);
        if (e.bike == bike && wanted && !gone.contains(e.id)) expected.push_back(e);
    }
    REQUIRE(expected.size() > 20);
    for (const std::size_t rows : {std::size_t{1}, std::size_t{7}, std::size_t{1000}}) {
        std::vector<Entry> met;
        for (Store::Walk walk; !walk.ended;)
            for (Entry& e : test::got(store.next_of_season(bike, walk, rows))) met.push_back(std::move(e));
        CHECK(test::by_id(met) == test::by_id(expected));
    }
}

TEST_CASE("merge in steps: each adds as many as it may, readings come between, and all are in at the end") {
    const test::Folder folder;
    Store store = test::open(folder("w.restand"));
    test::add_person(store);
    const auto theirs = foreign_entries(95);
    Merging merging(theirs);
    int steps = 0;
    for (bool done = false; !done; ++steps) {
        const auto before = entries_in(store);
        done = test::got(merging.step(store, 10));
        CHECK(entries_in(store) - before == (done ? 5 : 10));
        test::add_person(store);
        CHECK(entries_in(store) == 1 + merging.merged().added + static_cast<std::uint64_t>(steps) + 1);
    }
    CHECK(steps == 10);
    CHECK(merging.merged().added == 95);
    for (const Entry& e : theirs) CHECK(test::got(store.find(e.id)).value() == e);
    CHECK(test::got(store.check()).found.empty());
    CHECK(test::got(store.merge(theirs)).known == 95);
}

TEST_CASE("merge in steps: cancelled, what is in stays, and the next merge adds the rest") {
    const test::Folder folder;
    Store store = test::open(folder("w.restand"));
    const auto theirs = foreign_entries(50);
    {
        Merging merging(theirs);
        Progress progress;
        CHECK_FALSE(test::got(merging.step(store, 20, &progress)));
        progress.cancelled = true;
        CHECK(merging.step(store, 20, &progress).error().code == ErrorCode::cancelled);
        CHECK(merging.merged().added == 20);
        CHECK(entries_in(store) == 20);
        CHECK(test::got(store.check()).found.empty());
    }
    const auto merged = test::got(store.merge(theirs));
    CHECK(merged.known == 20);
    CHECK(merged.added == 30);
}

TEST_CASE("merge in steps: refusals are the same as in one transaction") {
    const test::Folder folder;
    auto theirs = foreign_entries(30);
    theirs[3].body += " ";       // white space is not hashed
    theirs[7].kind = "persons";  // a kind is
    theirs[22].hash.fill(0);
    theirs.push_back(theirs[5]);  // twice, far apart
    Store at_once = test::open(folder("a.restand")), in_steps = test::open(folder("b.restand"));
    const auto whole = test::got(at_once.merge(theirs));
    Merging merging(theirs);
    while (!test::got(merging.step(in_steps, 4))) {
    }
    const auto& steps = merging.merged();
    CHECK(whole.added == 28);
    CHECK(steps.added == whole.added);
    CHECK(steps.known == whole.known);
    REQUIRE(steps.refused.size() == whole.refused.size());
    for (std::size_t i = 0; i < whole.refused.size(); ++i)
        CHECK(steps.refused[i].subject == whole.refused[i].subject);
    CHECK(test::got(in_steps.all()) == test::got(at_once.all()));
}

TEST_CASE("merge in steps: an older copy that meets its own later numbers gives none of them again") {
    const test::Folder folder;
    std::vector<Entry> later;
    {
        Store store = test::open(folder("w.restand"));
        for (int i = 0; i < 5; ++i) test::add_person(store);
        std::filesystem::copy_file(folder("w.restand"), folder("older.restand"));
        for (int i = 0; i < 10; ++i) test::add_person(store);
        later = test::got(store.all());
    }
    Store older = test::open(folder("older.restand"));
    // The known ones come first; a reading follows each step.
    Merging merging(later);
    for (bool done = false; !done;) {
        done = test::got(merging.step(older, 2));
        test::add_person(older);
    }
    const Health health = test::got(older.check());
    CHECK(health.whole);
    CHECK(health.doubles.empty());
}

TEST_CASE("merge in steps: a clock that is behind is found, also after the device goes on as a new one") {
    const test::Folder folder;
    std::vector<Entry> later;
    {
        Store store = test::open(folder("w.restand"));
        test::add_person(store);
        std::filesystem::copy_file(folder("w.restand"), folder("at_once.restand"));
        std::filesystem::copy_file(folder("w.restand"), folder("in_steps.restand"));
        for (int i = 0; i < 5; ++i) test::add_person(store);
        later = test::got(store.all());
    }
    // Another device's, dated two days before the entry of ours that it refers to.
    Entry behind = foreign_entries(1).front();
    behind.by = later.front().id;
    behind.clock = {later.front().clock.ms - 2 * 86'400'000ll, 0x1'0000};
    behind.hash = test::got(hash_of(behind));
    later.push_back(behind);
    Store at_once = test::open(folder("at_once.restand")), in_steps = test::open(folder("in_steps.restand"));
    const auto whole = test::got(at_once.merge(later));
    CHECK(whole.clock_apart_ms < -86'400'000);
    Merging merging(later);
    while (!test::got(merging.step(in_steps, 2))) {
    }
    CHECK(merging.merged().clock_apart_ms == whole.clock_apart_ms);
}
