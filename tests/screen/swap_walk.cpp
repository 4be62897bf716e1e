// A whole swap on the real app, by tapping what a person taps: a new workshop, a name, a bike, six steps, a
// baseline. The numbers are the case of core/casefile/case.md; the expected values are worked out beside
// them.

#include "tests/screen/team.h"

using namespace restand;
using test::walk_viewports;

namespace {

// First start: who is working, then a bike with a name and one leverage ratio.
void first_start(Driver& driver) {
    CHECK(driver.page().title == "Who is working?");
    driver.tap("primary");
    driver.keys("ilse");
    driver.tap("primary");
    CHECK(driver.page().who == "working: Ilse");
    driver.tap("primary");  // Add a bike: its name first
    driver.keys("no. 5");
    driver.tap("primary");  // then its leverage ratio
    driver.keys("2.05");
    driver.tap("primary");
    CHECK(driver.page().primary.label == "Save the bike");
    driver.tap("primary");
    REQUIRE(driver.state().ledger.bikes().size() == 1);
    CHECK(driver.page().title == "No. 5");
}

void read_fully(Driver& driver, const std::string& id, const std::string& number) {
    driver.tap(id);
    REQUIRE(driver.state().pad.has_value());
    // A height is read four times, the bike settled anew: once would not tell 2 mm.
    if (is_settled(driver.state().pad->field.point)) {
        if (!driver.state().pad->settled_anew) driver.tap("key:settled");
        for (int i = 0; i < 3; ++i) {
            driver.keys(number);
            driver.tap("repeat:add");
        }
    }
    driver.keys(number);
    driver.tap("primary");
    if (driver.state().pad && !driver.state().pad->question.empty()) driver.tap("question:yes");
    if (driver.state().pad) driver.tap("key:close");
}

void before(Driver& driver) {
    driver.tap("primary");  // Swap the shock
    CHECK(driver.page().panel.title == "Before: the old shock in");
    read_fully(driver, "tag:before:rear:ride_height_topped_out", "500");
    read_fully(driver, "tag:before:rear:ride_height_static", "490.3");
    read_fully(driver, "row:before:rear:ride_height_rider", "469.8");
    read_fully(driver, "row:before:rear:eye_to_eye", "310");
    read_fully(driver, "tag:before:rear:spring_free_length", "160");
    read_fully(driver, "tag:before:rear:spring_installed_length", "150");
    read_fully(driver, "tag:before:rear:spring_rate", "95");
    read_fully(driver, "row:before:rear:gas_force", "150");
    read_fully(driver, "row:before:rear:chain_slack", "32");
}

void new_part(Driver& driver) {
    CHECK(driver.page().primary.label == "On to the new part");
    driver.tap("primary");
    read_fully(driver, "row:new_part:rear:eye_to_eye", "305");
    read_fully(driver, "row:new_part:rear:eye_to_eye_min", "300");
    read_fully(driver, "row:new_part:rear:eye_to_eye_max", "316");
    read_fully(driver, "row:new_part:rear:length_mm_per_turn", "1.25");
    read_fully(driver, "row:new_part:rear:travel", "66");
    read_fully(driver, "row:new_part:rear:gas_force", "420");
    read_fully(driver, "row:new_part:rear:spring_rate", "100");
    read_fully(driver, "row:new_part:rear:spring_free_length", "155");
    read_fully(driver, "row:new_part:rear:spring_block_length", "72");
    read_fully(driver, "row:new_part:rear:spring_installed_length", "148");
    read_fully(driver, "row:new_part:rear:collar_mm_per_turn", "1.5");
}

// l_r = 310 − 30.2/2.05 = 295.268; F = 150 + 95·(10 + 14.732) = 2499.5; L' = 310;
// p' = (2499.5 − 420)/100 − 14.732 = 6.064; installed 155 − 6.064 = 148.94.
// From 305 at 1.25 mm a turn: 4 turns out. From 148 at 1.5: 0.62 out. The nearest quarter is ½ (148.75) or ¾
// (149.13). 148.94 is 0.19 from both, so the rider height decides.
void answer(Driver& driver) {
    driver.tap("primary");  // Work out the answer
    CHECK(driver.page().panel.title == "Set this on the new shock");
    CHECK(driver.shows("310.0"));
    CHECK(driver.shows("4 turns out"));
    CHECK(driver.shows("½ turn out"));
    CHECK(driver.shows("Arithmetic on your readings"));
}

void set_and_check(Driver& driver) {
    driver.tap("primary");  // I have set it
    driver.tap("tag:set:rear:eye_to_eye");
    driver.tap("key:same");
    driver.tap("primary");
    if (driver.state().pad && driver.state().pad->field.point != Point::spring_installed_length)
        driver.tap("key:close");
    if (!driver.state().pad) driver.tap("row:set:rear:spring_installed_length");
    driver.tap("key:same");
    driver.tap("primary");
    if (driver.state().pad) driver.tap("key:close");
    CHECK(driver.page().primary.label == "On to the check");
    driver.tap("primary");
    read_fully(driver, "tag:check:rear:ride_height_topped_out", "500");
    read_fully(driver, "row:check:rear:ride_height_rider", "470");
}
}  // namespace

