// How many taps and scrolls the usual work takes, digits included, by following the black key.

#include <fmt/format.h>

#include <cmath>
#include <map>
#include <set>

#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

// What is read of the new part, by its own numbers.
const std::map<Point, std::string> new_shock = {{Point::eye_to_eye, "311"},
                                                {Point::gas_force, "200"},
                                                {Point::spring_rate, "95"},
                                                {Point::spring_free_length, "160"}};

// A height as it stood before, read to half a millimetre with all its digits.
std::string as_it_stood(Driver& driver, const Field& field) {
    const Baseline* kept = driver.state().ledger.newest_baseline(driver.state().bike);
    REQUIRE(kept);
    for (const BaselineValue& v : kept->body.values)
        if (v.end == field.end && v.stored.reading.point == field.point)
            return fmt::format("{:.1f}", std::round(2 * measured(v.stored.reading).value) / 2);
    FAIL("the baseline has no such height");
    return "";
}

void fill(Driver& driver, const std::string& number) {
    driver.keys(number);
    driver.tap("primary");
    if (driver.state().pad && !driver.state().pad->question.empty()) driver.tap("question:yes");
}

}  // namespace

TEST_CASE("taps: a swap on a bike with a baseline, from its card to kept: at most 60 taps and 6 scrolls") {
    DemoHand driver;
    const Id bike = driver.state().bike;
    set_swap_aside(driver);
    go(driver, act::Go{Screen::bikes, {}});
    const auto kept_before = driver.state().ledger.baselines(bike).size();
    const int taps = driver.taps(), scrolls = driver.scrolls();
    driver.tap("bike:" + to_text(bike));
    driver.tap("primary");
    if (driver.state().screen == Screen::choose) driver.tap("part:shock"), driver.tap("primary");
    REQUIRE(driver.state().screen == Screen::swap);
    REQUIRE(step_of(driver.state()) == Step6::before);
    driver.tap("primary");
    REQUIRE(step_of(driver.state()) == Step6::new_part);
    // What the new part is, though nothing forces one to read it; where Next leads elsewhere, by its tag.
    driver.tap("row:new_part:rear:eye_to_eye");
    std::set<Point> left;
    for (const auto& [point, number] : new_shock) left.insert(point);
    while (!left.empty()) {
        REQUIRE(driver.state().pad.has_value());
        if (const Point at = driver.state().pad->field.point; left.erase(at) > 0)
            fill(driver, new_shock.at(at));
        else
            driver.tap("tag:new_part:rear:" + std::string(facts(*left.begin()).key));
    }
    if (driver.state().pad) driver.tap("key:close");
    driver.tap("primary");
    REQUIRE(step_of(driver.state()) == Step6::answer);
    driver.tap("primary");
    // Set as answered.
    for (int i = 0; i < 9 && step_of(driver.state()) == Step6::set; ++i) {
        if (driver.state().pad) driver.tap("key:same");
        driver.tap("primary");
    }
    REQUIRE(step_of(driver.state()) == Step6::check);
    driver.tap("primary");
    while (driver.state().pad && is_ride_height(driver.state().pad->field.point))
        fill(driver, as_it_stood(driver, driver.state().pad->field));
    if (driver.state().pad) driver.tap("key:close");
    while (driver.state().screen == Screen::swap) driver.tap("primary");
    CHECK(driver.state().screen == Screen::baseline);
    CHECK(driver.state().ledger.baselines(bike).size() == kept_before + 1);
    const int used = driver.taps() - taps, moved = driver.scrolls() - scrolls;
    MESSAGE(used << " taps, " << moved << " scrolls");
    CHECK(used <= 60);
    CHECK(moved <= 6);
}

TEST_CASE("taps: a bike added and its first reading taken: at most 16 taps") {
    DemoHand driver;
    go(driver, act::Go{Screen::bikes, {}});
    const auto bikes = driver.state().ledger.bikes().size();
    const int taps = driver.taps();
    driver.tap("add");
    driver.keys("64");
    driver.tap("primary");
    if (driver.state().pad) driver.tap("key:close");
    driver.tap("save");
    REQUIRE(driver.state().screen == Screen::bike);
    REQUIRE(driver.state().ledger.bikes().size() == bikes + 1);
    driver.tap("primary");
    if (driver.state().screen == Screen::choose) driver.tap("part:shock"), driver.tap("primary");
    REQUIRE(driver.state().screen == Screen::swap);
    if (!driver.state().pad) driver.tap("primary");
    REQUIRE(driver.state().pad.has_value());
    const Field field = driver.state().pad->field;
    driver.keys("310");
    driver.tap("primary");
    const Swap* swap = open_swap(driver.state());
    REQUIRE(swap);
    CHECK(swap->stored({field.phase, field.end, field.point}) != nullptr);
    const int used = driver.taps() - taps;
    MESSAGE(used << " taps");
    CHECK(used <= 16);
}
