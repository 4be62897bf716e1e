// The parts shelf: its items, where each is fitted, and the readings that a pick brings into a swap.

#include "core/ledger/shelf.h"

#include <doctest/doctest.h>

#include <algorithm>

#include "core/ledger/setup.h"
#include "tests/unit/ledger_kit.h"

using namespace restand;
using test::fact;
using test::fold;
using test::id;
using test::reading;

namespace {

using P = Point;

ShelfBody spring(const char* name, const char* rate, const char* free) {
    return {SwapPart::shock_spring,
            name,
            {reading(P::spring_rate, rate), reading(P::spring_free_length, free)},
            false};
}

// Swap 30 of bike 10 picks item 20; its baseline is kept.
std::vector<Fact> fitted_once() {
    return {fact({10, 1, BikeBody{}}),
            fact({20, 2, spring("blue", "95", "160")}),
            fact({21, 3, spring("red", "100", "155")}),
            fact({30, 10, SwapBody{{SwapPart::shock_spring}}, id(10)}),
            fact({31, 11, PickBody{id(20)}, id(10), id(30)}),
            fact({32, 12, ReadingBody{Phase::new_part, reading(P::spring_rate, "95")}, id(10), id(30)}),
            fact({33, 13, SwapEndBody{true}, id(10), id(30)})};
}

const ShelfItem& item(const Ledger& ledger, std::uint8_t which) {
    const ShelfItem* found = ledger.shelf_item(id(which));
    REQUIRE(found);
    return *found;
}

}  // namespace

TEST_CASE("shelf: what is asked of a part is what a swap asks of it and what goes with it") {
    const auto has = [](SwapPart part, Point point) {
        const auto points = shelf_points(part);
        return std::find(points.begin(), points.end(), point) != points.end();
    };
    CHECK(has(SwapPart::shock_spring, P::spring_rate));
    CHECK(!has(SwapPart::shock_spring, P::travel));  // belongs to the shock it goes into
    CHECK(has(SwapPart::shock, P::eye_to_eye_max));
    CHECK(has(SwapPart::shock, P::spring_free_length));  // a shock comes with its spring
    CHECK(has(SwapPart::sprockets, P::sprocket_rear));
    CHECK(!has(SwapPart::sprockets, P::chain_links));
    CHECK(has(SwapPart::rear_tyre, P::rolling_circumference));
    CHECK(has(SwapPart::link_rod, P::link_rod));
    const auto loose = shelf_points(SwapPart::shock_spring);
    for (const Point fitted : {Point::spring_installed_length, Point::spring_preload, Point::preload_turns})
        CHECK(std::find(loose.begin(), loose.end(), fitted) == loose.end());
    for (int i = 0; i < swap_part_count; ++i) CHECK(!shelf_points(static_cast<SwapPart>(i)).empty());
}

TEST_CASE("shelf: an edit takes the place of what stood, gone is gone, and undone it is back") {
    Ledger ledger =
        fold({fact({20, 2, spring("blue", "95", "160")}), fact({21, 3, spring("red", "100", "155")})});
    CHECK(ledger.shelf().size() == 2);
    ShelfBody less = spring("blue", "94.2", "160");
    ledger.apply(fact({22, 4, less, {}, id(20), {id(20)}}));
    CHECK(item(ledger, 20).body == less);
    less.gone = true;
    ledger.apply(fact({23, 5, less, {}, id(20), {id(22)}}));
    CHECK(ledger.shelf().size() == 1);
    CHECK(ledger.shelf(true).size() == 2);
    const auto undo = ledger.undo_of(ledger.last_undoable()->entry.id, id(1));
    REQUIRE(undo.has_value());
    CHECK(undo->kind == "shelf");
}

TEST_CASE("shelf: a part is on the bike whose kept swap picked it, until another takes its place") {
    std::vector<Fact> facts = fitted_once();
    const auto fold_now = [&] {
        Ledger ledger;
        for (const Fact& f : facts) ledger.apply(f);
        return ledger;
    };
    {
        const Ledger ledger = fold_now();
        const auto on = on_bike(ledger, item(ledger, 20));
        REQUIRE(on.has_value());
        CHECK(on->bike == id(10));
        CHECK(on->since_ms == 10);
        CHECK(!on_bike(ledger, item(ledger, 21)));
        // Unfitted items are offered first.
        CHECK(shelf_for(ledger, SwapPart::shock_spring).front()->id == id(21));
    }
    // A swap of another part leaves it fitted.
    facts.push_back(fact({40, 20, SwapBody{{SwapPart::rear_tyre}}, id(10)}));
    facts.push_back(fact({41, 21, SwapEndBody{true}, id(10), id(40)}));
    {
        const Ledger ledger = fold_now();
        CHECK(on_bike(ledger, item(ledger, 20)));
    }
    // A swap that was discarded leaves it fitted too.
    facts.push_back(fact({50, 30, SwapBody{{SwapPart::shock_spring}}, id(10)}));
    facts.push_back(
        fact({51, 31, ReadingBody{Phase::new_part, reading(P::spring_rate, "100")}, id(10), id(50)}));
    facts.push_back(fact({52, 32, SwapEndBody{false}, id(10), id(50)}));
    {
        const Ledger ledger = fold_now();
        CHECK(on_bike(ledger, item(ledger, 20)));
    }
    // Another shock comes with its own spring.
    facts.push_back(fact({60, 40, SwapBody{{SwapPart::shock}}, id(10)}));
    facts.push_back(
        fact({61, 41, ReadingBody{Phase::new_part, reading(P::spring_rate, "90")}, id(10), id(60)}));
    facts.push_back(fact({62, 42, SwapEndBody{true}, id(10), id(60)}));
    {
        const Ledger ledger = fold_now();
        CHECK(!on_bike(ledger, item(ledger, 20)));
    }
}