namespace {
struct Held {
    Viewport viewport;
    bool by_mouse = false;
};
constexpr Held held[] = {{walk_viewports[0]},
                         {walk_viewports[1]},
                         {walk_viewports[2]},
                         {walk_viewports[0], true},
                         {walk_viewports[2], true}};
}  // namespace

TEST_CASE(
    "a whole swap by taps, from an empty workshop to the kept baseline, on three displays, by finger and by "
    "mouse") {
    for (const Held& one : held) {
        CAPTURE(one.viewport.width_px);
        CAPTURE(one.viewport.height_px);
        CAPTURE(one.by_mouse);
        Driver driver(one.viewport);
        if (one.by_mouse) driver.use_mouse();
        first_start(driver);
        before(driver);
        new_part(driver);
        answer(driver);
        set_and_check(driver);
        // 470 after 469.8, both with the same tape, the rider seated anew four times: that can tell 2 mm.
        CHECK(driver.shows("Restored"));
        driver.tap("step:6");
        CHECK(driver.page().primary.label == "Keep as baseline");
        driver.tap("primary");
        const Bike* bike = driver.state().ledger.bikes().front();
        const Baseline* kept = driver.state().ledger.newest_baseline(bike->id);
        REQUIRE(kept);
        CHECK(kept->body.reason == "shock swapped · restored");
        const BaselineValue* eye = kept->value(End::rear, Point::eye_to_eye);
        REQUIRE(eye);
        CHECK(measured(eye->stored.reading).value == doctest::Approx(310.0));
        const BaselineValue* rider = kept->value(End::rear, Point::ride_height_rider);
        REQUIRE(rider);
        CHECK(rider->stored.reading.repeats.front().text == "470");
        CHECK(driver.state().ledger.person(rider->stored.by)->name == "Ilse");
        CHECK(kept->value(End::rear, Point::chain_slack));
        CHECK_FALSE(driver.state().ledger.open_swap(bike->id));
    }
}

TEST_CASE(
    "the app killed at any step comes back at that step with every reading, and the half-typed digits") {
    Driver driver(walk_viewports[0]);
    first_start(driver);
    before(driver);
    driver.tap("row:before:rear:axle_position");
    driver.keys("11.");
    driver.start();
    CHECK(driver.page().panel.title == "Before: the old shock in");
    REQUIRE(driver.state().pad.has_value());
    CHECK(driver.state().pad->entry == "11.");
    CHECK(driver.page().who == "working: Ilse");
    driver.keys("11.5");  // a gauge's number is not appended to half-typed text
    driver.tap("primary");
    if (driver.state().pad) driver.tap("key:close");
    new_part(driver);
    driver.tap("primary");
    driver.start();
    CHECK(driver.page().panel.title == "Set this on the new shock");
    const Swap* swap = open_swap(driver.state());
    REQUIRE(swap);
    CHECK(swap->stored_readings.size() == 21);  // nine and the axle before, eleven of the new part
    CHECK(swap->stored({Phase::before, End::rear, Point::axle_position})->reading.repeats.front().text ==
          "11.5");
}

