// Clocks that are wrong by years, through real files: what a device wrote after it had seen an entry follows
// it.

#include <sqlite3.h>

#include <algorithm>
#include <map>
#include <memory>
#include <random>
#include <set>
#include <tuple>

#include "core/ledger/setup.h"
#include "tests/store/workshop.h"

using namespace restand;

namespace {

constexpr std::int64_t year = 365ll * 86'400'000, ten_years = 10 * year;

ChangeBody change(const std::string& note, int preload) {
    return {note,
            {{End::rear, test::reading(Point::clicks_rebound_low, std::to_string(preload), Unit::click)}}};
}

// A device: its file, and a wall clock that may be wrong.
struct FarDevice {
    FarDevice(const std::string& path, const std::int64_t& true_ms)
        : now(true_ms),
          store(test::got(Store::open(path, Store::Mode::create, [this] { return now + wrong_by; }))) {}
    FarDevice(const FarDevice&) = delete;

    Entry set(const Id& bike, int preload) {
        return test::got(store.append(encode(change("preload " + std::to_string(preload), preload), bike)));
    }
    std::string stands(const Id& bike) const {
        const Ledger ledger = test::ledger_of(test::got(store.setup(bike, latest)));
        const SetUp setup = setup_at(bike, ledger.facts_of(bike));
        const StoredReading* take = setup.stored(End::rear, Point::clicks_rebound_low);
        return take ? take->reading.repeats.front().text : "";
    }
    Store::Merged take(const FarDevice& from) { return test::got(store.merge(test::got(from.store.all()))); }

    const std::int64_t& now;
    std::int64_t wrong_by = 0;
    Store store;
};

// Page by page, `limit` at a time.
std::vector<Id> pages(const Store& store, HistoryQuery query, std::size_t limit) {
    query.limit = limit;
    std::vector<Id> ids;
    for (bool more = true; more;) {
        const auto page = test::got(store.history(query));
        for (const Entry& e : page.moments) ids.push_back(e.id);
        more = page.more;
        if (more) query.before = {page.moments.back().clock, page.moments.back().id};
    }
    return ids;
}

// The order that Clock has is the one that SQL has, on every way of asking.
void check_order(const Store& store, const Id& bike) {
    const auto all = test::got(store.all());
    CHECK(std::is_sorted(all.begin(), all.end(), [](const Entry& a, const Entry& b) {
        return std::tie(a.clock, a.id) < std::tie(b.clock, b.id);
    }));
    std::vector<Id> newest_first;
    for (auto e = all.rbegin(); e != all.rend(); ++e)
        if (e->kind == "change") newest_first.push_back(e->id);
    for (const std::size_t limit : {1u, 3u, 100u}) {
        HistoryQuery query;
        CHECK(pages(store, query, limit) == newest_first);
        query.text = "preload";
        CHECK(pages(store, query, limit) == newest_first);
        query.bike = bike;
        CHECK(pages(store, query, limit) == newest_first);
    }
}

// As version 2 had it; `more`: SQL.
void make_version_2(const std::string& path, const std::string& more) {
    sqlite3* db = nullptr;
    REQUIRE(sqlite3_open(path.c_str(), &db) == SQLITE_OK);
    const std::string sql =
        "DROP INDEX entry_time; "
        "CREATE INDEX entry_time ON entry(bike,clock_ms,clock_counter,id,kind) WHERE kind IN "
        "('baseline','change','event','part','record','swap','tick','way'); "
        "PRAGMA user_version=2; " +
        more;
    REQUIRE(sqlite3_exec(db, sql.c_str(), nullptr, nullptr, nullptr) == SQLITE_OK);
    sqlite3_close(db);
}

// The last byte of the file's version in its header (SQLite file format, 1.3).
char version_byte(const std::string& path) {
    return test::bytes_of(path).at(63);
}

}  // namespace

TEST_CASE("clock: a device five years ahead does not overrule what another changed after having seen it") {
    const test::Folder folder;
    std::int64_t now = test::march_2026;
    FarDevice a(folder("a.restand"), now), b(folder("b.restand"), now);
    a.wrong_by = 5 * year;
    const Id bike = test::got(a.store.append(encode(test::bike("No. 27")))).id;
    const Entry five = a.set(bike, 5);
    now += 60'000;
    const auto taken = b.take(a);
    CHECK(taken.clock_apart_ms > 4 * year);
    const Entry nine = b.set(bike, 9);
    CHECK(b.stands(bike) == "9");
    CHECK(nine.clock > five.clock);
    CHECK(nine.clock.ms == now);  // dated by B's own wall clock
    now += 60'000;
    CHECK(a.take(b).clock_apart_ms < -4 * year);  // the other device has seen it too
    CHECK(a.stands(bike) == "9");

    // While A's clock is wrong, and when it is mended.
    now += 60'000;
    const Entry six = a.set(bike, 6);
    CHECK(six.clock.ms == now + 5 * year);
    CHECK(a.stands(bike) == "6");
    a.wrong_by = 0;
    now += 60'000;
    const Entry seven = a.set(bike, 7);
    CHECK(seven.clock.ms == now);
    CHECK(a.stands(bike) == "7");
    b.take(a);
    CHECK(b.stands(bike) == "7");
    check_order(a.store, bike);
    check_order(b.store, bike);
    CHECK(test::got(a.store.check()).found.empty());
    // Devices whose clocks agree say nothing of them.
    now += 60'000;
    b.set(bike, 8);
    CHECK(a.take(b).clock_apart_ms == 0);
}

