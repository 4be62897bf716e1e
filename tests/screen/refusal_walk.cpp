// What must not be ridden, what cannot be set, and what was not read: said on every page that would pass it on.
// By taps.

#include <doctest/doctest.h>

#include <algorithm>

#include "app/swap/to_set.h"
#include "core/ledger/chassis.h"
#include "tests/screen/answered.h"

using namespace restand;
using namespace restand::test;

namespace {

bool has_big_number(Driver& driver) {
    const auto& rows = driver.page().panel.rows;
    return std::any_of(rows.begin(), rows.end(),
                       [](const Row& r) { return std::holds_alternative<row::Big>(r); });
}

}  // namespace

TEST_CASE("refusal: after 'Do not fit' no page gives numbers to set, and 'Set' says why") {
    Answered driver("108");  // 150 − 50 − 108: they touch
    CHECK(driver.shows("Do not fit"));
    CHECK_FALSE(has_big_number(driver));
    go(driver, act::GoToStep{Step6::set});
    CHECK(driver.shows("Do not fit"));
    for (const char* id : {"row:set:rear:eye_to_eye", "row:set:rear:spring_installed_length"}) {
        CHECK(driver.row_of(id).label.find("set to") == std::string::npos);
        driver.tap(id);
        CHECK(driver.page().pad->last_value.empty());
        driver.tap("key:close");
    }
}

TEST_CASE("refusal: an end that stands higher with more load on it is asked about where it is typed") {
    Driver driver(tablet);
    begin_bike(driver);
    driver.tap("primary");
    read_all(driver, {{"before:rear:ride_height_topped_out", "540"}});
    driver.tap("row:before:rear:ride_height_static");
    driver.keys("560");
    driver.tap("primary");
    REQUIRE(driver.state().pad);
    CHECK(driver.state().pad->question.find("Higher than ride height, topped out") != std::string::npos);
    driver.tap("question:yes");
    if (driver.state().pad) driver.tap("key:close");
    // Kept all the same, the answer refuses it in words.
    read_all(driver, {{"before:rear:ride_height_rider", "500"},
                      {"before:rear:eye_to_eye", "310"},
                      {"before:rear:spring_rate", "95"},
                      {"before:rear:spring_free_length", "160"},
                      {"before:rear:spring_installed_length", "150"}});
    go(driver, act::GoToStep{Step6::new_part});
    read_all(driver, {{"new_part:rear:eye_to_eye", "310"}, {"new_part:rear:spring_rate", "95"}});
    go(driver, act::GoToStep{Step6::answer});
    CHECK(driver.shows("No answer yet"));
    CHECK_FALSE(driver.shows("baseline."));
    CHECK_FALSE(driver.shows("<="));
}

TEST_CASE("refusal: a rate far from the old spring's is asked about, and an odd count of links") {
    Answered driver;
    go(driver, act::GoToStep{Step6::new_part});
    driver.tap("row:new_part:rear:spring_rate");
    driver.keys("195");
    driver.tap("primary");
    REQUIRE(driver.state().pad);
    CHECK(driver.state().pad->question.find("The old spring has 95") != std::string::npos);
    driver.tap("question:no");
    driver.tap("key:close");
    DemoHand other;
    set_swap_aside(other);
    go(other, act::StartSwap{other.state().bike, {SwapPart::chain}});
    go(other, act::GoToStep{Step6::new_part});
    other.tap("row:new_part:rear:chain_links");
    other.keys("111");
    other.tap("primary");
    REQUIRE(other.state().pad);
    CHECK_FALSE(other.state().pad->question.empty());
}

