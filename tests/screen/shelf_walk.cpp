// The parts shelf by taps: a spring measured, picked in a swap, offered for a wanted sag; several parts
// swapped at once.

#include <doctest/doctest.h>

#include "core/ledger/shelf.h"
#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

void type(Driver& driver, const std::string& id, const char* text) {
    driver.tap(id);
    driver.session().act(act::PadText{text});
    driver.look();
    driver.tap("primary");
    while (driver.state().pad && !driver.state().pad->question.empty()) driver.tap("question:yes");
    if (driver.state().pad) driver.tap("key:close");
}

const ShelfItem& only_item(Driver& driver) {
    const auto items = driver.state().ledger.shelf();
    REQUIRE(items.size() == 1);
    return *items.front();
}

}  // namespace

TEST_CASE("shelf: empty it says what it is for; a spring is put on it and measured, each number on disk") {
    const WalkFolder folder;
    Driver driver(tablet, folder.path / "fresh.restand");
    driver.session().act(act::OpenTag{{.of = Field::Of::person}});
    driver.session().act(act::PadText{"Ines"});
    driver.session().act(act::PadNext{});
    driver.look();
    go(driver, act::Go{Screen::bikes, {}});
    driver.tap("shelf");
    CHECK(driver.shows("Measure a part once"));
    driver.tap("add:shock_spring");
    CHECK(driver.page().panel.title == "shock spring 1");
    type(driver, "row:shelf:spring_rate", "95");
    type(driver, "row:shelf:spring_free_length", "160");
    CHECK(value_of(only_item(driver).body, Point::spring_free_length)->repeats.front().text == "160");
    type(driver, "name", "blue");
    CHECK(only_item(driver).body.name.ends_with("blue"));
    // After a number the next one that is not read opens; a name opens none.
    driver.tap("row:shelf:spring_rate");
    driver.tap("primary");
    REQUIRE(driver.state().pad);
    CHECK(driver.state().pad->field.point == Point::spring_block_length);
    CHECK(driver.page().primary.label == "Keep it");
    driver.tap("key:close");
    // Killed and started again: nothing is lost.
    driver.start();
    CHECK(measured(*value_of(only_item(driver).body, Point::spring_rate)).value == doctest::Approx(95));
    // An impossible number is refused with a sentence, and the stored value stays.
    go(driver, act::OpenItem{only_item(driver).id});
    driver.tap("row:shelf:spring_rate");
    driver.session().act(act::PadText{"0"});
    driver.look();
    driver.tap("primary");
    REQUIRE(driver.state().pad.has_value());
    CHECK(!driver.state().pad->problem.empty());
    driver.tap("key:close");
    CHECK(measured(*value_of(only_item(driver).body, Point::spring_rate)).value == doctest::Approx(95));
}

TEST_CASE(
    "shelf: a spring picked in a swap fills the new part's readings, and is on the bike once it is kept") {
    DemoHand driver;
    const Id bike = driver.state().bike;
    set_swap_aside(driver);
    go(driver, act::AddToShelf{SwapPart::shock_spring});
    type(driver, "row:shelf:spring_rate", "98");
    type(driver, "row:shelf:spring_free_length", "158");
    const Id item = driver.state().item;
    go(driver, act::Go{Screen::bike, bike});
    begin_swap(driver, "shock_spring");
    go(driver, act::GoToStep{Step6::new_part});
    CHECK(driver.shows("From the shelf"));
    driver.tap("pick:" + to_text(item));
    const Swap* swap = open_swap(driver.state());
    REQUIRE(swap);
    CHECK(missing(*swap, Phase::new_part).empty());
    CHECK(measured(swap->stored({Phase::new_part, End::rear, Point::spring_rate})->reading).value ==
          doctest::Approx(98));
    REQUIRE(swap->picks.size() == 1);
    CHECK(swap->picks.front().item == item);
    // Picked twice, there is still one reading of each point.
    driver.tap("pick:" + to_text(item));
    CHECK(open_swap(driver.state())
              ->stored_readings.at({Phase::new_part, End::rear, Point::spring_rate})
              .size() == 1);
    CHECK(!on_bike(driver.state().ledger, *driver.state().ledger.shelf_item(item)));
}

TEST_CASE("which spring: offered for the wanted sag, those that fit first; the wish moves by its keys") {
    DemoHand driver;
    const Id bike = driver.state().bike;
    for (const auto& [rate, free] : {std::pair{"60", "160"}, {"95", "160"}, {"180", "160"}}) {
        go(driver, act::AddToShelf{SwapPart::shock_spring});
        type(driver, "row:shelf:spring_rate", rate);
        type(driver, "row:shelf:spring_free_length", free);
    }
    go(driver, act::ShowSprings{bike, End::rear});
    CHECK(driver.shows("the best first"));
    const Length sag = wish_of(driver.state()).rider_sag;
    driver.tap("wish:sag:more");
    CHECK(in_mm(wish_of(driver.state()).rider_sag - sag) == doctest::Approx(1));
    CHECK(driver.shows("loose when topped out"));
    driver.tap("end:1");
    CHECK(driver.state().season.end == End::front);
    CHECK(driver.shows("pair, 10.0"));
}

