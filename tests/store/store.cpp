#include "core/store/store.h"

#include <sqlite3.h>

#include <array>
#include <fstream>
#include <thread>

#include "core/ledger/described.h"
#include "core/ledger/setup.h"
#include "tests/store/workshop.h"

using namespace restand;

namespace {

// What SQLite itself says to a statement on the file, as any other tool would ask it.
int sqlite_says(const std::string& path, const char* text, std::string* first = nullptr) {
    sqlite3* db = nullptr;
    sqlite3_open(path.c_str(), &db);
    const auto row = [](void* to, int, char** values, char**) {
        if (to && values[0]) *static_cast<std::string*>(to) = values[0];
        return 0;
    };
    const int code = sqlite3_exec(db, text, row, first, nullptr);
    sqlite3_close(db);
    return code;
}

}  // namespace

TEST_CASE("store: what was appended is there after opening again") {
    const test::Folder folder;
    Entry written;
    std::uint64_t device = 0;
    {
        Store store = test::open(folder("w.restand"));
        device = store.device();
        written = test::got(store.append({"person", {}, {}, {}, {}, R"({"name":"Ines"})"}));
        CHECK(written.number == 1);
        CHECK(written.previous == Hash{});
    }
    Store store = test::open(folder("w.restand"), Store::Mode::write);
    CHECK(store.writable());
    CHECK(store.device() == device);
    CHECK(test::got(store.find(written.id)) == written);
    const Entry next =
        test::got(store.append({"person", {}, written.id, written.id, {written.id}, R"({"name":"I."})"}));
    CHECK(next.number == 2);
    CHECK(next.previous == written.hash);
    CHECK(next.clock > written.clock);
    CHECK(next.id > written.id);
    CHECK(test::got(store.all()) == std::vector<Entry>{written, next});
    const Health health = test::got(store.check());
    CHECK(health.whole);
    CHECK(health.found.empty());
    CHECK(health.entries == 2);
}

TEST_CASE("store: ids are UUIDv7 with the clock's time (RFC 9562, 5.7)") {
    const test::Folder folder;
    Store store = test::open(folder("w.restand"));
    for (int i = 0; i < 20; ++i) {
        const Entry e = test::got(store.append({"person", {}, {}, {}, {}, "{}"}));
        CHECK((e.id.bytes[6] & 0xf0) == 0x70);
        CHECK((e.id.bytes[8] & 0xc0) == 0x80);
        std::int64_t ms = 0;
        for (int b = 0; b < 6; ++b) ms = ms << 8 | e.id.bytes[static_cast<std::size_t>(b)];
        CHECK(ms == e.clock.ms);
    }
}

TEST_CASE("store: several entries are written together or not at all") {
    const test::Folder folder;
    Store store = test::open(folder("w.restand"));
    CHECK(test::got(store.append_all({{"person", {}, {}, {}, {}, "{}"}, {"units", {}, {}, {}, {}, "{}"}}))
              .size() == 2);
    CHECK_FALSE(store.append_all({{"person", {}, {}, {}, {}, "{}"}, {"units", {}, {}, {}, {}, "no json"}}));
    CHECK(test::got(store.all()).size() == 2);
    CHECK(test::got(store.append({"person", {}, {}, {}, {}, "{}"})).number == 3);
    CHECK(test::got(store.check()).found.empty());
}

TEST_CASE("store: what cannot be an entry is refused") {
    const test::Folder folder;
    Store store = test::open(folder("w.restand"));
    CHECK(store.append({"", {}, {}, {}, {}, "{}"}).error().code == ErrorCode::out_of_range);
    CHECK(store.append({std::string(65, 'k'), {}, {}, {}, {}, "{}"}).error().code == ErrorCode::out_of_range);
    CHECK(store.append({"person", {}, {}, {}, {}, "[]"}).error().code == ErrorCode::damaged);
    CHECK(store.append({"person", {}, {}, {}, {}, R"({"name":")" + std::string(2 << 20, 'x') + "\"}"})
              .error()
              .code == ErrorCode::too_large);
    CHECK(test::got(store.all()).empty());
}