TEST_CASE("shelf: one sprocket stays on the bike while the other goes, walked through two swaps") {
    std::vector<Fact> facts = {
        fact({10, 1, BikeBody{}}),
        fact({20, 2, ShelfBody{SwapPart::sprockets, "front 15", {reading(P::sprocket_front, "15")}, false}}),
        fact({21, 3, ShelfBody{SwapPart::sprockets, "rear 44", {reading(P::sprocket_rear, "44")}, false}})};
    int next = 30;
    const auto swap_to = [&](std::vector<int> items, std::vector<std::pair<P, const char*>> before,
                             std::vector<std::pair<P, const char*>> fitted) {
        const int swap = next;
        facts.push_back(fact({next, next, SwapBody{{SwapPart::sprockets}}, id(10)}));
        ++next;
        for (const int one : items)
            facts.push_back(fact({next, next, PickBody{id(one)}, id(10), id(swap)})), ++next;
        for (const auto& [point, teeth] : before)
            facts.push_back(
                fact({next, next, ReadingBody{Phase::before, reading(point, teeth)}, id(10), id(swap)})),
                ++next;
        for (const auto& [point, teeth] : fitted)
            facts.push_back(
                fact({next, next, ReadingBody{Phase::new_part, reading(point, teeth)}, id(10), id(swap)})),
                ++next;
        const Ledger ledger = fold(facts);
        const BaselineBody kept =
            baseline_of(*ledger.swap(id(swap)), setup_at(id(10), ledger.facts_of(id(10))), "");
        facts.push_back(fact({next, next, kept, id(10), id(swap)})), ++next;
        facts.push_back(fact({next, next, SwapEndBody{true}, id(10), id(swap)})), ++next;
    };
    swap_to({20, 21}, {{P::sprocket_front, "16"}, {P::sprocket_rear, "43"}},
            {{P::sprocket_front, "15"}, {P::sprocket_rear, "44"}});
    {
        const Ledger ledger = fold(facts);
        CHECK(on_bike(ledger, item(ledger, 20)));
        CHECK(on_bike(ledger, item(ledger, 21)));
    }
    swap_to({}, {{P::sprocket_front, "15"}, {P::sprocket_rear, "44"}}, {{P::sprocket_rear, "46"}});
    const Ledger ledger = fold(facts);
    CHECK(on_bike(ledger, item(ledger, 20)));
    CHECK(!on_bike(ledger, item(ledger, 21)));
    CHECK(setup_at(id(10), ledger.facts_of(id(10)))
              .stored(End::rear, P::sprocket_front)
              ->reading.repeats[0]
              .text == "15");
}

TEST_CASE("shelf: another pick takes back what the first one brought and the second does not") {
    std::vector<Fact> facts = fitted_once();
    facts.pop_back();  // not kept yet
    ShelfBody blocked = spring("blue", "95", "160");
    blocked.values.push_back(reading(P::spring_block_length, "85"));
    facts.push_back(fact({22, 4, blocked, {}, id(20), {id(20)}}));
    facts.push_back(
        fact({33, 13, ReadingBody{Phase::new_part, reading(P::spring_block_length, "85")}, id(10), id(30)}));
    const Ledger ledger = fold(facts);
    const auto gone = unpicked(ledger, item(ledger, 21), *ledger.swap(id(30)));
    CHECK(gone == std::vector{id(31), id(33)});  // the pick, and a block length that red lacks
    // A number measured in the swap itself is not withdrawn.
    facts.back() =
        fact({33, 13, ReadingBody{Phase::new_part, reading(P::spring_block_length, "84")}, id(10), id(30)});
    const Ledger measured = fold(facts);
    CHECK(unpicked(measured, item(measured, 21), *measured.swap(id(30))) == std::vector{id(31)});
}

TEST_CASE("shelf: undo never takes a measured part off the shelf") {
    // Two devices edited; a third edit merged both: there is no single earlier state.
    Ledger ledger = fold({fact({20, 2, spring("blue", "95", "160")}),
                          fact({21, 3, spring("blue", "94", "160"), {}, id(20), {id(20)}}),
                          fact({22, 4, spring("blue", "95", "159"), {}, id(20), {id(20)}})});
    CHECK(item(ledger, 20).disputed);
    ledger.apply(fact({23, 5, spring("blue", "94", "159"), {}, id(20), {id(21), id(22)}}));
    CHECK(!item(ledger, 20).disputed);
    CHECK(!ledger.undo_of(id(23), id(1)));
    // The entry that it replaced is not loaded.
    Ledger fresh = fold({fact({24, 6, spring("blue", "93", "159"), {}, id(20), {id(23)}})});
    CHECK(!fresh.undo_of(id(24), id(1)));
    CHECK(fresh.shelf().size() == 1);
}

