#include "core/ledger/ledger.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>
#include <sstream>

#include "tests/unit/ledger_kit.h"

using namespace restand;
using test::fact;
using test::fold;
using test::id;

namespace {

ReadingBody read(Phase phase, Point point, std::string text) {
    return {phase, {point, {{text, Unit::mm}}, {}, {}}};
}
BikeBody named(std::string name) {
    BikeBody b;
    b.name = std::move(name);
    return b;
}

// A small season: two people, two bikes, three swaps, corrections, an undo, edits by two devices.
std::vector<Fact> season_of_swaps() {
    const Id bike = id(10), other = id(20), swap = id(30), kept = id(60), gone = id(70);
    return {
        fact({1, 1, PersonBody{"Ines"}}),
        fact({2, 2, PersonBody{"Nor"}}),
        fact({3, 40, PersonBody{"Noor"}, {}, id(2), {id(2)}}),
        fact({4, 3, UnitsBody{}}),
        fact({5, 50, UnitsBody{{.length = Unit::inch}}}),
        fact({10, 4, named("27")}),
        fact({11, 5, named("27 wet"), bike, {}, {bike}}),
        fact({12, 6, named("27 dry"), bike, {}, {bike}}),  // another device that did not have 11
        fact({20, 7, named("91")}),
        fact({30, 10, SwapBody{{SwapPart::shock}}, bike}),
        fact({31, 11, StepBody{Step6::before}, bike, swap}),
        fact({32, 12, read(Phase::before, Point::eye_to_eye, "309,9"), bike, swap}),
        fact({33, 13, read(Phase::before, Point::eye_to_eye, "310,1"), bike, swap, {id(32)}}),
        fact({34, 14, read(Phase::before, Point::ride_height_rider, "469"), bike, swap}),
        fact({35, 15, read(Phase::before, Point::ride_height_rider, "470"), bike, swap}),  // disagrees
        fact({36, 16, StepBody{Step6::new_part}, bike, swap, {id(31)}}),
        fact({37, 17, read(Phase::new_part, Point::travel, "66"), bike, swap}),
        fact({38, 18, RetractionBody{"wrong part"}, bike, swap, {id(37)}}),
        fact({60, 20, SwapBody{{SwapPart::fork}}, other}),
        fact({61, 21, BaselineBody{"first", {}}, other, kept}),
        fact({62, 22, SwapEndBody{true}, other, kept}),
        fact({63, 23, BaselineBody{"later", {}}, other}),
        fact({70, 24, SwapBody{{SwapPart::fork_springs}}, other}),
        fact({71, 25, SwapEndBody{false}, other, gone}),
    };
}

// The answers to all queries of the ledger, as text.
std::string print_swaps(const Ledger& ledger) {
    std::ostringstream out;
    for (const Person* p : ledger.people()) out << p->name << ' ' << to_text(p->id) << '\n';
    out << symbol(ledger.units().length) << '\n';
    for (const Bike* b : ledger.bikes(true)) {
        out << b->body.name << ' ' << to_text(b->entry) << ' ' << b->at.ms << " rivals";
        for (const BikeBody& r : b->rivals) out << ' ' << r.name;
        for (const Baseline* s : ledger.baselines(b->id))
            out << "\n baseline " << s->body.reason << to_text(s->swap);
        for (const Swap* s : ledger.swaps(b->id)) {
            out << "\n swap " << to_text(s->id) << key(s->step) << s->kept << s->abandoned << s->started.ms;
            for (const auto& [at, stored_readings] : s->stored_readings)
                for (const StoredReading& t : stored_readings)
                    out << "\n  " << key(at.phase) << facts(at.point).key << t.reading.repeats[0].text
                        << t.at.ms;
        }
        out << '\n';
    }
    const auto undo = ledger.last_undoable();
    return out.str() + (undo ? to_text(undo->entry.id) : "-");
}

}  // namespace

TEST_CASE("fold: any order of entries, any number of times, gives the same state") {
    auto facts = season_of_swaps();
    const std::string expected = print_swaps(fold(facts));
    std::mt19937 random(7);
    for (int run = 0; run < 500; ++run) {
        std::shuffle(facts.begin(), facts.end(), random);
        auto twice = facts;
        twice.insert(twice.end(), facts.begin(), facts.begin() + run % 20);
        std::shuffle(twice.begin(), twice.end(), random);
        REQUIRE(print_swaps(fold(twice)) == expected);
    }
}

TEST_CASE("fold: leaving any one entry out changes the state") {
    // Control: otherwise the test of orders would compare too little. These entries no longer count: 2 is
    // replaced by 3, 10 by 11 and 12, 31 by 36, 32 by 33; 37 is undone; 4 is an older choice of units.
    const auto facts = season_of_swaps();
    const std::string expected = print_swaps(fold(facts));
    for (std::size_t i = 0; i < facts.size(); ++i) {
        auto fewer = facts;
        fewer.erase(fewer.begin() + static_cast<std::ptrdiff_t>(i));
        const int n = facts[i].entry.id.bytes[15];
        const bool silent = n == 2 || n == 4 || n == 10 || n == 31 || n == 32 || n == 37;
        INFO("entry " << n);
        CHECK((print_swaps(fold(fewer)) == expected) == silent);
    }
}