TEST_CASE("store: the file refuses update, delete and replacement from any program") {
    const test::Folder folder;
    const std::string path = folder("w.restand");
    {
        Store store = test::open(path);
        test::begin_swap(store);
    }
    const std::string before = test::bytes_of(path);
    CHECK(sqlite_says(path, "UPDATE entry SET kind='other'") == SQLITE_CONSTRAINT);
    CHECK(sqlite_says(path, "DELETE FROM entry") == SQLITE_CONSTRAINT);
    CHECK(sqlite_says(path, "INSERT OR REPLACE INTO entry SELECT * FROM entry LIMIT 1") == SQLITE_CONSTRAINT);
    CHECK(sqlite_says(path,
                      "INSERT INTO entry SELECT "
                      "randomblob(15),device,9,1,0,previous,kind,bike,about,author,supersedes,hash,"
                      "body FROM entry LIMIT 1") == SQLITE_CONSTRAINT);
    CHECK(test::bytes_of(path) == before);
}

TEST_CASE("store: any SQLite tool can read the readings") {
    const test::Folder folder;
    {
        Store store = test::open(folder("w.restand"));
        test::begin_swap(store);
    }
    std::string value;
    CHECK(sqlite_says(folder("w.restand"),
                      "SELECT json_extract(body,'$.value_mm') FROM entry WHERE "
                      "json_extract(body,'$.point')='eye_to_eye'",
                      &value) == SQLITE_OK);
    CHECK(value == "309.9");
}

TEST_CASE("store: its settings hold") {
    const test::Folder folder;
    const std::string path = folder("w.restand");
    std::string answer;
    {
        Store store = test::open(path);
        test::begin_swap(store);
        // While it is open its journal waits with a cleared head: nothing another program would roll back.
        std::ifstream journal(path + "-journal", std::ios::binary);
        std::array<char, 8> head{};
        CHECK(journal.read(head.data(), head.size()));
        CHECK(head == std::array<char, 8>{});
    }
    sqlite_says(path, "PRAGMA journal_mode", &answer);
    CHECK(answer == "delete");
    sqlite_says(path, "PRAGMA application_id", &answer);
    CHECK(answer == std::to_string(workshop_application_id));
    sqlite_says(path, "PRAGMA user_version", &answer);
    CHECK(answer == std::to_string(workshop_version));
    CHECK_FALSE(std::filesystem::exists(path + "-journal"));
    CHECK_FALSE(std::filesystem::exists(path + "-wal"));
}

TEST_CASE("store: a second writer is refused, a reader is not") {
    const test::Folder folder;
    const std::string path = folder("w.restand");
    {
        Store first = test::open(path);
        for (const auto mode : {Store::Mode::write, Store::Mode::create}) {
            const auto second = Store::open(path, mode);
            REQUIRE_FALSE(second);
            CHECK(second.error().code == ErrorCode::in_use);
            CHECK(second.error().subject == path);
        }
        Store reader = test::open(path, Store::Mode::read);
        CHECK_FALSE(reader.writable());
        CHECK(reader.append({"person", {}, {}, {}, {}, "{}"}).error().code == ErrorCode::read_only);
        CHECK(reader.merge({}).error().code == ErrorCode::read_only);
        CHECK(reader.keep_draft("x").error().code == ErrorCode::read_only);
        // What the writer adds, the reader sees.
        const Entry e = test::got(first.append({"person", {}, {}, {}, {}, "{}"}));
        CHECK(test::got(reader.all()) == std::vector<Entry>{e});
        // By another name for the same file too.
        std::filesystem::create_symlink(path, folder("other.restand"));
        CHECK(Store::open(folder("other.restand"), Store::Mode::write).error().code == ErrorCode::in_use);
    }
    CHECK(Store::open(path, Store::Mode::write));
}