TEST_CASE("refusal: a length beyond the adjuster can be tried, and not be written down as set") {
    DemoHand driver;
    driver.tap("attitude");
    const auto top_of = [&] {
        PageScreen& screen = driver.session().app().screen();
        if (!screen.rect_of("tried:rear:eye_to_eye:less"))
            screen.show("tried:rear:eye_to_eye:less"), driver.look();
        return screen.rect_of("tried:rear:eye_to_eye:less");
    };
    for (int i = 0; i < 40 && driver.page().primary.tap; ++i) driver.tap("tried:rear:eye_to_eye:less");
    CHECK_FALSE(driver.page().primary.tap);
    CHECK(driver.page().primary.why_not == "It cannot be set so.");
    CHECK(top_of());
    CHECK_FALSE(driver.shows("new_unit."));
    go(driver, act::KeepTried{});
    CHECK_FALSE(driver.state().trial.tried.empty());
    driver.tap("tried:rear:eye_to_eye:more");
    CHECK(driver.page().primary.tap);
}

TEST_CASE("coils: a change that makes them touch says so at once, on its page and on the bike's card") {
    Answered driver("99.8");
    driver.set_as_answered();
    driver.check_low_by(0);
    driver.keep();
    go(driver, act::StartChange{driver.state().bike});
    CHECK_FALSE(driver.shows("Coils touch"));
    go(driver, act::Nudge{End::rear, Point::spring_installed_length, -1});
    REQUIRE(driver.state().notice);
    CHECK(driver.state().notice->text.find("Coils touch") != std::string::npos);
    go(driver, act::Go{Screen::bikes, {}});
    CHECK(driver.shows("Coils touch"));
}

TEST_CASE("coils: an answer says when it is not known whether they touch") {
    Answered unknown;
    CHECK(says(unknown, "Whether the coils touch before full travel is not known"));
    Answered known("90");
    CHECK_FALSE(says(known, "Whether the coils touch"));
    CHECK(says(known, "Coils clear by"));
}

TEST_CASE(
    "answer: after the check ordered a correction it is called the first answer, and leads to the "
    "correction") {
    Answered driver("90");
    driver.set_as_answered();
    go(driver, act::GoToStep{Step6::answer});
    CHECK_FALSE(driver.shows("This was the first answer"));
    go(driver, act::GoToStep{Step6::check});
    driver.check_low_by(6);
    go(driver, act::GoToStep{Step6::answer});
    CHECK(driver.shows("This was the first answer"));
    CHECK(driver.page().primary.label == "To the correction");
}

TEST_CASE(
    "set: once the spring's length is set, its preload is what follows, and no correction waits for it") {
    Answered driver;
    driver.set_as_answered();
    go(driver, act::GoToStep{Step6::set});
    const double installed = driver.stored(Phase::set, Point::spring_installed_length) + 0.9;
    read(driver, "row:set:rear:spring_installed_length", print_fixed(installed, 1));
    const Field preload = field_of({Phase::set, End::rear, Point::spring_preload});
    go(driver, act::OpenTag{preload});
    REQUIRE(same_value(driver.state(), preload));
    CHECK(same_value(driver.state(), preload)->text == print_fixed(160 - installed, 1));
    driver.tap("key:same");
    driver.tap("primary");
    if (driver.state().pad) driver.tap("key:close");
    go(driver, act::GoToStep{Step6::check});
    driver.check_low_by(6);
    go(driver, act::GoToStep{Step6::set});
    const auto waits = field_to_correct(driver.state());
    REQUIRE(waits);
    CHECK(waits->point == Point::spring_installed_length);
    CHECK_FALSE(awaits_correction(driver.state(), {Phase::set, End::rear, Point::spring_preload}));
}

TEST_CASE("repeat: the key that asks for one more reading keeps those that are there") {
    Answered driver("90");
    driver.set_as_answered();
    driver.check_low_by(1);
    REQUIRE(driver.shows("Cannot tell"));
    CHECK(driver.page().primary.label == "Read again: ride height, rider");
    driver.tap("primary");
    REQUIRE(driver.state().pad);
    CHECK(driver.state().pad->repeats.size() == 1);
    driver.keys("465.4");
    driver.tap("primary");
    const StoredReading* rider =
        open_swap(driver.state())->stored({Phase::check, End::rear, Point::ride_height_rider});
    REQUIRE(rider);
    CHECK(rider->reading.repeats.size() == 2);
    CHECK(rider->reading.settled_anew);
}