TEST_CASE("a gauge that types fills one tag after the other, hands on the tool") {
    Driver driver(walk_viewports[0]);
    first_start(driver);
    driver.tap("primary");
    driver.gauge("500");  // no pad is open: the first needed tag opens
    CHECK(open_swap(driver.state())->stored({Phase::before, End::rear, Point::ride_height_topped_out}));
    REQUIRE(driver.state().pad.has_value());
    CHECK(driver.state().pad->field.point == Point::ride_height_static);
    driver.gauge("490,3");
    driver.gauge("469.8");
    const Swap* swap = open_swap(driver.state());
    CHECK(swap->stored({Phase::before, End::rear, Point::ride_height_static})->reading.repeats.front().text ==
          "490,3");
    CHECK(measured(swap->stored({Phase::before, End::rear, Point::ride_height_static})->reading).value ==
          doctest::Approx(490.3));
    CHECK(swap->stored({Phase::before, End::rear, Point::ride_height_rider}));
}

TEST_CASE("wrong input says what and what to do, and keeps nothing") {
    Driver driver(walk_viewports[0]);
    first_start(driver);
    driver.tap("primary");
    driver.tap("tag:before:rear:ride_height_topped_out");
    driver.keys("1.2.3");
    driver.tap("primary");
    REQUIRE(driver.state().pad.has_value());
    CHECK_FALSE(driver.state().pad->problem.empty());
    CHECK(driver.shows("Not a number"));
    CHECK(open_swap(driver.state())->stored_readings.empty());
    for (int i = 0; i < 5; ++i) driver.tap("key:erase");
    driver.keys("99999");
    driver.tap("primary");
    CHECK(driver.shows("Cannot be"));
    CHECK(open_swap(driver.state())->stored_readings.empty());
    for (int i = 0; i < 5; ++i) driver.tap("key:erase");
    // A number far outside the usual range is questioned once.
    driver.keys("1500");
    driver.tap("primary");
    CHECK(driver.shows("Usual is"));
    driver.tap("question:no");
    CHECK(open_swap(driver.state())->stored_readings.empty());
}

TEST_CASE("undo takes back the last reading, and the one it replaced stands again") {
    Driver driver(walk_viewports[0]);
    first_start(driver);
    driver.tap("primary");
    read_fully(driver, "tag:before:rear:ride_height_topped_out", "500");
    read_fully(driver, "tag:before:rear:ride_height_topped_out", "501");
    auto stands = [&] {
        const StoredReading* t =
            open_swap(driver.state())->stored({Phase::before, End::rear, Point::ride_height_topped_out});
        return t ? t->reading.repeats.front().text : std::string("nothing");
    };
    CHECK(stands() == "501");
    driver.press(Key::undo);
    CHECK(stands() == "500");
    driver.press(Key::undo);
    CHECK(stands() == "nothing");
}

TEST_CASE("inches, as typed: a fraction from the pad stays a fraction and counts as its millimetres") {
    Driver driver(walk_viewports[0]);
    first_start(driver);
    driver.tap("primary");
    driver.tap("tag:before:rear:ride_height_topped_out");
    driver.tap("key:unit");
    driver.gauge("19 11/16");
    const StoredReading* stored =
        open_swap(driver.state())->stored({Phase::before, End::rear, Point::ride_height_topped_out});
    REQUIRE(stored);
    CHECK(stored->reading.repeats.front().text == "19 11/16");
    CHECK(measured(stored->reading).value == doctest::Approx(19.6875 * 25.4).epsilon(1e-12));
}

TEST_CASE("a reading in the file of another Restand that holds it: reading only, and it says so") {
    Driver driver(walk_viewports[0]);
    first_start(driver);
    Driver second(walk_viewports[0], driver.file());
    CHECK(second.page().saved == "reading only");
    CHECK(second.shows("reading only"));
    CHECK(second.state().ledger.bikes().size() == 1);
}

TEST_CASE("a tyre's name typed in a fork swap is kept, and its tag opens again") {
    test::DemoHand driver("No. 8");
    const Bike* bike = test::bike_named(driver, "No. 8");
    if (const Swap* open = driver.state().ledger.open_swap(bike->id))
        test::go(driver, act::AbandonSwap{open->id});
    test::go(driver, act::StartSwap{bike->id, {SwapPart::fork_springs}});
    driver.tap("row:before:front:tyre");
    driver.gauge("soft");
    driver.press(Key::escape);
    driver.tap("row:before:front:tyre");
    REQUIRE(driver.state().pad.has_value());
    CHECK(driver.state().pad->field.point == Point::tyre);
    CHECK(driver.shows("soft"));
}
