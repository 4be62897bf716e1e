// Union with entries from elsewhere: the algebra of sets, whatever comes in whatever order.

#include <algorithm>
#include <random>

#include "core/codec/bundle.h"
#include "core/store/backup.h"
#include "tests/store/season.h"
#include "tests/store/workshop.h"

using namespace restand;
using test::by_id;

namespace {

std::vector<Entry> all(const Store& store) {
    return by_id(test::got(store.all()));
}

}  // namespace

TEST_CASE("merge: two devices that exchange bundles have the same entries and show the same") {
    const test::Folder folder;
    Store truck = test::open(folder("truck.restand")), box = test::open(folder("box.restand"));
    const auto begun = test::begin_swap(truck);
    REQUIRE(box.merge(test::got(read_bundle(write_bundle(test::got(truck.all()))))));
    // Both read the same thing again, neither knowing of the other.
    const auto again = [&](Store& store, const char* text) {
        const ReadingBody r{Phase::before, test::reading(Point::eye_to_eye, text), false};
        return test::got(store.append(encode(r, begun.bike, begun.swap, begun.person, {begun.second})));
    };
    again(truck, "310,2");
    again(box, "309,7");
    CHECK(test::got(truck.merge(test::got(box.all()))).added == 1);
    CHECK(test::got(box.merge(test::got(truck.all()))).added == 1);
    CHECK(all(truck) == all(box));
    for (const Store* store : {&truck, &box}) {
        const Ledger ledger = test::ledger_of(test::got(store->opening()));
        const auto& stored_readings =
            ledger.swap(begun.swap)->stored_readings.at({Phase::before, End::rear, Point::eye_to_eye});
        REQUIRE(stored_readings.size() == 2);
        CHECK(test::got(store->check()).whole);
    }
    // Seen entries pull the clock along: what is written next is later than both.
    const Entry next = again(box, "310,0");
    for (const Entry& e : test::got(truck.all())) CHECK(next.clock > e.clock);
}

TEST_CASE("merge: any grouping, any order, any number of times is the union") {
    const test::Folder folder;
    std::vector<std::vector<Entry>> devices;
    std::vector<Entry> everything;
    for (const char* name : {"a", "b", "c"}) {
        Store store = test::open(folder(name));
        test::begin_swap(store);
        devices.push_back(test::got(store.all()));
        everything.insert(everything.end(), devices.back().begin(), devices.back().end());
    }
    const auto expected = by_id(everything);
    std::mt19937 random(3);
    for (int run = 0; run < 6; ++run) {
        Store store = test::open(folder("m" + std::to_string(run)));
        std::shuffle(everything.begin(), everything.end(), random);
        // In pieces that overlap, parents after their children.
        const std::size_t third = everything.size() / 3;
        for (std::size_t at = 0; at < everything.size(); at += third) {
            const auto end = std::min(everything.size(), at + third + third / 2);
            REQUIRE(store.merge({everything.begin() + static_cast<std::ptrdiff_t>(at),
                                 everything.begin() + static_cast<std::ptrdiff_t>(end)}));
        }
        CHECK(all(store) == expected);
        const auto again = test::got(store.merge(everything));
        CHECK(again.added == 0);
        CHECK(again.known == everything.size());
        CHECK(test::got(store.check()).found.empty());
    }
}

TEST_CASE("merge: what was tampered with is refused by name, the rest goes in") {
    const test::Folder folder;
    Store from = test::open(folder("a")), to = test::open(folder("b"));
    test::begin_swap(from);
    auto entries = test::got(from.all());
    entries[1].body.replace(entries[1].body.find("27"), 2, "72");
    entries[3].clock.ms += 1;
    entries[4].hash[0] ^= 1;
    const auto merged = test::got(to.merge(entries));
    CHECK(merged.added == 3);
    REQUIRE(merged.refused.size() == 3);
    CHECK(merged.refused[0] ==
          Error{ErrorCode::damaged, to_text(entries[1].id), "its hash differs from its content"});
    // The gap is named; what another device wrote may still come.
    const Health health = test::got(to.check());
    CHECK(health.whole);
    CHECK(health.found.empty());
    REQUIRE_FALSE(health.gaps.empty());
    CHECK(health.gaps[0].code == ErrorCode::missing);
}

TEST_CASE("merge: another entry under a known id replaces nothing") {
    const test::Folder folder;
    Store store = test::open(folder("a"));
    test::begin_swap(store);
    Entry forged = test::got(store.all()).at(1);
    forged.body = R"({"name":"forged"})";
    forged.hash = test::got(hash_of(forged));
    const auto merged = test::got(store.merge({forged}));
    CHECK(merged.added == 0);
    REQUIRE(merged.refused.size() == 1);
    CHECK(merged.refused[0].code == ErrorCode::contradiction);
    CHECK(test::got(store.find(forged.id))->body != forged.body);
}

