// A fork swap on the real app: the answer, its corrections after the check, a spring that cannot do it. The
// expected values are worked out beside the tests.

#include "tests/screen/team.h"

using namespace restand;

namespace {
// The end at which this swap asks for a point.
End end_in_hand(Driver& driver, Phase phase, Point point) {
    for (const Asked& a : asked(*open_swap(driver.state()), phase))
        if (a.point == point) return a.end;
    return End::rear;
}

// A swap with its readings already on disk, faster than by taps. The test then views the screens by taps.
void read_at_once(Driver& driver, Phase phase,
                  std::initializer_list<std::pair<Point, const char*>> readings) {
    for (const auto& [point, text] : readings) {
        driver.session().act(act::OpenTag{{.of = Field::Of::reading,
                                           .phase = phase,
                                           .point = point,
                                           .end = end_in_hand(driver, phase, point)}});
        if (is_settled(point)) {
            driver.session().act(act::PadSettled{});
            for (int i = 0; i < 3; ++i)
                driver.session().act(act::PadText{text}), driver.session().act(act::PadRepeat{});
        }
        driver.session().act(act::PadText{text});
        driver.session().act(act::PadNext{});
        driver.look();
        if (driver.state().pad && !driver.state().pad->question.empty()) driver.tap("question:yes");
    }
    if (driver.state().pad) driver.tap("key:close");
}

// Before, and the new fork.
void read_fork(Driver& driver) {
    read_at_once(driver, Phase::before,
                 {{Point::ride_height_topped_out, "560"},
                  {Point::ride_height_rider, "500"},
                  {Point::fork_position, "6"},
                  {Point::fork_length, "740"},
                  {Point::spring_free_length, "300"},
                  {Point::spring_installed_length, "288"},
                  {Point::spring_rate, "9.5"}});
    driver.tap("primary");
    read_at_once(driver, Phase::new_part,
                 {{Point::fork_length, "752"},
                  {Point::fork_position, "6"},
                  {Point::travel, "120"},
                  {Point::spring_rate, "9"},
                  {Point::spring_free_length, "300"},
                  {Point::spring_block_length, "120"},
                  {Point::spring_installed_length, "290"},
                  {Point::collar_mm_per_turn, "1"}});
}

void give(Driver& driver, BikeField field, const char* text) {
    driver.session().act(act::OpenTag{{.of = Field::Of::bike, .bike = field}});
    driver.session().act(act::PadText{text});
    driver.session().act(act::PadNext{});
    driver.look();
}
}  // namespace

// Heights along the fork (ratio 1): F = 2·9.5·(12 + 60) = 1368 with rider; tube 740 at position 6, so l =
// 734.
// The new tube is 752: position 752 − 734 = 18. New springs 9: 2·9·(p + 60) = 1368, p = 16; installed 300 −
// 16 = 284.
TEST_CASE("the front goes the same six steps: fork position and springs, and its correction") {
    Driver driver(test::tablet);
    test::begin_bike(driver);
    driver.tap("edit");
    give(driver, BikeField::front_leverage, "1");
    driver.tap("primary");
    test::begin_swap(driver, "fork");
    CHECK(driver.page().panel.title == "Before: the old fork in");
    read_fork(driver);
    driver.tap("primary");
    CHECK(driver.page().panel.title == "Set this on the new fork");
    CHECK(driver.shows("18.0"));
    CHECK(driver.shows("tubes up 12.0"));
    CHECK(driver.shows("284.0"));
    CHECK(driver.shows("6 turns in"));
    driver.tap("primary");
    // A number that belongs to another tag is questioned, and the tag can be left again.
    driver.tap("primary");
    for (const char key : std::string("29")) driver.tap(std::string("key:") + key);
    driver.tap("primary");
    REQUIRE(driver.state().pad.has_value());
    CHECK(driver.state().pad->question.find("from what the answer says") != std::string::npos);
    driver.session().act(act::CloseTag{});
    driver.look();
    read_at_once(driver, Phase::set, {{Point::fork_position, "18"}, {Point::spring_installed_length, "284"}});
    driver.tap("primary");
    read_at_once(driver, Phase::check,
                 {{Point::ride_height_topped_out, "560"}, {Point::ride_height_rider, "492"}});
    CHECK(driver.shows("Not restored"));
    CHECK(driver.shows("fork position"));
    CHECK(driver.page().primary.label == "Set the correction");
    // 8 mm too low at a ratio of 1: 8 mm more preload, so springs 8 mm shorter. The set step says so.
    driver.tap("primary");
    CHECK(driver.page().primary.label == "Set: spring, installed");
    driver.tap("primary");
    driver.session().act(act::PadSame{});
    driver.look();
    REQUIRE(driver.state().pad.has_value());
    CHECK(driver.state().pad->entry == "276");
    driver.tap("primary");
    if (driver.state().pad) driver.session().act(act::CloseTag{}), driver.look();
    CHECK(driver.page().primary.label == "On to the check");
    driver.tap("primary");
    // Measured before the new setting, so no longer valid. The stop is unchanged.
    CHECK_FALSE(driver.shows("Not restored"));
    CHECK(driver.page().primary.label == "Measure: ride height, rider");
    read_at_once(driver, Phase::check, {{Point::ride_height_rider, "500"}});
    CHECK(driver.shows("Restored"));
}

