// Files of every format that was released. They were written once and must open for ever; a failure here is a
// broken promise, and the cure is never to write them anew.
//   test_store -ns -tc="fixture: write the first files"     made first.restand and first.bundle (by version
//   1)
//   test_store -ns -tc="fixture: write the second files"    made second.restand and second.bundle
//   test_store -ns -tc="fixture: write the third files"     made third.restand and third.bundle (by version
//   2)
//   test_store -ns -tc="fixture: write the fourth files"    made fourth.restand and fourth.bundle (by version
//   3)
//   test_store -ns -tc="fixture: write the fifth files"     made fifth.restand and fifth.bundle (by version
//   3)
// Each refuses to replace one.

#include <functional>
#include <set>

#include "core/codec/bundle.h"
#include "core/files/file.h"
#include "core/ledger/setup.h"
#include "core/store/wall.h"
#include "tests/store/fixture_files.h"

using namespace restand;
using test::folder_of_fixtures;
using test::write_files;

namespace {

// One entry of every kind, a correction, an undo, and a kind nobody knows yet.
void write_season(Store& store) {
    const auto begun = test::begin_swap(store);
    const auto say = [&](const Body& body, std::vector<Id> supersedes = {}) {
        return test::got(
                   store.append(encode(body, begun.bike, begun.swap, begun.person, std::move(supersedes))))
            .id;
    };
    test::got(store.append(encode(UnitsBody{{.length = Unit::inch, .rate = Unit::lbf_per_in}})));
    say(ReadingBody{Phase::before, test::reading(Point::eye_to_eye, "12 5/16", Unit::inch), true},
        {begun.second});
    const Id wrong = say(ReadingBody{Phase::new_part, test::reading(Point::travel, "56"), false});
    say(RetractionBody{"misread"}, {wrong});
    say(StepBody{Step6::keep}, {begun.step});
    BaselineBody kept{"as before, new damper", {}};
    kept.values.push_back({End::rear,
                           {test::reading(Point::ride_height_rider, "469,8"),
                            begun.first,
                            begun.person,
                            {1'790'000'000'000, 0},
                            begun.swap,
                            false}});
    test::got(store.append_all({encode(kept, begun.bike, begun.swap, begun.person),
                                encode(SwapEndBody{true}, begun.bike, begun.swap, begun.person)}));
    test::got(store.append({"weather", begun.bike, {}, begun.person, {}, R"({ "air_c" : 2.1e1 })"}));
    REQUIRE(store.keep_draft("half typed"));
}

Id bike_of(const Store& store) {
    Ledger ledger;
    (void)read_into(ledger, test::got(store.all()));
    return ledger.bikes().at(0)->id;
}

// One more entry of every kind that the season ledger added.
void write_season_ledger(Store& store) {
    write_season(store);
    const Id bike = bike_of(store);
    const auto say = [&](const Body& body, const Id& about = {}, std::vector<Id> supersedes = {}) {
        return test::got(store.append(encode(body, bike, about, {}, std::move(supersedes)))).id;
    };
    const SetValue clicks{End::rear, {Point::clicks_rebound_low, {{"11", Unit::click}}, {}, "from closed"}};
    const SetValue tyre{End::rear, {Point::tyre, {{"Slick 120 soft", Unit::one}}, {}, ""}};
    const Id ground = test::got(store.setup(bike, latest)).front().id;
    say(ChangeBody{"more rebound", {clicks, tyre}});
    EventBody event;
    event.day = "2026-03-14", event.circuit = "Hillside", event.session = "second practice",
    event.weather = "wet";
    event.tyre = "Wet 110", event.words = "late on the brakes", event.distance_km = 61.5,
    event.running_h = 0.75;
    event.air_c = 12.0, event.track_c = 15.5;
    const Id heard = say(event);
    event.words = "late on the brakes, rear light";
    say(event, {}, {heard});
    PartBody chain;
    chain.name = "Chain 520", chain.limit_km = 900.0, chain.limit_h = 20.0, chain.used_km = 61.5;
    const Id first = say(chain);
    chain.used_km = 0.0;
    say(chain, first, {first});
    const Id plan = say(PlanBody{ground});
    say(PlanStepBody{"set_clicks:rear:clicks_rebound_low", {clicks}}, plan);
    say(PlanEndBody{true}, plan);
    say(PlanBody{ground});
    say(RecordBody{"2025-09-02", "old table", {clicks}});
    say(BaselineBody{"settled", ground, {}});
    test::got(store.append(encode(DeviceBody{"truck", "00000000000000ff", ""})));
}

// And of what came with the whole bike: parts on the shelf, several parts in one swap, readings at its other
// end.
void write_whole_bike(Store& store) {
    write_season_ledger(store);
    const Id bike = bike_of(store);
    const auto say = [&](const Body& body, const Id& of, const Id& about = {},
                         std::vector<Id> supersedes = {}) {
        return test::got(store.append(encode(body, of, about, {}, std::move(supersedes)))).id;
    };
    ShelfBody spring{
        SwapPart::shock_spring, "blue", {test::reading(Point::spring_rate, "95", Unit::n_per_mm)}, false};
    const Id item = say(spring, {});
    spring.values.push_back(test::reading(Point::spring_free_length, "160"));
    say(spring, {}, item, {item});
    const Id swap = say(SwapBody{{SwapPart::shock_spring, SwapPart::sprockets, SwapPart::front_tyre}}, bike);
    say(PickBody{item}, bike, swap);
    say(ReadingBody{Phase::new_part, test::reading(Point::spring_rate, "95", Unit::n_per_mm)}, bike, swap);
    say(ReadingBody{Phase::before, test::reading(Point::fork_position, "6"), false, End::front}, bike, swap);
    for (const auto& [point, text] : {std::pair{Point::rolling_circumference, "1879"},
                                      {Point::fork_oil_level, "120"},
                                      {Point::fork_bore, "43"}})
        say(ReadingBody{Phase::before, test::reading(point, text), false, End::front}, bike, swap);
    say(ReadingBody{Phase::before, test::reading(Point::link_rod, "110")}, bike, swap);
}

}  // namespace

