// Numbers that cannot both be right, settings that must not be ridden, and what is expected but was not read:
// by taps.

#include <doctest/doctest.h>

#include <algorithm>

#include "app/swap/to_set.h"
#include "app/views/wording.h"
#include "core/ledger/chassis.h"
#include "tests/screen/answered.h"

using namespace restand;
using namespace restand::test;

TEST_CASE(
    "contradiction: a preload that the lengths do not give is asked about, and then said not to count") {
    Answered driver;
    go(driver, act::GoToStep{Step6::set});
    driver.tap("row:set:rear:spring_installed_length");
    driver.tap("key:same");
    driver.tap("primary");
    if (driver.state().pad) driver.tap("key:close");
    // What follows need not be read.
    const row::ReadingRow follows = driver.row_of("row:set:rear:spring_preload");
    CHECK(follows.mark == row::Mark::none);
    CHECK(follows.plus_minus == "by its lengths");
    const double by_lengths = 160 - driver.stored(Phase::set, Point::spring_installed_length);
    CHECK(follows.value == wording::value(mm(by_lengths), driver.state().ledger.units()));
    driver.tap("row:set:rear:spring_preload");
    driver.keys("8");
    driver.tap("primary");
    REQUIRE(driver.state().pad);
    CHECK(driver.state().pad->question.find("The lengths count") != std::string::npos);
    // A gauge's next number, or Undo: the question is about this one alone.
    driver.press(Key::undo);
    REQUIRE(driver.state().pad);
    CHECK(driver.state().pad->question.empty());
    CHECK(driver.state().pad->entry == "8");
    CHECK(driver.stored(Phase::set, Point::spring_installed_length) == doctest::Approx(160 - by_lengths));
    driver.tap("primary");
    driver.tap("question:yes");
    if (driver.state().pad) driver.tap("key:close");
    CHECK(driver.row_of("row:set:rear:spring_preload").plus_minus == "does not count");
}

TEST_CASE(
    "contradiction: coils that touch at more than the loose spring's length are asked about, on the shelf "
    "too") {
    Answered driver;
    const auto refuses_coils = [&driver](const char* length) {
        driver.keys(length);
        driver.tap("primary");
        REQUIRE(driver.state().pad);
        CHECK(driver.state().pad->question.find("coils would touch") != std::string::npos);
        driver.tap("question:no");
        driver.tap("key:close");
    };
    go(driver, act::GoToStep{Step6::new_part});
    driver.tap("row:new_part:rear:spring_block_length");
    refuses_coils("165");
    go(driver, act::AddToShelf{SwapPart::shock_spring});
    CHECK(driver.page().primary.label == "Measure: spring rate");
    driver.tap("primary");
    driver.keys("95");
    driver.tap("primary");
    driver.keys("160");
    driver.tap("primary");
    refuses_coils("165");
    // The name that it was given is not edited: another one takes its place.
    driver.tap("name");
    CHECK(driver.page().pad->entry.empty());
    driver.session().act(act::PadText{"blue"});
    driver.look();
    driver.tap("primary");
    CHECK(driver.page().panel.title == "blue");
    driver.tap("name");
    CHECK(driver.page().pad->entry == "blue");
}

TEST_CASE("contradiction: digits after 'set to' are a number of their own") {
    Answered driver;
    go(driver, act::GoToStep{Step6::set});
    driver.tap("row:set:rear:eye_to_eye");
    driver.tap("key:same");
    CHECK(driver.page().pad->replaced);
    driver.keys("309");
    CHECK(driver.page().pad->entry == "309");
    driver.tap("key:same");
    driver.tap("key:erase");
    driver.keys("5");
    CHECK(driver.page().pad->entry == "315");  // of 310 the last digit
}