TEST_CASE(
    "several parts at once: chosen by taps, what comes with another cannot be chosen, both ends are asked") {
    DemoHand driver;
    set_swap_aside(driver);
    driver.tap("swap:several");
    CHECK(!driver.page().primary.tap);
    driver.tap("part:shock");
    for (const Row& row : driver.page().panel.rows)
        if (const auto* button = std::get_if<row::Button>(&row); button && button->id == "part:shock_spring")
            CHECK((button->selected && !button->enabled));
    driver.tap("part:shock");
    driver.tap("part:sprockets");
    driver.tap("part:front_tyre");
    CHECK(driver.page().primary.label == "Begin: sprockets, front tyre");
    driver.tap("primary");
    const Swap* swap = open_swap(driver.state());
    REQUIRE(swap);
    CHECK(swap->parts == std::vector{SwapPart::sprockets, SwapPart::front_tyre});
    CHECK(driver.page().panel.title == "Before: the old parts in");
    CHECK(driver.shows("Rear: Chain and tyre"));
    CHECK(driver.shows("Front: In the yokes"));
    CHECK(driver.page().panel.cautions.size() >= 2);
}

TEST_CASE("shelf: a sprocket picked in a swap is drawn with its own teeth") {
    DemoHand driver;
    const Id bike = driver.state().bike;
    set_swap_aside(driver);
    // A tooth is four corners of its sprocket's outline.
    const auto drawn_with = [&driver](std::size_t teeth) {
        const auto& strokes = driver.page().drawing.strokes;
        return std::any_of(strokes.begin(), strokes.end(),
                           [teeth](const Stroke& s) { return s.closed && s.points.size() == 4 * teeth; });
    };
    go(driver, act::AddToShelf{SwapPart::sprockets});
    type(driver, "row:shelf:sprocket_rear", "47");
    CHECK(drawn_with(47));
    const Id item = driver.state().item;
    go(driver, act::Go{Screen::bike, bike});
    begin_swap(driver, "sprockets");
    read(driver, "row:before:rear:sprocket_front", "15");
    driver.tap("row:before:rear:sprocket_rear");
    CHECK(drawn_with(static_cast<std::size_t>(now_at(driver, End::rear, Point::sprocket_rear))));
    driver.tap("key:close");
    go(driver, act::GoToStep{Step6::new_part});
    driver.tap("pick:" + to_text(item));
    CHECK(drawn_with(47));
    CHECK(drawn_with(15));  // the front one stays
}

TEST_CASE("which spring: a wished sag stays, and the swap's answer leads back to what to set for it") {
    DemoHand driver;
    const Id bike = driver.state().bike;
    set_swap_aside(driver);
    go(driver, act::ShowSprings{bike, End::rear});
    const Length now = wish_of(driver.state()).rider_sag;
    for (int i = 0; i < 3; ++i) driver.tap("wish:sag:more");
    driver.tap("primary");  // Swap the shock spring
    go(driver, act::GoToStep{Step6::new_part});
    for (const auto& [id, number] :
         {std::pair{"row:new_part:rear:spring_rate", "95"}, {"row:new_part:rear:spring_free_length", "160"}})
        read(driver, id, number);
    go(driver, act::GoToStep{Step6::answer});
    driver.tap("wished");
    CHECK(driver.state().screen == Screen::which_spring);
    CHECK(in_mm(wish_of(driver.state()).rider_sag - now) == doctest::Approx(3));
    // Of the other end and of another bike nothing was wished.
    driver.tap("end:1");
    const Length front = wish_of(driver.state()).rider_sag;
    go(driver, act::ShowSprings{bike_named(driver, "No. 8")->id, End::rear});
    CHECK_FALSE(wish_of(driver.state()).rider_sag == now + mm(3));
    go(driver, act::ShowSprings{bike, End::rear});
    CHECK(wish_of(driver.state()).rider_sag == now + mm(3));
    go(driver, act::ShowSprings{bike, End::front});
    CHECK(wish_of(driver.state()).rider_sag == front);
}

TEST_CASE("shelf: what a kept swap took off goes on the shelf with one tap, as it was read") {
    Driver driver(tablet);
    begin_bike(driver);
    set_new_shock(driver, "312");
    go(driver, act::GoToStep{Step6::check});
    read_all(driver, {{"check:rear:ride_height_topped_out", "500"},
                      {"check:rear:ride_height_static", "490"},
                      {"check:rear:ride_height_rider", "466"}});
    go(driver, act::GoToStep{Step6::keep});
    driver.tap("primary");
    REQUIRE(driver.state().screen == Screen::baseline);
    driver.tap("shelve:shock");
    REQUIRE(driver.state().screen == Screen::item);
    const ShelfItem* item = shown_item(driver.state());
    REQUIRE(item != nullptr);
    CHECK(item->body.part == SwapPart::shock);
    CHECK(item->body.name == "shock 1");
    REQUIRE(value_of(item->body, Point::eye_to_eye) != nullptr);
    CHECK(value_of(item->body, Point::eye_to_eye)->repeats.front().text == "310");
    driver.tap("title:back");
    REQUIRE(driver.state().screen == Screen::baseline);
    for (const PageTable::Key& key : driver.page().table->keys) CHECK(key.id != "shelve:shock");
}