TEST_CASE("baseline: a preload that does not count is left out of it") {
    Answered driver("90");
    driver.set_as_answered();
    go(driver, act::GoToStep{Step6::set});
    read(driver, "row:set:rear:spring_preload", "4");
    go(driver, act::GoToStep{Step6::check});
    driver.check_low_by(0);
    driver.keep();
    const Baseline* kept = driver.state().ledger.newest_baseline(driver.state().bike);
    REQUIRE(kept);
    CHECK(kept->value(End::rear, Point::spring_installed_length));
    CHECK_FALSE(kept->value(End::rear, Point::spring_preload));
}

TEST_CASE("baseline: a slack that was moved and not read again is kept as it is expected, and said to be") {
    DemoHand driver;
    set_swap_aside(driver);
    const double read_once = now_at(driver, End::rear, Point::chain_slack);
    go(driver, act::StartChange{driver.state().bike});
    go(driver, act::Nudge{End::rear, Point::axle_position, 1});
    const Bike& bike = *driver.state().ledger.bike(driver.state().bike);
    const double expected = *expected_now(driver.state().ledger, bike).number(End::rear, Point::chain_slack);
    REQUIRE(expected < read_once - 1);
    go(driver, act::StartSwap{bike.id, {SwapPart::fork_springs}});
    for (const ShelfItem* item : driver.state().ledger.shelf())
        if (item->body.part == SwapPart::fork_springs) go(driver, act::PickItem{item->id});
    for (const Step6 step :
         {Step6::before, Step6::new_part, Step6::answer, Step6::set, Step6::check, Step6::keep}) {
        go(driver, act::GoToStep{step});
        for (int left = 20; left > 0 && needed_field(driver.state()); --left) type_needed(driver);
    }
    REQUIRE(driver.page().ruler->marks[5].current);
    driver.tap("primary");
    const Baseline* kept = driver.state().ledger.newest_baseline(bike.id);
    const BaselineValue* slack = kept ? kept->value(End::rear, Point::chain_slack) : nullptr;
    REQUIRE(slack);
    CHECK(is_computed(slack->stored.reading));
    CHECK(measured(slack->stored.reading).value == doctest::Approx(expected).epsilon(1e-6));
}

TEST_CASE("numbers: what was typed of a bike survives Back, and is saved later") {
    DemoHand driver;
    driver.tap("edit");
    driver.session().act(act::OpenTag{{.of = Field::Of::bike, .bike = BikeField::rake}});
    driver.look();
    driver.session().act(act::PadText{"25.1"});
    driver.look();
    driver.tap("primary");
    if (driver.state().pad) driver.tap("key:close");
    driver.press(Key::escape);
    CHECK(driver.state().screen == Screen::bike);
    CHECK(driver.shows("typed, not saved yet"));
    driver.tap("edit");
    CHECK(in_degrees(*driver.state().form->body.geometry.rake) == doctest::Approx(25.1));
    driver.tap("primary");
    CHECK(in_degrees(*driver.state().ledger.bike(driver.state().bike)->body.geometry.rake) ==
          doctest::Approx(25.1));
    CHECK_FALSE(driver.shows("typed, not saved yet"));
}

TEST_CASE("refusal: another part from the shelf takes out what was set and checked with the one before") {
    Answered driver("90");
    const Id swap = driver.state().swap;
    go(driver, act::AddToShelf{SwapPart::shock});
    read_all(driver, {{"shelf:eye_to_eye", "311"}});
    const Id item = driver.state().item;
    go(driver, act::ResumeSwap{swap});
    driver.set_as_answered();
    driver.check_low_by(0);
    REQUIRE(driver.stored(Phase::set, Point::eye_to_eye) > 0);
    go(driver, act::PickItem{item});
    CHECK(driver.stored(Phase::set, Point::eye_to_eye) == 0);
    CHECK(driver.stored(Phase::check, Point::ride_height_rider) == 0);
    CHECK(driver.stored(Phase::before, Point::ride_height_rider) == 466);
}
