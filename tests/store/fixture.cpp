// Files of the first format. They were written once and must open for ever; a failure here is a broken
// promise, and the cure is never to write them anew.
//   test_store -ns -tc="fixture: write*"    made them; it refuses to replace one

#include "core/exchange/bundle.h"
#include "core/store/file.h"
#include "tests/store/workshop.h"

using namespace restand;

namespace {

const std::string folder_of_fixtures = std::string(RESTAND_SOURCE_DIR) + "/tests/fixtures/";

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
                           {test::reading(Point::ride_height_rider, "469,8"), begun.first, begun.person,
                            1'790'000'000'000, begun.swap, false}});
    test::got(store.append_all({encode(kept, begun.bike, begun.swap, begun.person),
                                encode(SwapEndBody{true}, begun.bike, begun.swap, begun.person)}));
    test::got(store.append({"weather", begun.bike, {}, begun.person, {}, R"({ "air_c" : 2.1e1 })"}));
    REQUIRE(store.keep_draft("half typed"));
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
    CHECK(swap.kind == SwapKind::shock);
    CHECK(swap.step == Step6::keep);
    CHECK(swap.takes.size() == 2);
    const auto& length = swap.takes.at({Phase::before, Point::eye_to_eye});
    REQUIRE(length.size() == 1);
    CHECK(length[0].reading == test::reading(Point::eye_to_eye, "12 5/16", Unit::inch));
    CHECK(length[0].confirmed);
    REQUIRE(ledger.newest_baseline(bike.id));
    CHECK(ledger.newest_baseline(bike.id)->body.reason == "as before, new damper");
    CHECK(ledger.newest_baseline(bike.id)->body.values.at(0).take.at_ms == 1'790'000'000'000);

    CHECK(test::got(store.append(encode(PersonBody{"Tom"}))).number == 15);
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