TEST_CASE("fixture: write the first files" * doctest::skip()) {
    REQUIRE_FALSE(std::filesystem::exists(folder_of_fixtures + "first.restand"));
    const test::Folder folder;
    std::vector<Entry> entries;
    {
        Store store = test::open(folder("first.restand"));
        write_season(store);
        entries = test::got(store.all());
    }
    REQUIRE(
        write_file_durably(folder_of_fixtures + "first.restand", test::bytes_of(folder("first.restand"))));
    REQUIRE(write_file_durably(folder_of_fixtures + "first.bundle", write_bundle(entries)));
}

TEST_CASE("fixture: the first workshop file opens, reads and takes a new entry") {
    const test::Folder folder;
    const std::string path = folder("first.restand");
    test::write_bytes(path, test::bytes_of(folder_of_fixtures + "first.restand"));
    Store store = test::open(path, Store::Mode::write);
    const Health health = test::got(store.check());
    CHECK(health.whole);
    CHECK(health.found.empty());
    CHECK(health.entries == 14);
    CHECK(test::got(store.draft()) == "half typed");

    Ledger ledger;
    const auto unread = read_into(ledger, test::got(store.all()));
    REQUIRE(unread.size() == 1);
    CHECK(unread[0].error == Error{ErrorCode::not_found, "weather", ""});
    CHECK(test::got(store.find(unread[0].entry))->body == R"({ "air_c" : 2.1e1 })");

    REQUIRE(ledger.people().size() == 1);
    CHECK(ledger.people()[0]->name == "Ines");
    CHECK(ledger.units() == UnitChoice{.length = Unit::inch, .rate = Unit::lbf_per_in});
    REQUIRE(ledger.bikes().size() == 1);
    const Bike& bike = *ledger.bikes()[0];
    CHECK(bike.body.name == "No. 27");
    CHECK(bike.body.rear.pairs == test::bike("").rear.pairs);
    REQUIRE(ledger.swaps(bike.id).size() == 1);
    const Swap& swap = *ledger.swaps(bike.id)[0];
    CHECK(swap.kept);
    CHECK(swap.parts == std::vector{SwapPart::shock});
    CHECK(swap.step == Step6::keep);
    CHECK(swap.stored_readings.size() == 2);
    const auto& length = swap.stored_readings.at({Phase::before, End::rear, Point::eye_to_eye});
    REQUIRE(length.size() == 1);
    CHECK(length[0].reading == test::reading(Point::eye_to_eye, "12 5/16", Unit::inch));
    CHECK(length[0].confirmed);
    REQUIRE(ledger.newest_baseline(bike.id));
    CHECK(ledger.newest_baseline(bike.id)->body.reason == "as before, new damper");
    CHECK(ledger.newest_baseline(bike.id)->body.values.at(0).stored.at.ms == 1'790'000'000'000);

    CHECK(test::got(store.append(encode(PersonBody{"Noor"}))).number == 15);
    CHECK(test::got(store.check()).found.empty());
}

