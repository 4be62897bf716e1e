// A baseline without a swap, by taps: the bike is read as it stands, and kept.

#include <fmt/format.h>

#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

const Baseline* newest(Driver& driver) {
    return driver.state().ledger.newest_baseline(driver.state().bike);
}

// Digits for the height whose pad is open; the next one opens.
void type_height(Driver& driver, const std::string& number) {
    driver.keys(number);
    driver.tap("primary");
    if (driver.state().pad && !driver.state().pad->question.empty()) driver.tap("question:yes");
}

const row::ReadingRow* reading_row(Driver& driver, const std::string& id) {
    for (const Row& row : driver.page().panel.rows)
        if (const auto* reading = std::get_if<row::ReadingRow>(&row); reading && reading->id == id)
            return reading;
    return nullptr;
}

const row::Button* button(Driver& driver, const std::string& id) {
    for (const Row& row : driver.page().panel.rows)
        if (const auto* key = std::get_if<row::Button>(&row); key && key->id == id) return key;
    return nullptr;
}

}  // namespace

TEST_CASE("as it stands: a new bike's heights are read one after the other and kept as its first baseline") {
    for (const Viewport& viewport : walk_viewports) {
        Driver driver(viewport);
        begin_bike(driver);
        CHECK(driver.page().title == "No. 5");
        driver.tap("change");  // the first height is asked for
        REQUIRE(driver.state().pad.has_value());
        CHECK_FALSE(driver.page().drawing.guide.empty());  // how to read it, and where
        REQUIRE(driver.page().drawing.tags.size() == 1);
        CHECK(driver.page().drawing.tags[0].open);
        for (const char* height : {"500", "490", "466", "620", "600", "580"}) type_height(driver, height);
        CHECK_FALSE(driver.state().pad.has_value());
        read(driver, "row:change:rear:chain_slack", "35");
        CHECK(newest(driver) == nullptr);
        driver.tap("reason");
        driver.keys("as it came");
        driver.tap("primary");
        CHECK(driver.page().primary.label == "Keep as the bike's baseline");
        driver.tap("primary");
        REQUIRE(newest(driver) != nullptr);
        CHECK(driver.state().screen == Screen::baseline);
        CHECK(newest(driver)->body.reason == "As it came");
        CHECK(newest(driver)->swap.nil());
        CHECK(newest(driver)->body.values.size() == 7);
        const BaselineValue* rider = newest(driver)->value(End::front, Point::ride_height_rider);
        REQUIRE(rider != nullptr);
        CHECK(measured(rider->stored.reading).value == doctest::Approx(580));
        // Closed and opened again it stands.
        const Id bike = driver.state().bike;
        driver.start();
        REQUIRE(driver.state().ledger.newest_baseline(bike) != nullptr);
        CHECK(driver.state().ledger.newest_baseline(bike)->body.values.size() == 7);
        go(driver, act::StartChange{bike});
        CHECK(button(driver, "keep-as-it-stands") == nullptr);
        // Undo takes the baseline back and leaves what was read.
        read(driver, "row:change:rear:chain_slack", "36");
        driver.tap("keep-as-it-stands");
        REQUIRE(driver.state().screen == Screen::baseline);
        go(driver, act::Undo{});
        CHECK(driver.state().screen == Screen::baselines);
        CHECK(driver.page().title == "No. 5 · baselines");
        CHECK(newest(driver)->body.reason == "As it came");
        CHECK(now_at(driver, End::rear, Point::chain_slack) == doctest::Approx(36));
        CHECK(now_at(driver, End::front, Point::ride_height_rider) == doctest::Approx(580));
    }
}

TEST_CASE("as it stands: a height that a setting has moved is expected, and read again it counts") {
    DemoHand driver;
    set_swap_aside(driver);
    driver.tap("change");
    const double was = now_at(driver, End::rear, Point::ride_height_rider);
    const std::string id = "row:change:rear:ride_height_rider";
    REQUIRE(reading_row(driver, id) != nullptr);
    CHECK_FALSE(reading_row(driver, id)->value.starts_with("≈"));
    driver.session().act(act::Nudge{End::rear, Point::eye_to_eye, 2.0});
    driver.look();
    // A longer shock stands higher by more than its length, because the leverage ratio is above 1.
    const auto* moved = reading_row(driver, id);
    CHECK(moved->value.starts_with("≈"));
    const Field rider{.of = Field::Of::change, .point = Point::ride_height_rider};
    const auto expected = expected_of(driver.state(), rider);
    REQUIRE(expected.has_value());
    CHECK(*expected > was + 2);
    // Kept now, the baseline has no rear height and says so.
    REQUIRE(button(driver, "keep-as-it-stands") != nullptr);
    CHECK(button(driver, "keep-as-it-stands")->detail == "rear topped out, rear static, rear rider not read");
    // One that was probably read in another state is asked about.
    driver.tap(id);
    driver.keys(fmt::format("{:.0f}", *expected + 30));
    driver.tap("primary");
    REQUIRE(driver.state().pad.has_value());
    CHECK_FALSE(driver.state().pad->question.empty());
    driver.tap("question:no");
    driver.keys(fmt::format("{:.1f}", *expected + 1));
    driver.tap("primary");
    CHECK_FALSE(expected_of(driver.state(), rider).has_value());
    CHECK(now_at(driver, End::rear, Point::ride_height_rider) ==
          doctest::Approx(*expected + 1).epsilon(1e-3));
    CHECK(button(driver, "keep-as-it-stands")->detail == "rear topped out, rear static not read");
    while (driver.state().pad) driver.tap("key:close");
    const Id before = newest(driver)->id;
    driver.tap("keep-as-it-stands");
    CHECK(newest(driver)->body.based_on == before);
    CHECK(newest(driver)->body.reason == "as it stands · rear topped out, rear static not read");
    // What was moved and not read again is not in it.
    CHECK(newest(driver)->value(End::rear, Point::ride_height_static) == nullptr);
    CHECK(newest(driver)->value(End::rear, Point::eye_to_eye) != nullptr);
    go(driver, act::StartChange{driver.state().bike});
    CHECK(button(driver, "keep-as-it-stands") == nullptr);  // it is kept already
}

TEST_CASE("as it stands: nothing is kept beside an open swap, whose end makes the baseline") {
    DemoHand driver;
    set_swap_aside(driver);
    begin_swap(driver, "shock");
    REQUIRE(driver.state().ledger.open_swap(driver.state().bike) != nullptr);
    go(driver, act::StartChange{driver.state().bike});
    CHECK(button(driver, "keep-as-it-stands") == nullptr);
    const std::size_t entries = on_disk(driver);
    go(driver, act::KeepAsItStands{driver.state().bike});
    CHECK(on_disk(driver) == entries);
}