TEST_CASE(
    "coils: a correction into coils that touch is not offered, and what is set so is said on every page") {
    Answered driver("99.8");  // 150 − 50 − 99.8: apart by 0.2 as answered
    driver.set_as_answered();
    CHECK_FALSE(driver.shows("Coils touch"));
    driver.check_low_by(6);
    CHECK(driver.shows("No setting of this part brings it back"));
    CHECK(driver.page().primary.label == "Try another part");
    CHECK_FALSE(field_to_correct(driver.state()));
    for (const Row& r : driver.page().panel.rows) CHECK_FALSE(std::holds_alternative<row::Big>(r));
    // Set all the same: no page is silent about it.
    go(driver, act::GoToStep{Step6::set});
    read(driver, "row:set:rear:spring_installed_length", "147");
    CHECK(driver.shows("Coils touch 2.8 mm before full travel"));
    go(driver, act::GoToStep{Step6::check});
    driver.check_low_by(0);
    CHECK(driver.shows("Coils touch 2.8 mm"));
    go(driver, act::GoToStep{Step6::keep});
    CHECK(driver.shows("Coils touch 2.8 mm"));
    driver.tap("primary");
    const Id bike = driver.state().bike;
    go(driver, act::Go{Screen::bike, bike});
    CHECK(driver.shows("Coils touch 2.8 mm"));
    const Baseline* kept = driver.state().ledger.newest_baseline(bike);
    REQUIRE(kept);
    CHECK(kept->body.reason.find("rear coils touch") != std::string::npos);
    go(driver, act::Go{Screen::baseline, kept->id});
    CHECK(driver.shows("Coils touch 2.8 mm"));
}

TEST_CASE("coils: where both ends are swapped, what is said of one stands under its name") {
    DemoHand driver;
    const Id bike = driver.state().bike;
    set_swap_aside(driver);
    go(driver, act::StartSwap{bike, {SwapPart::shock_spring, SwapPart::fork_springs}});
    go(driver, act::GoToStep{Step6::new_part});
    read_all(driver, {{"new_part:rear:spring_rate", "95"},
                      {"new_part:rear:spring_free_length", "165"},
                      {"new_part:rear:spring_block_length", "60"},
                      {"new_part:front:spring_rate", "8.2"},
                      {"new_part:front:spring_free_length", "286"},
                      {"new_part:front:spring_block_length", "240"}});
    go(driver, act::GoToStep{Step6::set});
    REQUIRE(driver.page().ruler->marks[3].current);
    std::string under;
    int refused = 0;
    for (const Row& r : driver.page().panel.rows) {
        if (const auto* heading = std::get_if<row::Heading>(&r)) under = heading->text;
        const auto* note = std::get_if<row::Note>(&r);
        if (!note || note->text.find("Coils touch") == std::string::npos) continue;
        CHECK((under == "Front" || note->text.starts_with("Front: ")));
        ++refused;
    }
    CHECK(refused > 0);
}

TEST_CASE("coils: with room between them the correction is offered") {
    Answered driver("90");
    driver.set_as_answered();
    driver.check_low_by(6);
    CHECK(driver.page().primary.label == "Set the correction");
    CHECK(field_to_correct(driver.state()));
    CHECK_FALSE(driver.shows("Coils touch"));
}

TEST_CASE("correction: none before the rider's height is read again") {
    Answered driver;
    driver.set_as_answered();
    read_all(driver,
             {{"check:rear:ride_height_topped_out", "500"}, {"check:rear:ride_height_static", "484"}});
    CHECK_FALSE(driver.shows("Correction, from what is set now"));
    read_all(driver, {{"check:rear:ride_height_rider", "460"}});
    CHECK(driver.shows("Correction, from what is set now"));
}

