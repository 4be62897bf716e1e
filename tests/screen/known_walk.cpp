// Swaps for which not everything is known, by taps: nobody to sit on the bike, only lengths and preloads, a bike
// with a baseline. Each answer says on its page what it takes for granted.

#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

void begin_new(Driver& driver) {
    begin_bike(driver);
    driver.tap("primary");  // Swap the shock
}

const UncertainAnswer& rear_answer(Driver& driver) {
    const auto& answer = solved_swap(driver.state())->uncertainty(End::rear);
    REQUIRE(answer.has_value());
    return *answer;
}

}  // namespace

TEST_CASE(
    "known: a shock swap with nobody to sit on: static is held, the rider's height is told with its range") {
    Driver driver(tablet);
    begin_new(driver);
    read_all(driver, {{"before:rear:ride_height_topped_out", "500"},
                      {"before:rear:ride_height_static", "490.3"},
                      {"before:rear:eye_to_eye", "310"},
                      {"before:rear:spring_free_length", "160"},
                      {"before:rear:spring_installed_length", "150"},
                      {"before:rear:spring_rate", "95"},
                      {"before:rear:gas_force", "150"}});
    CHECK(driver.page().primary.label == "Measure: ride height, rider");
    driver.tap("step:2");
    read_all(driver, {{"new_part:rear:eye_to_eye", "310"},
                      {"new_part:rear:gas_force", "150"},
                      {"new_part:rear:spring_rate", "90"},
                      {"new_part:rear:spring_free_length", "160"}});
    driver.tap("primary");
    CHECK(driver.page().panel.title == "Set this on the new shock");
    CHECK(rear_answer(driver).answer.hold == State::static_);
    CHECK(driver.shows("not read"));
    CHECK(driver.shows("Not read, and taken as"));
    // 95 and 90 N/mm: p2 follows x by 1/18 of it.
    CHECK(says(driver, "heights hardly matter"));
    CHECK(driver.shows("ride height, static"));
    // x = 9.7/2.05; p2 = 95/90·(10 + x) − x = 10.818; set to 160 − 10.818.
    CHECK(in_mm(rear_answer(driver).answer.setting.preload) == doctest::Approx(10.8184).epsilon(1e-4));
    // One tap reads it after all: with the rider's height the answer holds that one.
    driver.tap("assumed:before:rear:ride_height_rider");
    driver.keys("469.8");
    driver.tap("primary");
    if (driver.state().pad) driver.tap("question:yes");
    CHECK_FALSE(driver.state().pad.has_value());
    CHECK(rear_answer(driver).answer.hold == State::rider);
    CHECK_FALSE(driver.shows("not read"));
}

TEST_CASE("known: from eye-to-eye lengths and preloads alone there is an answer that says what it is worth") {
    Driver driver(tablet);
    begin_new(driver);
    read_all(driver, {{"before:rear:eye_to_eye", "310"}});
    CHECK_FALSE(driver.page().ruler->marks[2].reachable);
    read_all(driver, {{"before:rear:spring_preload", "9"}});
    driver.tap("step:2");
    read_all(driver, {{"new_part:rear:eye_to_eye", "305"}, {"new_part:rear:length_mm_per_turn", "1.25"}});
    driver.tap("answer-now");
    CHECK(driver.page().panel.title == "Set this on the new shock");
    CHECK(driver.shows("4 turns out"));
    CHECK(driver.shows("spring, preload"));
    CHECK(in_mm(rear_answer(driver).answer.setting.preload) == doctest::Approx(9).epsilon(1e-6));
    CHECK(must_hold_change(rear_answer(driver))->expanded > 2);
    for (const char* taken : {"assumed:new_part:rear:gas_force", "assumed:new_part:rear:spring_rate"})
        CHECK(
            std::any_of(driver.page().panel.rows.begin(), driver.page().panel.rows.end(), [&](const Row& r) {
                const auto* button = std::get_if<row::Button>(&r);
                return button && button->id == taken;
            }));
    // Set and kept by the preload: nobody knows the spring's length.
    driver.tap("primary");
    driver.tap("row:set:rear:eye_to_eye");
    driver.tap("key:same");
    driver.tap("primary");
    if (driver.state().pad) driver.tap("key:close");
    CHECK(driver.page().primary.label == "Measure: spring, preload");
    driver.tap("primary");
    driver.tap("key:same");
    driver.tap("primary");
    CHECK(driver.page().primary.label == "On to the check");
}

TEST_CASE("known: on a bike with a baseline everything is carried: at most 25 taps to the answer") {
    DemoHand driver;
    int taps = 0;
    const auto tap = [&](const std::string& id) { driver.tap(id), ++taps; };
    const auto keys = [&](const std::string& text) {
        driver.keys(text);
        taps += static_cast<int>(text.size());
    };
    set_swap_aside(driver);
    const auto before = driver.state().ledger.swaps(driver.state().bike).size();
    tap("primary");
    if (driver.state().screen == Screen::choose) tap("part:shock"), tap("primary");
    REQUIRE(driver.state().ledger.swaps(driver.state().bike).size() == before + 1);
    CHECK(driver.page().primary.label == "On to the new part");
    tap("primary");
    for (const auto& [row, number] : {std::pair{"row:new_part:rear:eye_to_eye", "311"},
                                      {"tag:new_part:rear:gas_force", "200"},
                                      {"row:new_part:rear:spring_rate", "95"},
                                      {"row:new_part:rear:spring_free_length", "160"}}) {
        if (driver.state().pad && row[0] == 'r') tap("key:close");  // rows lie behind the pad, tags do not
        tap(row);
        keys(number);
        tap("primary");
        if (driver.state().pad && !driver.state().pad->question.empty()) tap("question:yes");
    }
    if (driver.state().pad) tap("key:close");
    tap("primary");
    CHECK(driver.page().panel.title == "Set this on the new shock");
    CHECK(driver.shows("As kept"));
    CHECK(taps <= 25);
    const auto input = case_of(solved_swap(driver.state())->site(), End::rear);
    REQUIRE(input.has_value());
    for (const SwapInput& i : input->inputs)
        CHECK((i.slot.phase == Phase::new_part || i.origin != Origin::assumed));
}

TEST_CASE("repeats: the pad says before a number is typed, and with it, that it replaces them all") {
    Driver driver(tablet);
    begin_new(driver);
    driver.tap("row:before:rear:ride_height_topped_out");
    type_repeats(driver, "500", 3);
    driver.tap("key:close");
    const auto said = [&driver] { return driver.page().pad->summary; };
    driver.tap("row:before:rear:ride_height_topped_out");
    CHECK(said().find("+ adds one") != std::string::npos);
    driver.keys("499");
    CHECK(said().find("replaces 3 repeats") != std::string::npos);
    CHECK(driver.shows("replaces 3 repeats"));
    driver.tap("key:close");
    // Added to, nothing is replaced.
    driver.tap("row:before:rear:ride_height_topped_out");
    driver.tap("repeat:add");
    driver.keys("499");
    CHECK(said().find("replaces") == std::string::npos);
    driver.tap("primary");
    const StoredReading* four =
        open_swap(driver.state())->stored({Phase::before, End::rear, Point::ride_height_topped_out});
    REQUIRE(four);
    CHECK(four->reading.repeats.size() == 4);
    if (driver.state().pad) driver.tap("key:close");
    // Of a single reading nothing is said: it is the one that is seen.
    read(driver, "row:before:rear:eye_to_eye", "310");
    driver.tap("row:before:rear:eye_to_eye");
    driver.keys("311");
    CHECK(said().find("replaces") == std::string::npos);
}