TEST_CASE("store: a file that is moved away under it takes no entries into nowhere") {
    const test::Folder folder;
    Store store = test::open(folder("w.restand"));
    test::got(store.append({"person", {}, {}, {}, {}, "{}"}));
    std::filesystem::rename(folder("w.restand"), folder("moved.restand"));
    CHECK(store.append({"person", {}, {}, {}, {}, "{}"}).error().code == ErrorCode::io);
    std::filesystem::rename(folder("moved.restand"), folder("w.restand"));
    CHECK(test::got(store.append({"person", {}, {}, {}, {}, "{}"})).number == 2);
}

TEST_CASE("store: bounds on memory that overlap in two threads leave none behind") {
    const test::Folder folder;
    for (const char* name : {"one", "two"}) {
        Store store = test::open(folder(name));
        test::got(store.append(encode(PersonBody{"Noor"})));
    }
    const std::int64_t before = sqlite3_hard_heap_limit64(-1);
    const auto look = [&](const char* name) {
        for (int i = 0; i < 200; ++i) {
            const auto store = Store::open(folder(name), Store::Mode::read);
            if (!store || !store->check() || !store->check()->whole) return false;
        }
        return true;
    };
    bool other = false;
    std::thread beside([&] { other = look("two"); });
    const bool one = look("one");
    beside.join();
    CHECK(one);
    CHECK(other);
    CHECK(sqlite3_hard_heap_limit64(-1) == before);
}

TEST_CASE("store: a draft is kept until the next one") {
    const test::Folder folder;
    {
        Store store = test::open(folder("w.restand"));
        CHECK(test::got(store.draft()).empty());
        CHECK(store.keep_draft(std::string("a\0b", 3)));
        CHECK(store.keep_draft(std::string("30\0", 3)));
    }
    Store store = test::open(folder("w.restand"), Store::Mode::write);
    CHECK(test::got(store.draft()) == std::string("30\0", 3));
    CHECK(store.keep_draft(""));
    CHECK(test::got(store.draft()).empty());
}

TEST_CASE("opening: the open swap whole, of the rest what is needed") {
    const test::Folder folder;
    Store store = test::open(folder("w.restand"));
    const auto begun = test::begin_swap(store);
    const BaselineBody baseline{"first", {}};
    std::vector<Id> baselines;
    for (int i = 0; i < 3; ++i)
        baselines.push_back(test::got(store.append(encode(baseline, begun.bike, {}, begun.person))).id);
    // The newest is taken back: the one before it is what the bike stands on.
    test::got(store.append(encode(RetractionBody{}, begun.bike, {}, {}, {baselines[2]})));

    Ledger ledger = test::ledger_of(test::got(store.opening()));
    REQUIRE(ledger.open_swap(begun.bike));
    CHECK(ledger.open_swap(begun.bike)->stored_readings.size() == 2);
    CHECK(ledger.people().size() == 1);
    REQUIRE(ledger.baselines(begun.bike).size() == 1);
    CHECK(ledger.newest_baseline(begun.bike)->id == baselines[1]);

    // Ended: its readings stay on disk until asked for.
    const Id end = test::got(store.append(encode(SwapEndBody{true}, begun.bike, begun.swap))).id;
    ledger = test::ledger_of(test::got(store.opening()));
    CHECK_FALSE(ledger.open_swap(begun.bike));
    REQUIRE(ledger.swap(begun.swap));
    CHECK(ledger.swap(begun.swap)->stored_readings.empty());
    CHECK(read_into(ledger, test::got(store.about(begun.swap))).empty());
    CHECK(ledger.swap(begun.swap)->stored_readings.size() == 2);
    CHECK(read_into(ledger, test::got(store.of_bike(begun.bike, "baseline"))).empty());
    CHECK(ledger.baselines(begun.bike).size() == 2);

    // The end taken back: open again, and whole.
    test::got(store.append(encode(RetractionBody{}, begun.bike, begun.swap, {}, {end})));
    ledger = test::ledger_of(test::got(store.opening()));
    REQUIRE(ledger.open_swap(begun.bike));
    CHECK(ledger.open_swap(begun.bike)->stored_readings.size() == 2);
}