TEST_CASE("fixture: the first bundle holds the same entries") {
    const test::Folder folder;
    test::write_bytes(folder("first.restand"), test::bytes_of(folder_of_fixtures + "first.restand"));
    const Store store = test::open(folder("first.restand"), Store::Mode::read);
    const auto bundled = test::got(read_bundle(test::bytes_of(folder_of_fixtures + "first.bundle")));
    CHECK(bundled == test::got(store.all()));
    Store other = test::open(folder("other.restand"));
    CHECK(test::got(other.merge(bundled)).added == 14);
    CHECK(test::got(other.check()).found.empty());
}

TEST_CASE("fixture: write the second files" * doctest::skip()) {
    write_files("second", 1'790'000'000'000, write_season_ledger);
}

TEST_CASE("fixture: the first workshop file is brought up, and read as it is where it may not be written") {
    const test::Folder folder;
    const std::string path = folder("first.restand");
    test::write_bytes(path, test::bytes_of(folder_of_fixtures + "first.restand"));
    HistoryQuery damper;
    damper.text = "new damp";
    std::vector<Entry> opening;
    {
        const Store reader = test::open(path, Store::Mode::read);
        CHECK(test::got(reader.history(damper)).moments.size() == 1);
        CHECK(test::got(reader.history({})).moments.size() == 2);  // the swap and its baseline
        opening = test::got(reader.opening());
    }
    CHECK(test::bytes_of(path) == test::bytes_of(folder_of_fixtures + "first.restand"));
    const Store store = test::open(path, Store::Mode::write);
    CHECK(test::got(store.history(damper)).moments.size() == 1);
    CHECK(test::got(store.opening()) == opening);
    CHECK(test::got(store.check()).found.empty());
}

TEST_CASE("fixture: the second workshop file opens, reads and takes a new entry") {
    const test::Folder folder;
    const std::string path = folder("second.restand");
    test::write_bytes(path, test::bytes_of(folder_of_fixtures + "second.restand"));
    Store store = test::open(path, Store::Mode::write);
    const Health health = test::got(store.check());
    CHECK(health.whole);
    CHECK(health.found.empty());
    CHECK(health.entries == 26);

    const Id bike = bike_of(store);
    std::set<std::string> kinds;
    for (const Entry& e : test::got(store.all())) kinds.insert(e.kind);
    CHECK(kinds.size() == 18);  // every kind of its day, and one of a later
    HistoryQuery wet;
    wet.bike = bike;
    wet.text = "wet brak";
    const HistoryPage page = test::got(store.history(wet));
    REQUIRE(page.moments.size() == 2);
    CHECK(page.set_aside == std::set<Id>{page.moments[1].id});
    CHECK(test::got(store.part_names(bike)) ==
          std::vector<std::string>{"Chain 520", "Slick 120 soft", "Wet 110"});
    Ledger ledger;
    CHECK(read_into(ledger, test::got(store.opening())).empty());
    REQUIRE(ledger.newest_baseline(bike));
    CHECK(ledger.newest_baseline(bike)->body.reason == "settled");
    CHECK(ledger.open_plan(bike));
    CHECK(ledger.device_name(0xff) == "truck");
    CHECK(test::got(store.append(encode(PersonBody{"Noor"}))).number == 27);
    CHECK(test::got(store.check()).found.empty());
}

TEST_CASE("fixture: the second bundle holds the same entries, and says what its device holds") {
    const test::Folder folder;
    test::write_bytes(folder("second.restand"), test::bytes_of(folder_of_fixtures + "second.restand"));
    const Store store = test::open(folder("second.restand"), Store::Mode::read);
    const SyncBundle sync_bundle =
        test::got(read_sync_bundle(test::bytes_of(folder_of_fixtures + "second.bundle")));
    CHECK(sync_bundle.entries == test::got(store.all()));
    CHECK(sync_bundle.sender.holds == test::got(store.ranges()));
    CHECK(sync_bundle.sender.name == "truck");
    Store other = test::open(folder("other.restand"));
    CHECK(test::got(other.merge(sync_bundle.entries)).added == 26);
    CHECK(test::got(other.check()).found.empty());
}