// As above, with the stop 3 mm lower too: the tubes come back by 3 mm, and the spring is set beside it.
TEST_CASE(
    "two corrections: the second one stays when the first is set, and Undo of the first brings the check "
    "back") {
    Driver driver(test::tablet);
    test::begin_bike(driver);
    driver.tap("edit");
    give(driver, BikeField::front_leverage, "1");
    driver.tap("primary");
    test::begin_swap(driver, "fork");
    read_fork(driver);
    driver.tap("primary");
    driver.tap("primary");
    read_at_once(driver, Phase::set, {{Point::fork_position, "18"}, {Point::spring_installed_length, "284"}});
    driver.tap("primary");
    read_at_once(driver, Phase::check,
                 {{Point::ride_height_topped_out, "557"}, {Point::ride_height_rider, "485"}});
    REQUIRE(driver.page().primary.label == "Set the correction");
    const auto offered = [&](Point point) {
        test::go(
            driver,
            act::OpenTag{{.of = Field::Of::reading, .phase = Phase::set, .point = point, .end = End::front}});
        test::go(driver, act::PadSame{});
        REQUIRE(driver.state().pad.has_value());
        const std::string text = driver.state().pad->entry;
        test::go(driver, act::CloseTag{});
        return text;
    };
    driver.tap("primary");
    const std::string position = offered(Point::fork_position),
                      spring = offered(Point::spring_installed_length);
    CHECK(position == "15");
    CHECK(spring != "284");
    // The first one is set as offered: the second is still the next thing to do, with the same number.
    REQUIRE(driver.page().primary.label == "Set: fork position");
    driver.tap("primary");
    test::go(driver, act::PadSame{});
    driver.tap("primary");
    if (driver.state().pad) test::go(driver, act::CloseTag{});
    CHECK(driver.page().primary.label == "Set: spring, installed");
    CHECK(offered(Point::spring_installed_length) == spring);
    // Undone, the check describes the bike again, and both are to be set.
    test::go(driver, act::Undo{});
    CHECK(driver.page().primary.label == "Set: fork position");
    test::go(driver, act::GoToStep{Step6::check});
    CHECK(driver.shows("Not restored"));
    CHECK(driver.page().primary.label == "Set the correction");
    driver.tap("primary");
    for (int i = 0; i < 2; ++i) {
        driver.tap("primary");
        test::go(driver, act::PadSame{});
        driver.tap("primary");
        if (driver.state().pad) test::go(driver, act::CloseTag{});
    }
    CHECK(driver.page().primary.label == "On to the check");
}

// A spring twice as stiff with more gas force would need less than no preload.
TEST_CASE("a spring that is too stiff: the answer names the limit and what cannot be held") {
    Driver driver(test::tablet);
    test::begin_bike(driver);
    test::begin_swap(driver, "shock_spring");
    read_at_once(driver, Phase::before,
                 {{Point::ride_height_topped_out, "500"},
                  {Point::ride_height_rider, "470"},
                  {Point::eye_to_eye, "310"},
                  {Point::spring_free_length, "160"},
                  {Point::spring_installed_length, "152"},
                  {Point::spring_rate, "95"}});
    driver.tap("primary");
    read_at_once(driver, Phase::new_part, {{Point::spring_rate, "190"}, {Point::spring_free_length, "160"}});
    driver.tap("primary");
    CHECK(driver.shows("loose by"));
    CHECK(driver.page().primary.label == "Try another part");
}