TEST_CASE(
    "merge: of two entries with one id the one goes in that its device's next entry names, whichever comes "
    "first") {
    const test::Folder folder;
    Store from = test::open(folder("a"));
    test::begin_swap(from);
    auto entries = test::got(from.all());
    // Whole in itself, under the id of a genuine one: of the same device and number, and of a device of its
    // own.
    Entry alike = entries[1], foreign = entries[2];
    alike.body = foreign.body = R"({"name":"forged"})";
    foreign.device = 7, foreign.number = 1, foreign.previous = {};
    for (Entry* forged : {&alike, &foreign}) forged->hash = test::got(hash_of(*forged));
    for (const bool first : {true, false}) {
        auto both = entries;
        both.insert(first ? both.begin() : both.end(), {alike, foreign});
        Store to = test::open(folder(first ? "b" : "c"));
        const auto merged = test::got(to.merge(both));
        CHECK(merged.added == entries.size());
        CHECK(merged.refused.size() == 2);
        CHECK(all(to) == by_id(entries));
    }
    // One that is in the file already stays there; that it is not the genuine one is said.
    Store late = test::open(folder("d"));
    CHECK(test::got(late.merge({alike})).added == 1);
    const auto merged = test::got(late.merge(entries));
    REQUIRE(merged.refused.size() == 1);
    CHECK(merged.refused[0].subject == to_text(alike.id));
    CHECK(merged.refused[0].detail.find("names it, but this workshop holds another") != std::string::npos);
}

TEST_CASE("merge: an entry that is refused itself does not decide which of two entries with one id goes in") {
    const test::Folder folder;
    Store from = test::open(folder("a"));
    test::begin_swap(from);
    const auto genuine = test::got(from.all());
    Entry alike = genuine[1];
    alike.body = R"({"name":"forged"})";
    alike.hash = test::got(hash_of(alike));
    // It names the forged one; its own hash is wrong.
    Entry junk = genuine[2];
    junk.id.bytes[0] ^= 1;
    junk.previous = alike.hash;
    int merges = 0;
    const auto held = [&](std::vector<Entry> entries, const Entry& first, const Entry& second, bool with_next,
                          bool with_junk) {
        std::erase_if(entries, [&](const Entry& e) {
            return e.id == alike.id || (!with_next && e.number == alike.number + 1);
        });
        entries.insert(entries.end(), {first, second});
        if (with_junk) entries.insert(entries.begin(), junk);
        Store to = test::open(folder("to" + std::to_string(++merges)));
        const auto merged = test::got(to.merge(entries));
        CHECK(merged.refused.size() == (with_junk ? 2 : 1));
        return test::got(to.find(alike.id)).value();
    };
    for (const bool forged_first : {true, false}) {
        const Entry &first = forged_first ? alike : genuine[1], &second = forged_first ? genuine[1] : alike;
        for (const bool with_junk : {true, false}) {
            CHECK(held(genuine, first, second, true, with_junk) == genuine[1]);
            // Nobody confirms one of them: the first one goes in, with the junk and without.
            CHECK(held(genuine, first, second, false, with_junk) == first);
        }
    }
}

TEST_CASE("merge: unknown kinds and keys are passed on word for word") {
    const test::Folder folder;
    Store from = test::open(folder("a")), to = test::open(folder("b"));
    const std::string body = R"({ "zeta":1e0 ,"alpha": [ ] })";
    const Entry e = test::got(from.append({"kind of a later day", {}, {}, {}, {}, body}));
    REQUIRE(to.merge(test::got(read_bundle(write_bundle(test::got(from.all()))))));
    CHECK(test::got(to.find(e.id)) == e);
    CHECK(test::got(to.find(e.id))->body == body);
}

TEST_CASE("merge: a device restored from an old copy goes on as a new one") {
    const test::Folder folder;
    const std::string path = folder("w.restand");
    std::vector<Entry> later;
    {
        Store store = test::open(path);
        test::begin_swap(store);
    }
    std::filesystem::copy(path, folder("backup"));
    std::uint64_t device = 0;
    {
        Store store = test::open(path);
        device = store.device();
        test::got(store.append({"person", {}, {}, {}, {}, R"({"name":"Noor"})"}));
        later = test::got(store.all());
    }
    Store restored = test::open(folder("backup"));
    CHECK(restored.device() == device);
    CHECK(test::got(restored.merge(later)).added == 1);
    CHECK(restored.device() != device);
    const Entry next = test::got(restored.append({"person", {}, {}, {}, {}, R"({"name":"Bram"})"}));
    CHECK(next.number == 1);
    CHECK(test::got(restored.check()).found.empty());
}

TEST_CASE("merge: a fork of running numbers keeps both and is named") {
    const test::Folder folder;
    {
        Store store = test::open(folder("a"));
        test::begin_swap(store);
    }
    std::filesystem::copy(folder("a"), folder("b"));
    Store a = test::open(folder("a")), b = test::open(folder("b"));
    // Both count on from the same place: one number, two entries.
    test::got(a.append({"person", {}, {}, {}, {}, R"({"name":"Noor"})"}));
    test::got(b.append({"person", {}, {}, {}, {}, R"({"name":"Bram"})"}));
    CHECK(test::got(a.merge(test::got(b.all()))).added == 1);
    const Health health = test::got(a.check());
    CHECK(health.whole);
    CHECK(health.found.empty());
    REQUIRE(health.doubles.size() == 1);
    CHECK(health.doubles[0].code == ErrorCode::contradiction);
    CHECK(test::ledger_of(test::got(a.opening())).people().size() == 3);
}

