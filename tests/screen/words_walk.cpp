// What pages say: trade words, the pen as it is in the look, a notice on its own page, and what the answer will
// need before the work. By taps.

#include <doctest/doctest.h>

#include <algorithm>
#include <array>

#include "app/swap/to_set.h"
#include "app/views/wording.h"
#include "tests/screen/answered.h"

using namespace restand;
using namespace restand::test;

namespace {

constexpr std::array every_page = {Screen::bikes, Screen::bike,   Screen::baselines, Screen::history,
                                   Screen::trend, Screen::parts,  Screen::attitude,  Screen::chain,
                                   Screen::shelf, Screen::people, Screen::settings,  Screen::devices,
                                   Screen::keys,  Screen::jobs,   Screen::ready};

bool has_button(Driver& driver, const std::string& id) {
    const auto& rows = driver.page().panel.rows;
    return std::any_of(rows.begin(), rows.end(), [&](const Row& r) {
        const auto* button = std::get_if<row::Button>(&r);
        return button && button->id == id;
    });
}

}  // namespace

TEST_CASE("words: no page uses a word that only we know, and none says its own name twice") {
    DemoHand driver;
    for (const Screen screen : every_page) {
        go(driver, act::Go{screen, driver.state().bike});
        CAPTURE(driver.page().title);
        for (const char* ours : {"This glass", "Put and take", "Bands", "slip", "glass"})
            CHECK_FALSE(driver.shows(ours));
        CHECK(driver.page().panel.title != driver.page().title);
        CHECK(driver.page().primary.label != driver.page().title);
    }
}

TEST_CASE("words: lines are called by the pen that draws them, by day and by night") {
    for (const bool night : {false, true}) {
        DemoHand driver;
        go(driver, act::SetLook{night, 100});
        driver.tap("history");
        driver.tap("kind:1");
        go(driver, act::ShowPlan{driver.state().bike, driver.state().season.moments.back().id});
        CHECK(driver.page().drawing.caption.starts_with(night ? "white: now" : "black: now"));
        Answered answered;
        go(answered, act::SetLook{night, 100});
        CHECK(answered.page().drawing.caption.starts_with(night ? "white: " : "black: "));
    }
}

TEST_CASE("words: a notice is gone on the next page, and Undo takes back what it says until then") {
    Driver driver(tablet);
    begin_bike(driver);
    REQUIRE(driver.state().notice);  // 'Bike saved.'
    driver.tap("primary");           // Swap the shock
    CHECK_FALSE(driver.state().notice);
    read(driver, "row:before:rear:ride_height_topped_out", "500");
    REQUIRE(driver.state().notice);
    driver.tap("row:before:rear:ride_height_static");
    driver.tap("key:close");
    driver.press(Key::escape);
    CHECK(driver.state().screen == Screen::bike);
    CHECK_FALSE(driver.state().notice);
}

TEST_CASE(
    "words: what the answer will need of the bike is said before the first reading, and a tap opens it") {
    Driver driver(tablet);
    begin_bike(driver);
    begin_swap(driver, "fork_springs");
    CHECK(driver.page().ruler->marks[0].current);
    REQUIRE(has_button(driver, "needs:front"));
    driver.tap("needs:front");
    REQUIRE(driver.state().pad);
    CHECK(driver.state().pad->field.bike == BikeField::rake);
    driver.keys("24");
    driver.tap("primary");
    if (driver.state().pad) driver.tap("key:close");
    driver.tap("primary");
    if (driver.state().screen != Screen::swap)
        go(driver, act::ResumeSwap{driver.state().ledger.open_swap(driver.state().bike)->id});
    CHECK_FALSE(has_button(driver, "needs:front"));
}

TEST_CASE("undo: of a check that was read after a correction brings no check back from before it") {
    Answered driver("90");
    driver.set_as_answered();
    driver.check_low_by(6);
    REQUIRE(field_to_correct(driver.state()));
    go(driver, act::GoToStep{Step6::set});
    while (const auto field = field_to_correct(driver.state())) {
        go(driver, act::OpenTag{*field});
        driver.tap("key:same");
        driver.tap("primary");
        while (driver.state().pad) driver.tap("key:close");
    }
    CHECK(driver.stored(Phase::check, Point::ride_height_rider) == 0);
    go(driver, act::GoToStep{Step6::check});
    read(driver, "row:check:rear:ride_height_rider", "466");
    CHECK(driver.stored(Phase::check, Point::ride_height_rider) == 466);
    driver.press(Key::undo);
    CHECK(driver.stored(Phase::check, Point::ride_height_rider) == 0);
    CHECK_FALSE(driver.shows("Not restored"));
}

TEST_CASE("form: how front heights are read stays chosen when a swap is told how slack is read") {
    DemoHand driver;
    const Id bike = driver.state().bike;
    set_swap_aside(driver);
    const auto chosen_in_form = [&driver](const char* id) {
        for (const Row& r : driver.page().panel.rows)
            if (const auto* choice = std::get_if<row::Choice>(&r); choice && choice->id == id)
                return choice->selected;
        return std::size_t{99};
    };
    driver.tap("edit");
    REQUIRE(chosen_in_form("how:front") == 2);
    driver.tap("how:front:1");
    REQUIRE(chosen_in_form("how:front") == 1);
    driver.press(Key::escape);
    begin_swap(driver, "sprockets");
    driver.tap("how:slack:1");
    go(driver, act::EditBike{bike});
    CHECK(chosen_in_form("how:slack") == 1);
    CHECK(chosen_in_form("how:front") == 1);
}

TEST_CASE("pad: the value of before and the difference from it bear one day") {
    DemoHand driver;
    set_swap_aside(driver);
    begin_swap(driver, "shock");
    int held = 0;
    for (const Asked& a : asked(*open_swap(driver.state()), Phase::before)) {
        const Field field{.of = Field::Of::reading, .phase = Phase::before, .point = a.point, .end = a.end};
        const auto last = last_stored(driver.state(), field);
        if (!last || is_text(field)) continue;
        go(driver, act::OpenTag{field});
        driver.session().act(act::PadSame{});
        driver.look();
        const PadView& pad = *driver.page().pad;
        CAPTURE(pad.summary);
        const std::string day = wording::short_day(last->at.ms, driver.state().now_ms, 0);
        CHECK(pad.last_label.find(day) != std::string::npos);
        CHECK(pad.summary.find("from " + day) != std::string::npos);
        driver.tap("key:close");
        ++held;
    }
    CHECK(held > 3);
}