TEST_CASE("opening: what a bike's geometry was measured with is there behind newer baselines") {
    const test::Folder folder;
    Store store = test::open(folder("w.restand"));
    const Id bike = test::got(store.append(encode(test::bike("No. 27")))).id;
    const auto baseline = [&](std::initializer_list<std::pair<End, Point>> points) {
        BaselineBody body{"settled", {}, {}};
        for (const auto& [end, point] : points)
            body.values.push_back({end, {test::reading(point, "480"), {}, {}, {}, {}, false}});
        return test::got(store.append(encode(body, bike))).id;
    };
    constexpr std::pair rear{End::rear, Point::ride_height_static},
        front{End::front, Point::ride_height_static};
    const Id part = baseline({rear}), first = baseline({rear, front}), second = baseline({rear, front});
    const Id newest = baseline({front});
    const Id swap = test::got(store.append(encode(SwapBody{{SwapPart::shock}}, bike))).id;
    const auto described = [&](const Ledger& ledger, Clock until) {
        return setup_described(ledger, bike, until)->baseline;
    };
    Ledger ledger = test::ledger_of(test::got(store.opening()));
    CHECK(described(ledger, latest) == first);
    CHECK(described(ledger, ledger.swap(swap)->started) == first);
    CHECK(ledger.newest_baseline(bike)->id == newest);
    CHECK_FALSE(ledger.baseline(part));
    CHECK_FALSE(ledger.baseline(second));
    // The set-up of a moment brings it, too.
    const Clock begun = ledger.swap(swap)->started;
    const Ledger at_begin = test::ledger_of(test::got(store.setup(bike, begun)));
    CHECK(at_begin.baseline(first));
    // What is taken back describes nothing.
    test::got(store.append(encode(RetractionBody{}, bike, {}, {}, {first})));
    ledger = test::ledger_of(test::got(store.opening()));
    CHECK(described(ledger, latest) == second);
    // Measured again: then it belongs to the set-up of then, with the changes since its baseline.
    const Id last = baseline({rear, front});
    test::got(
        store.append(encode(ChangeBody{"", {{End::rear, test::reading(Point::axle_position, "28")}}}, bike)));
    BikeBody again = test::bike("No. 27");
    again.geometry.wheelbase = mm(1400);
    test::got(store.append(encode(again, bike, {}, {}, {bike})));
    baseline({rear, front});
    ledger = test::ledger_of(test::got(store.opening()));
    CHECK(described(ledger, latest) == last);
    CHECK(setup_described(ledger, bike)->length(End::rear, Point::axle_position) == mm(28));
}

TEST_CASE("store: a new bike and what is of it are written all together or not at all") {
    const test::Folder folder;
    Store store = test::open(folder("w.restand"));
    const auto written = test::got(store.append_new_bike(
        {encode(test::bike("No. 27")), encode(BaselineBody{"first"}), encode(ChangeBody{"then", {}})}));
    REQUIRE(written.size() == 3);
    CHECK(written[0].bike.nil());
    CHECK(written[1].bike == written[0].id);
    CHECK(written[2].bike == written[0].id);
    CHECK(test::got(store.all()) == written);
    // The last of them is refused: the first is not written either.
    NewEntry bad = encode(ChangeBody{"then", {}});
    bad.kind = "";
    CHECK_FALSE(store.append_new_bike({encode(test::bike("No. 8")), bad}));
    CHECK(test::got(store.all()) == written);
}

TEST_CASE("opening: a later version's entry that supersedes a bike is not left out") {
    const test::Folder folder;
    Store store = test::open(folder("w.restand"));
    const auto begun = test::begin_swap(store);
    const Entry quiet = test::got(store.append({"weather", begun.bike, {}, {}, {}, R"({"air_c":21})"}));
    const Entry loud =
        test::got(store.append({"bike_2", begun.bike, {}, {}, {begun.bike}, R"({"name":"27"})"}));
    const auto entries = test::got(store.opening());
    CHECK(std::find(entries.begin(), entries.end(), loud) != entries.end());
    CHECK(std::find(entries.begin(), entries.end(), quiet) == entries.end());
    CHECK(test::got(store.find(quiet.id)) == quiet);
    Ledger ledger;
    CHECK(read_into(ledger, entries).size() == 1);
    CHECK(ledger.bikes().empty());
}