TEST_CASE("fixture: write the third files" * doctest::skip()) {
    write_files("third", 1'795'000'000'000, write_whole_bike);
}

TEST_CASE(
    "fixture: the third workshop file and bundle: shelf, several parts in one swap, readings at both ends") {
    const test::Folder folder;
    const std::string path = folder("third.restand");
    test::write_bytes(path, test::bytes_of(folder_of_fixtures + "third.restand"));
    Store store = test::open(path, Store::Mode::write);
    CHECK(test::got(store.check()).found.empty());
    Ledger ledger;
    CHECK(read_into(ledger, test::got(store.opening())).empty());
    REQUIRE(ledger.shelf().size() == 1);
    CHECK(ledger.shelf()[0]->body.values.size() == 2);
    const Swap* swap = ledger.open_swap(bike_of(store));
    REQUIRE(swap);
    CHECK(swap->parts == std::vector{SwapPart::shock_spring, SwapPart::sprockets, SwapPart::front_tyre});
    REQUIRE(swap->picks.size() == 1);
    CHECK(swap->picks[0].item == ledger.shelf()[0]->id);
    CHECK(swap->stored({Phase::before, End::front, Point::fork_position}));
    CHECK(swap->stored({Phase::before, End::front, Point::fork_bore}));
    CHECK(swap->stored({Phase::before, End::rear, Point::link_rod}));
    CHECK(!swap->stored({Phase::before, End::rear, Point::fork_position}));
    const SyncBundle sync_bundle =
        test::got(read_sync_bundle(test::bytes_of(folder_of_fixtures + "third.bundle")));
    CHECK(sync_bundle.entries == test::got(store.all()));
    Store other = test::open(folder("other.restand"));
    CHECK(test::got(other.merge(sync_bundle.entries)).added == sync_bundle.entries.size());
    CHECK(test::got(store.append(encode(PersonBody{"Noor"}))).number == sync_bundle.entries.size() + 1);
}

namespace {
std::int64_t fourth_wall_ms = 0;

// The clock is five years ahead, and then set right.
void write_two_epochs(Store& store) {
    fourth_wall_ms = 1'955'000'000'000;
    write_whole_bike(store);
    fourth_wall_ms = 1'796'000'000'000;
    const SetValue clicks{End::rear, {Point::clicks_rebound_low, {{"9", Unit::click}}, {}, ""}};
    test::got(store.append(encode(ChangeBody{"set right", {clicks}}, bike_of(store))));
}
}  // namespace

TEST_CASE("fixture: write the fourth files" * doctest::skip()) {
    write_files("fourth", 1'796'000'000'000, write_two_epochs, [] { return fourth_wall_ms; });
}

TEST_CASE(
    "fixture: the fourth workshop file and bundle: what was written after a clock was set right stands") {
    const test::Folder folder;
    const std::string path = folder("fourth.restand");
    test::write_bytes(path, test::bytes_of(folder_of_fixtures + "fourth.restand"));
    CHECK(test::bytes_of(path).at(63) == 3);  // the file's version (SQLite file format, 1.3)
    Store store = test::open(path, Store::Mode::write);
    CHECK(test::got(store.check()).found.empty());
    const auto all = test::got(store.all());
    CHECK(all.back().clock == Clock{1'796'000'000'000, 1 << 16});
    CHECK(all.front().clock.ms > all.back().clock.ms);
    const Id bike = bike_of(store);
    Ledger ledger;
    CHECK(read_into(ledger, test::got(store.setup(bike, latest))).empty());
    const SetUp setup = setup_at(bike, ledger.facts_of(bike));
    const StoredReading* clicks = setup.stored(End::rear, Point::clicks_rebound_low);
    CHECK((clicks && clicks->reading.repeats.front().text == "9"));
    const SyncBundle sync_bundle =
        test::got(read_sync_bundle(test::bytes_of(folder_of_fixtures + "fourth.bundle")));
    CHECK(sync_bundle.entries == all);
    Store other = test::open(folder("other.restand"));
    CHECK(test::got(other.merge(sync_bundle.entries)).added == all.size());
}