TEST_CASE("shelf: a pick brings the readings that the swap asks for, at the part's own end") {
    const Ledger ledger = fold(fitted_once());
    Swap swap;
    swap.parts = {SwapPart::sprockets, SwapPart::fork_springs};
    ShelfItem springs{id(70), spring("soft", "9.5", "250"), {}};
    springs.body.part = SwapPart::fork_springs;
    const auto bodies = picked(springs, swap);
    REQUIRE(bodies.size() == 3);
    CHECK(std::get<PickBody>(bodies[0]).item == id(70));
    const auto& rate = std::get<ReadingBody>(bodies[1]);
    CHECK(rate.phase == Phase::new_part);
    CHECK(read_at(rate, swap.parts).end == End::front);
    CHECK(rate.reading.repeats == springs.body.values[0].repeats);
    // A shock needs a name; a spring does not.
    swap.parts = {SwapPart::shock};
    ShelfItem shock{id(71), {SwapPart::shock, "long one", {reading(P::eye_to_eye, "310")}, false}, {}};
    const auto named = picked(shock, swap);
    REQUIRE(named.size() == 3);
    CHECK(std::get<ReadingBody>(named[2]).reading.repeats.front().text == "long one");
    CHECK(!std::get<ReadingBody>(named[1]).end);
}

TEST_CASE("shelf: picks and parts fold alike in any order") {
    std::vector<Fact> facts = fitted_once();
    std::reverse(facts.begin(), facts.end());
    const Ledger ledger = fold(std::move(facts));
    CHECK(on_bike(ledger, item(ledger, 20)));
    CHECK(ledger.swap(id(30))->picks == std::vector{Swap::Pick{id(31), id(20)}});
}

TEST_CASE("shelf: what a swap took off can go on the shelf as it was read, once") {
    const auto swapped = [](std::vector<Fact> before, std::vector<Fact> between = {}) {
        std::vector<Fact> facts = {fact({10, 1, BikeBody{}}),
                                   fact({30, 10, SwapBody{{SwapPart::shock_spring}}, id(10)})};
        facts.insert(facts.end(), before.begin(), before.end());
        facts.insert(facts.end(), between.begin(), between.end());
        facts.push_back(
            fact({38, 18, ReadingBody{Phase::new_part, reading(P::spring_rate, "105")}, id(10), id(30)}));
        return facts;
    };
    const auto kept = fact({39, 19, SwapEndBody{true}, id(10), id(30)});
    const std::vector<Fact> read = {
        fact({31, 11, ReadingBody{Phase::before, reading(P::spring_rate, "95")}, id(10), id(30)}),
        fact({32, 12, ReadingBody{Phase::before, reading(P::spring_free_length, "160")}, id(10), id(30)}),
        fact({33, 13, ReadingBody{Phase::before, reading(P::ride_height_rider, "466")}, id(10), id(30)})};
    const auto off = [](const Ledger& ledger) {
        return taken_off(ledger, *ledger.swap(id(30)), SwapPart::shock_spring);
    };

    auto facts = swapped(read);
    CHECK(!off(fold(facts)));  // not kept yet: it may go back in
    facts.push_back(kept);
    const auto body = off(fold(facts));
    REQUIRE(body);
    CHECK(body->values.size() == 2);  // the spring's own numbers; a height is the bike's
    CHECK(value_of(*body, P::spring_rate)->repeats.front().text == "95");
    const Ledger after = fold(facts);
    CHECK(!taken_off(after, *after.swap(id(30)), SwapPart::shock));  // not swapped

    // On the shelf, by that key or measured by itself: not a second time. Another one's numbers do not count.
    auto there = facts;
    there.push_back(fact({50, 30, *body}));
    CHECK(!off(fold(there)));
    there.back() = fact({50, 30, spring("other", "95", "158")});
    CHECK(off(fold(there)));

    // Nothing was read of it.
    auto unread = swapped({});
    unread.push_back(kept);
    CHECK(!off(fold(unread)));
}

TEST_CASE("shelf: a part that came from the shelf is there when it is taken off, whatever was read of it") {
    std::vector<Fact> facts = fitted_once();
    facts.push_back(fact({40, 20, SwapBody{{SwapPart::shock_spring}}, id(10)}));
    facts.push_back(
        fact({41, 21, ReadingBody{Phase::before, reading(P::spring_rate, "94")}, id(10), id(40)}));
    facts.push_back(fact({42, 22, SwapEndBody{true}, id(10), id(40)}));
    const Ledger ledger = fold(facts);
    CHECK(!taken_off(ledger, *ledger.swap(id(40)), SwapPart::shock_spring));
}