TEST_CASE(
    "merge: of two copied files one's entries come with a gap: named, no damage, and copied and given on") {
    const test::Folder folder;
    {
        Store store = test::open(folder("a"));
        test::begin_swap(store);
    }
    std::filesystem::copy(folder("a"), folder("b"));
    Store a = test::open(folder("a")), b = test::open(folder("b")), to = test::open(folder("c"));
    test::got(a.append({"person", {}, {}, {}, {}, R"({"name":"Noor"})"}));
    const Entry lost = test::got(b.append({"person", {}, {}, {}, {}, R"({"name":"Bram"})"}));
    test::got(b.append({"person", {}, {}, {}, {}, R"({"name":"Ilse"})"}));
    test::got(to.merge(test::got(a.all())));
    auto sync_bundle = test::got(b.all());
    std::erase_if(sync_bundle, [&](const Entry& e) { return e.id == lost.id; });
    CHECK(test::got(to.merge(sync_bundle)).added == 1);
    Health health = test::got(to.check());
    CHECK(health.whole);
    CHECK(health.found.empty());
    REQUIRE(health.gaps.size() == 1);
    CHECK(health.gaps[0].detail == "the entry it follows");
    CHECK(test::got(back_up(to, folder("copies"), 1'790'000'000'000)).good);
    // Once it comes, nothing is amiss but the number that both bear.
    CHECK(test::got(to.merge({lost})).added == 1);
    health = test::got(to.check());
    CHECK(health.gaps.empty());
    CHECK(health.doubles.size() == 1);
}

TEST_CASE("merge: dates that no clock shows are refused by name, the rest goes in") {
    const test::Folder folder;
    Store from = test::open(folder("a")), to = test::open(folder("b"));
    std::vector<Entry> entries;
    for (const Clock clock : {Clock{last_day_ms + 1, 0}, Clock{5, 0xffff'0000}, Clock{5, 0xfffe'0000}}) {
        entries.push_back(test::got(from.append({"person", {}, {}, {}, {}, "{}"})));
        entries.back().clock = clock;
        entries.back().hash = test::got(hash_of(entries.back()));
    }
    const auto merged = test::got(to.merge(entries));
    CHECK(merged.added == 1);
    REQUIRE(merged.refused.size() == 2);
    CHECK(merged.refused[0].subject == to_text(entries[0].id));
    // What follows the last epoch's is still later than it.
    CHECK(test::got(to.append({"person", {}, {}, {}, {}, "{}"})).clock > entries[2].clock);
}

TEST_CASE("merge: a clock years ahead does not pull ours along") {
    const test::Folder folder;
    Store from = test::open(folder("a")), to = test::open(folder("b"));
    Entry e = test::got(from.append({"person", {}, {}, {}, {}, "{}"}));
    const std::int64_t honest = e.clock.ms;
    e.clock.ms += 10ll * 365 * 86'400'000;
    e.hash = test::got(hash_of(e));
    CHECK(test::got(to.merge({e})).added == 1);
    CHECK(test::got(to.append({"person", {}, {}, {}, {}, "{}"})).clock.ms < honest + 3'600'000);
}

TEST_CASE("holdings: as counted from all entries, also behind appends and merges; those bring the rest") {
    const test::Folder folder;
    std::mt19937 random(15);
    Store a = test::open(folder("a")), b = test::open(folder("b"));
    for (int round = 0; round < 4; ++round) {
        test::write_season(round % 2 ? a : b, random, 40);
        for (const auto& [from, to] : {std::pair{&a, &b}, std::pair{&b, &a}}) {
            const auto wanted = lacking(test::got(to->ranges()), test::got(from->ranges()));
            const auto sent = test::got(from->those(wanted));
            CHECK(test::got(to->merge(sent)).added == sent.size());
        }
        CHECK(test::got(a.ranges()) == ranges_of(test::got(a.all())));
        CHECK(test::got(a.ranges()) == test::got(b.ranges()));
        CHECK(test::got(a.all()) == test::got(b.all()));
    }
}

TEST_CASE("merge: cancelled at any entry, the file is as it was") {
    const test::Folder folder;
    std::mt19937 random(16);
    Store from = test::open(folder("a")), to = test::open(folder("b"));
    test::write_season(from, random, 60);
    const auto entries = test::got(from.all());
    for (int run = 0; run < 3; ++run) {
        Progress progress;
        progress.cancelled = true;
        CHECK(to.merge(entries, &progress).error().code == ErrorCode::cancelled);
        CHECK(test::got(to.all()).empty());
    }
    Progress progress;
    CHECK(test::got(to.merge(entries, &progress)).added == entries.size());
    CHECK(progress.done == progress.total);
    CHECK(test::got(to.check()).found.empty());
}
