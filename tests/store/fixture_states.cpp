// The fifth files, as fixture.cpp has the others: how a bike is read, what it carries, what is inside a unit, a
// target. They must open for ever.

#include "tests/store/fixture_files.h"

using namespace restand;
using test::folder_of_fixtures;
using test::write_files;

namespace {
void write_states(Store& store) {
    const Id bike = test::begin_swap(store).bike;
    const auto say = [&](const Body& body, const Id& of, const Id& about = {}) {
        return test::got(store.append(encode(body, of, about))).id;
    };
    BikeBody other;
    other.name = "No. 5";
    other.how_read = {FrontHeights::along_fork, Stand::swingarm};
    const Id second = say(other, {});
    const Id tank = say(SwapBody{{SwapPart::shock, SwapPart::load}}, second);
    const auto read = [&](Phase phase, Point point, const char* text) {
        const Unit unit = chosen({}, facts(point).dimension);
        say(ReadingBody{phase, test::reading(point, text, unit)}, second, tank);
    };
    for (const auto& [point, text] : {std::pair{Point::fitted_mass, "6.2"},
                                      {Point::fitted_mass_ahead, "820"},
                                      {Point::fuel, "9"},
                                      {Point::rider_mass, "76"},
                                      {Point::wheel_weight, "98"},
                                      {Point::damper_temperature, "-4"},
                                      {Point::unsprung_mass, "19"},
                                      {Point::top_out_rate, "40"},
                                      {Point::top_out_reach, "8"},
                                      {Point::helper_rate, "20"},
                                      {Point::helper_free_length, "30"},
                                      {Point::helper_block_length, "10"},
                                      {Point::bump_travel, "45"},
                                      {Point::bump_rate, "60"},
                                      {Point::rod_diameter, "14"},
                                      {Point::gas_volume, "80"},
                                      {Point::spring_preload, "9"},
                                      {Point::preload_turns, "6"}})
        read(Phase::before, point, text);
    read(Phase::new_part, Point::spring_moved, "1");
    read(Phase::new_part, Point::fitted_mass, "3.4");
    say(
        RecordBody{
            "2026-10-04", "base setting, typed", {{End::rear, test::reading(Point::spring_preload, "11")}}},
        second);
    PartBody chain;
    chain.name = "Chain 520", chain.used_km = 61.5;
    const Id part = say(chain, second);
    chain.gone = true;
    say(chain, second, part);
    say(PartBody{.name = "Chain 520", .limit_km = {}, .limit_h = {}, .used_km = 61.5}, bike, part);
}
}  // namespace

TEST_CASE("fixture: write the fifth files" * doctest::skip()) {
    write_files("fifth", 1'797'000'000'000, write_states);
}

TEST_CASE("fixture: the fifth workshop file and bundle: the bike's state, the insides of a unit, a target") {
    const test::Folder folder;
    const std::string path = folder("fifth.restand");
    test::write_bytes(path, test::bytes_of(folder_of_fixtures + "fifth.restand"));
    Store store = test::open(path, Store::Mode::write);
    CHECK(test::got(store.check()).found.empty());
    const auto all = test::got(store.all());
    Ledger ledger;
    CHECK(read_into(ledger, all).empty());
    const auto bikes = ledger.bikes();
    REQUIRE(bikes.size() == 2);
    const Bike& second = bikes[0]->body.name == "No. 5" ? *bikes[0] : *bikes[1];
    CHECK(second.body.how_read == HowRead{FrontHeights::along_fork, Stand::swingarm});
    const Swap* tank = ledger.open_swap(second.id);
    REQUIRE(tank != nullptr);
    CHECK(tank->has(SwapPart::load));
    const auto value = [&](Phase phase, Point point) {
        const StoredReading* stored = tank->stored({phase, End::rear, point});
        return stored ? measured(stored->reading).value : -1.0;
    };
    CHECK(value(Phase::before, Point::damper_temperature) == -4);
    CHECK(value(Phase::before, Point::gas_volume) == 80'000);
    CHECK(value(Phase::before, Point::helper_block_length) == 10);
    CHECK(value(Phase::new_part, Point::fitted_mass) == doctest::Approx(3.4));
    CHECK(stays(*tank, End::rear, Point::spring_rate));
    const SyncBundle sync_bundle =
        test::got(read_sync_bundle(test::bytes_of(folder_of_fixtures + "fifth.bundle")));
    CHECK(sync_bundle.entries == all);
    Store other = test::open(folder("other.restand"));
    CHECK(test::got(other.merge(sync_bundle.entries)).added == all.size());
}