TEST_CASE("fold: what stands in the season") {
    const Ledger ledger = fold(season_of_swaps());
    REQUIRE(ledger.people().size() == 2);
    CHECK(ledger.person(id(2))->name == "Noor");
    CHECK(ledger.units().length == Unit::inch);
    REQUIRE(ledger.bikes().size() == 2);
    const Bike* bike = ledger.bike(id(10));
    REQUIRE(bike);
    CHECK(bike->body.name == "27 dry");
    REQUIRE(bike->rivals.size() == 1);
    CHECK(bike->rivals[0].name == "27 wet");

    const Swap* swap = ledger.open_swap(id(10));
    REQUIRE(swap);
    CHECK(swap->step == Step6::new_part);
    const auto& lengths = swap->stored_readings.at({Phase::before, End::rear, Point::eye_to_eye});
    REQUIRE(lengths.size() == 1);
    CHECK(lengths[0].reading.repeats[0].text == "310,1");
    CHECK(lengths[0].swap == id(30));
    const auto& heights = swap->stored_readings.at({Phase::before, End::rear, Point::ride_height_rider});
    REQUIRE(heights.size() == 2);
    CHECK(heights.back().reading.repeats[0].text == "470");
    CHECK_FALSE(swap->stored_readings.contains({Phase::new_part, End::rear, Point::travel}));

    CHECK(ledger.open_swap(id(20)) == nullptr);
    CHECK(ledger.swap(id(60))->kept);
    CHECK(ledger.swap(id(70))->abandoned);
    REQUIRE(ledger.baselines(id(20)).size() == 2);
    CHECK(ledger.newest_baseline(id(20))->body.reason == "later");
}

TEST_CASE("fold: a resolved disagreement leaves one") {
    auto facts = season_of_swaps();
    facts.push_back(fact({13, 30, named("27"), id(10), {}, {id(11), id(12)}}));
    const Ledger ledger = fold(facts);
    CHECK(ledger.bike(id(10))->body.name == "27");
    CHECK(ledger.bike(id(10))->rivals.empty());
}

TEST_CASE("fold: kept on one device and abandoned on the other is kept") {
    auto facts = season_of_swaps();
    facts.push_back(fact({72, 30, SwapEndBody{true}, id(20), id(70)}));
    CHECK(fold(facts).swap(id(70))->kept);
    CHECK_FALSE(fold(facts).swap(id(70))->abandoned);
}

TEST_CASE("fold: an empty ledger is an empty workshop") {
    const Ledger ledger;
    CHECK(ledger.bikes().empty());
    CHECK(ledger.units() == UnitChoice{});
    CHECK(ledger.newest_baseline(id(1)) == nullptr);
    CHECK_FALSE(ledger.last_undoable());
    CHECK_FALSE(ledger.undo_of(id(1), {}));
}

TEST_CASE("fold: an entry of an unknown kind still takes back what it supersedes") {
    Ledger ledger = fold(season_of_swaps());
    Entry later;
    later.id = id(99);
    later.kind = "correction_2";
    later.supersedes = {id(33)};
    ledger.apply_unknown(later);
    CHECK_FALSE(ledger.swap(id(30))->stored_readings.contains({Phase::before, End::rear, Point::eye_to_eye}));
}

TEST_CASE("undo: a reading is taken back, a corrected one shows its old value again") {
    const Id bike = id(10), swap = id(30);
    const ReadAt at{Phase::before, End::rear, Point::eye_to_eye};
    Ledger ledger =
        fold({fact({30, 10, SwapBody{{SwapPart::shock}}, bike}),
              fact({32, 12, read(Phase::before, Point::eye_to_eye, "309,9"), bike, swap}),
              fact({33, 13, read(Phase::before, Point::eye_to_eye, "310,1"), bike, swap, {id(32)}})});
    // Undone once: the text of the older entry, superseding the newer.
    auto undo = ledger.undo_of(ledger.last_undoable()->entry.id, id(1));
    REQUIRE(undo);
    CHECK(undo->kind == "reading");
    CHECK(undo->body == "32");
    CHECK(undo->supersedes == std::vector<Id>{id(33)});
    CHECK(undo->by == ledger.fact(id(32))->entry.by);  // who read it, not who undid it
    ledger.apply(
        fact({34, 14, read(Phase::before, Point::eye_to_eye, "309,9"), bike, swap, undo->supersedes, "32"}));
    CHECK(ledger.swap(swap)->stored_readings.at(at).back().reading.repeats[0].text == "309,9");
    // Undone twice: nothing is read yet.
    undo = ledger.undo_of(ledger.last_undoable()->entry.id, id(1));
    REQUIRE(undo);
    CHECK(undo->kind == "retraction");
    ledger.apply(fact({35, 15, RetractionBody{"undo"}, bike, swap, undo->supersedes}));
    CHECK_FALSE(ledger.swap(swap)->stored_readings.contains(at));
    CHECK_FALSE(ledger.last_undoable());
}

TEST_CASE("undo: keeping a swap is taken back whole") {
    const Ledger ledger = fold(season_of_swaps());
    const auto undo = ledger.undo_of(id(62), {});
    REQUIRE(undo);
    CHECK(undo->kind == "retraction");
    CHECK(undo->supersedes == std::vector<Id>{id(62), id(61)});
    // Entries older than the session are not offered.
    CHECK(ledger.last_undoable({24, 0})->entry.id == id(71));
    CHECK_FALSE(ledger.last_undoable({25, 0}));
}