TEST_CASE(
    "clock: two to five devices ten years apart, over real files: what was seen and then changed stands") {
    std::mt19937 random(12);
    for (int history = 0; history < 200; ++history) {
        const test::Folder folder;
        std::int64_t now = test::march_2026;
        std::vector<std::unique_ptr<FarDevice>> devices;
        const auto set_clock = [&](FarDevice& d) {
            d.wrong_by = random() % 2
                             ? 0
                             : static_cast<std::int64_t>(random() % 2001) * (ten_years / 1000) - ten_years;
        };
        for (std::size_t i = 0, n = 2 + random() % 4; i < n; ++i) {
            devices.push_back(std::make_unique<FarDevice>(folder(std::to_string(i)), now));
            set_clock(*devices.back());
        }
        const Id bike = test::got(devices[0]->store.append(encode(test::bike("No. 27")))).id;
        std::map<Id, std::set<Id>> seen;  // by an entry's writer
        const auto overruled = [&](const FarDevice& d) {
            const auto held = test::got(d.store.all());
            const auto changes = test::got(d.store.setup(bike, latest));
            if (changes.empty()) return;
            for (const Entry& e : held)
                if (const auto by = seen.find(e.id); by != seen.end())
                    CHECK_FALSE(by->second.contains(changes.back().id));
        };
        for (int i = 0; i < 24; ++i) {
            now += static_cast<std::int64_t>(random() % 4) * 20'000'000;
            FarDevice& d = *devices[random() % devices.size()];
            const unsigned what = random() % 10;
            if (what == 0) {
                set_clock(d);
            } else if (what < 5) {
                std::set<Id> before;
                for (const Entry& e : test::got(d.store.all())) before.insert(e.id);
                const Entry made = d.set(bike, i);
                seen[made.id] = before;
                CHECK(d.stands(bike) == std::to_string(i));
            } else {
                d.take(*devices[random() % devices.size()]);
                overruled(d);
            }
        }
        for (int round = 0; round < 2; ++round)
            for (auto& to : devices)
                for (auto& from : devices)
                    if (to != from) to->take(*from);
        for (auto& d : devices) {
            overruled(*d);
            CHECK(d->stands(bike) == devices[0]->stands(bike));
        }
        check_order(devices[0]->store, bike);
    }
}

TEST_CASE("clock: a damaged device row of a later epoch that no entry bears falls back on the entries") {
    const test::Folder folder;
    const std::string path = folder("w.restand");
    std::int64_t wall = test::march_2026 + year;
    const auto next = [&] {
        auto store = test::got(Store::open(path, Store::Mode::create, [&] { return wall; }));
        return test::got(store.append(encode(PersonBody{"Ilse"}))).clock;
    };
    next();
    wall = test::march_2026;
    CHECK(next() == Clock{test::march_2026, 1 << 16});
    CHECK(next() == Clock{test::march_2026, (1 << 16) + 1});  // one that an entry bears is kept
    sqlite3* db = nullptr;
    REQUIRE(sqlite3_open(path.c_str(), &db) == SQLITE_OK);
    CHECK(sqlite3_exec(db, "UPDATE device SET clock_counter=7<<16", nullptr, nullptr, nullptr) == SQLITE_OK);
    sqlite3_close(db);
    CHECK(next() == Clock{test::march_2026, (1 << 16) + 2});
}

TEST_CASE("upgrade: a file of version 2 gets its time line in the order of epochs, and is whole") {
    const test::Folder folder;
    const std::string path = folder("w.restand");
    for (const bool stepped : {false, true}) {
        std::int64_t now = test::march_2026;
        Id bike;
        std::vector<Entry> before;
        {
            FarDevice a(path, now);
            a.wrong_by = stepped ? year : 0;
            bike = test::got(a.store.append(encode(test::bike("No. 27")))).id;
            a.set(bike, 5);
            a.wrong_by = 0;
            a.set(bike, 9);
            before = test::got(a.store.all());
        }
        make_version_2(path, "");
        // Read as it is, and brought up.
        for (const auto mode : {Store::Mode::read, Store::Mode::write}) {
            const Store store = test::open(path, mode);
            CHECK(test::got(store.all()) == before);
            check_order(store, bike);
            CHECK(test::got(store.check()).found.empty());
        }
        CHECK(version_byte(path) == static_cast<char>(workshop_version));
        std::filesystem::remove(path);
    }
}

TEST_CASE("upgrade: a file of version 2 that holds an entry of the future goes past it") {
    const test::Folder folder;
    const std::string path = folder("b.restand");
    std::int64_t now = test::march_2026;
    Id bike;
    {
        FarDevice a(folder("a.restand"), now), b(path, now);
        a.wrong_by = 5 * year;
        bike = test::got(a.store.append(encode(test::bike("No. 27")))).id;
        a.set(bike, 5);
        b.take(a);
    }
    // Version 2 was not pulled along by such a clock.
    make_version_2(path, "UPDATE device SET clock_ms=0,clock_counter=0");
    FarDevice b(path, now);
    const Entry nine = b.set(bike, 9);
    CHECK(b.stands(bike) == "9");
    CHECK(nine.clock.ms == now);
}
