// The parts shelf by taps: a spring measured, picked in a swap, offered for a wanted sag; several parts swapped at once.

#include <doctest/doctest.h>

#include "core/ledger/shelf.h"
#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

void type(Hand& hand, const std::string& id, const char* text) {
    hand.tap(id);
    hand.bench().act(act::PadText{text});
    hand.look();
    hand.tap("primary");
    while (hand.desk().pad && !hand.desk().pad->question.empty()) hand.tap("question:yes");
    if (hand.desk().pad) hand.tap("key:close");
}

const ShelfItem& only_item(Hand& hand) {
    const auto items = hand.desk().ledger.shelf();
    REQUIRE(items.size() == 1);
    return *items.front();
}

}  // namespace

TEST_CASE("shelf: empty it says what it is for; a spring is put on it and measured, each number on disk") {
    const Folder folder;
    Hand hand(tablet, folder.path / "fresh.restand");
    hand.bench().act(act::OpenTag{{.of = Field::Of::person}});
    hand.bench().act(act::PadText{"Ines"});
    hand.bench().act(act::PadNext{});
    hand.look();
    go(hand, act::Go{Screen::bikes, {}});
    hand.tap("shelf");
    CHECK(hand.shows("Measure a part once"));
    hand.tap("add:shock_spring");
    CHECK(hand.sheet().slip.title == "shock spring 1");
    type(hand, "row:shelf:spring_rate", "95");
    type(hand, "row:shelf:spring_free_length", "160");
    CHECK(value_of(only_item(hand).body, Point::spring_free_length)->repeats.front().text == "160");
    type(hand, "name", "blue");
    CHECK(only_item(hand).body.name.ends_with("blue"));
    // Killed and started again: it is all there.
    hand.start();
    CHECK(measured(*value_of(only_item(hand).body, Point::spring_rate)).value == doctest::Approx(95));
    // A number that cannot be is refused in words, and what stood stands.
    go(hand, act::OpenItem{only_item(hand).id});
    hand.tap("row:shelf:spring_rate");
    hand.bench().act(act::PadText{"0"});
    hand.look();
    hand.tap("primary");
    REQUIRE(hand.desk().pad.has_value());
    CHECK(!hand.desk().pad->problem.empty());
    hand.tap("key:close");
    CHECK(measured(*value_of(only_item(hand).body, Point::spring_rate)).value == doctest::Approx(95));
}

TEST_CASE(
    "shelf: a spring picked in a swap fills the new part's readings, and is on the bike once it is kept") {
    DemoHand hand;
    const Id bike = hand.desk().bike;
    if (const Swap* open = hand.desk().ledger.open_swap(bike)) go(hand, act::AbandonSwap{open->id});
    go(hand, act::AddToShelf{SwapPart::shock_spring});
    type(hand, "row:shelf:spring_rate", "98");
    type(hand, "row:shelf:spring_free_length", "158");
    const Id item = hand.desk().season.item;
    go(hand, act::Go{Screen::bike, bike});
    hand.tap("swap:shock_spring");
    go(hand, act::GoToStep{Step6::new_part});
    CHECK(hand.shows("From the shelf"));
    hand.tap("pick:" + to_text(item));
    const Swap* swap = open_swap(hand.desk());
    REQUIRE(swap);
    CHECK(missing(*swap, Phase::new_part).empty());
    CHECK(measured(swap->take({Phase::new_part, End::rear, Point::spring_rate})->reading).value ==
          doctest::Approx(98));
    REQUIRE(swap->picks.size() == 1);
    CHECK(swap->picks.front().item == item);
    // Picked twice it is still one reading of each.
    hand.tap("pick:" + to_text(item));
    CHECK(open_swap(hand.desk())->takes.at({Phase::new_part, End::rear, Point::spring_rate}).size() == 1);
    CHECK(!on_bike(hand.desk().ledger, *hand.desk().ledger.shelf_item(item)));
}

TEST_CASE("which spring: offered for the wanted sag, those that fit first; the wish moves by its keys") {
    DemoHand hand;
    const Id bike = hand.desk().bike;
    for (const auto& [rate, free] : {std::pair{"60", "160"}, {"95", "160"}, {"180", "160"}}) {
        go(hand, act::AddToShelf{SwapPart::shock_spring});
        type(hand, "row:shelf:spring_rate", rate);
        type(hand, "row:shelf:spring_free_length", free);
    }
    go(hand, act::ShowSprings{bike, End::rear});
    CHECK(hand.shows("the best first"));
    const Length sag = wish_of(hand.desk()).rider_sag;
    hand.tap("wish:sag:more");
    CHECK(in_mm(wish_of(hand.desk()).rider_sag - sag) == doctest::Approx(1));
    CHECK(hand.shows("loose when topped out"));
    hand.tap("end:1");
    CHECK(hand.desk().season.end == End::front);
    CHECK(hand.shows("pair, 10.0"));
}

TEST_CASE(
    "several parts at once: chosen by taps, what comes with another cannot be chosen, both ends are asked") {
    DemoHand hand;
    if (const Swap* open = hand.desk().ledger.open_swap(hand.desk().bike))
        go(hand, act::AbandonSwap{open->id});
    hand.tap("swap:several");
    CHECK(!hand.sheet().primary.tap);
    hand.tap("part:shock");
    for (const Row& row : hand.sheet().slip.rows)
        if (const auto* button = std::get_if<row::Button>(&row); button && button->id == "part:shock_spring")
            CHECK((button->selected && !button->enabled));
    hand.tap("part:shock");
    hand.tap("part:sprockets");
    hand.tap("part:front_tyre");
    CHECK(hand.sheet().primary.label == "Begin: sprockets, front tyre");
    hand.tap("primary");
    const Swap* swap = open_swap(hand.desk());
    REQUIRE(swap);
    CHECK(swap->parts == std::vector{SwapPart::sprockets, SwapPart::front_tyre});
    CHECK(hand.sheet().slip.title == "Before: the old parts in");
    CHECK(hand.shows("Rear: Chain and tyre"));
    CHECK(hand.shows("Front: In the yokes"));
    CHECK(hand.sheet().slip.cautions.size() >= 2);
}