TEST_CASE("way back: to a swap's beginning the old part's readings count, and Back goes back to its entry") {
    Answered driver;
    driver.set_as_answered();
    driver.check_low_by(0);
    driver.keep();
    const Id bike = driver.state().bike;
    go(driver, act::Go{Screen::history, bike});
    const auto& moments = driver.state().season.moments;
    const auto swap =
        std::find_if(moments.begin(), moments.end(), [](const Entry& e) { return e.kind == "swap"; });
    REQUIRE(swap != moments.end());
    go(driver, act::OpenMoment{swap->id});
    CHECK(driver.shows("466"));
    CHECK(driver.page().primary.label == "Way back to this");
    driver.tap("primary");
    const PlanShown* shown = plan_shown(driver.state());
    REQUIRE(shown);
    CHECK(shown->then.length(End::rear, Point::spring_installed_length) == mm(150));
    driver.press(Key::escape);
    CHECK(driver.state().screen == Screen::moment);
    driver.tap("compare-now");
    driver.press(Key::escape);
    CHECK(driver.state().screen == Screen::moment);
    driver.press(Key::escape);
    CHECK(driver.state().screen == Screen::history);
    // The same after a new start: the closed swap's readings are looked up.
    driver.start();
    go(driver, act::Go{Screen::history, bike});
    const auto again =
        std::find_if(driver.state().season.moments.begin(), driver.state().season.moments.end(),
                     [](const Entry& e) { return e.kind == "swap"; });
    REQUIRE(again != driver.state().season.moments.end());
    go(driver, act::OpenMoment{again->id});
    CHECK(driver.shows("466"));
    // A baseline leads back and is compared, too.
    go(driver, act::Go{Screen::baseline, driver.state().ledger.newest_baseline(bike)->id});
    driver.tap("compare-now");
    CHECK(driver.state().screen == Screen::compare);
    driver.press(Key::escape);
    CHECK(driver.state().screen == Screen::baseline);
    driver.tap("way");
    CHECK(driver.state().screen == Screen::plan);
    driver.press(Key::escape);
    CHECK(driver.state().screen == Screen::baseline);
}

TEST_CASE("time line: several taps on a setting are one entry, none of them taken back") {
    DemoHand driver("No. 8");
    driver.tap("change");
    for (int i = 0; i < 3; ++i) driver.tap("change:rear:eye_to_eye:more");
    go(driver, act::Go{Screen::history, driver.state().bike});
    const auto& lines = driver.page().table->lines;
    REQUIRE(lines.size() > 2);
    CHECK(lines[0].cells[1] == "change");
    CHECK(std::none_of(lines.begin(), lines.begin() + 3, [](const PageTable::Line& line) {
        return line.cells.size() > 1 && line.cells[1].find("taken back") != std::string::npos;
    }));
}

TEST_CASE("change: the chain's slack is expected after the axle was moved, until it is read again") {
    DemoHand driver;
    set_swap_aside(driver);
    const double read = now_at(driver, End::rear, Point::chain_slack);
    driver.tap("change");
    driver.tap("change:rear:axle_position:more");
    const auto& rows = driver.page().panel.rows;
    const auto row = std::find_if(rows.begin(), rows.end(), [](const Row& one) {
        const auto* reading = std::get_if<row::ReadingRow>(&one);
        return reading && reading->id == "row:change:rear:chain_slack";
    });
    REQUIRE(row != rows.end());
    CHECK(std::get<row::ReadingRow>(*row).value.starts_with("≈"));
    const SetUp stands =
        expected_now(driver.state().ledger, *driver.state().ledger.bike(driver.state().bike));
    const StoredReading* slack = stands.stored(End::rear, Point::chain_slack);
    REQUIRE(slack);
    CHECK(is_computed(slack->reading));
    CHECK(measured(slack->reading).value < read);  // the axle went back
}

TEST_CASE(
    "drawing: the preload's tag on 'Set' shows the one that follows from the lengths, as its row does") {
    Answered driver;
    go(driver, act::GoToStep{Step6::set});
    read(driver, "row:set:rear:spring_installed_length", "152");
    driver.tap("row:set:rear:spring_installed_length");
    const auto& tags = driver.page().drawing.tags;
    const auto tag = std::find_if(tags.begin(), tags.end(),
                                  [](const Tag& t) { return t.id == "tag:set:rear:spring_preload"; });
    REQUIRE(tag != tags.end());
    CHECK(tag->value == "8.0");
    CHECK(tag->unit == "mm");
    CHECK(tag->note == "by its lengths");
}
