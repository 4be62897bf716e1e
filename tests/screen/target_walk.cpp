// A set-up that was never on the bike as its target; a watched part that goes on with another bike; the two
// ways back to another spring.

#include "app/season/part_actions.h"
#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

const Entry& newest_moment(Driver& driver) {
    REQUIRE_FALSE(driver.state().season.moments.empty());
    return driver.state().season.moments.front();
}

}  // namespace

TEST_CASE(
    "target: what is tried can be kept as a base setting; the bike stays, and the way there leads to it") {
    DemoHand driver;
    set_swap_aside(driver);
    const double was = now_at(driver, End::rear, Point::spring_installed_length);
    go(driver, act::ShowAttitude{driver.state().bike});
    go(driver, act::TryTo{End::rear, Point::spring_installed_length, was - 1.5});
    driver.tap("target");
    REQUIRE(driver.state().notice.has_value());
    CHECK(driver.state().notice->text.find("Nothing was changed on the bike") != std::string::npos);
    CHECK(now_at(driver, End::rear, Point::spring_installed_length) == doctest::Approx(was));
    REQUIRE(newest_moment(driver).kind == "record");
    go(driver, act::OpenMoment{newest_moment(driver).id});
    CHECK(driver.page().primary.label == "The way there");
    driver.tap("primary");
    driver.tap("primary");  // Begin
    REQUIRE(driver.state().ledger.open_plan(driver.state().bike) != nullptr);
    driver.tap("primary");
    CHECK(now_at(driver, End::rear, Point::spring_installed_length) ==
          doctest::Approx(was - 1.5).epsilon(1e-4));
}

TEST_CASE("target: another bike's settings of a day become a target here, without its heights") {
    DemoHand driver;
    set_swap_aside(driver);
    const Id own = driver.state().bike;
    const Bike* other = bike_named(driver, "No. 8");
    go(driver, act::Go{Screen::bike, other->id});
    go(driver, act::Go{Screen::history, other->id});
    const Baseline* last = driver.state().ledger.newest_baseline(other->id);
    REQUIRE(last != nullptr);
    go(driver, act::OpenMoment{last->id});
    driver.tap("over:" + to_text(own));
    CHECK(driver.state().bike == own);
    const Entry& moment = newest_moment(driver);
    REQUIRE(moment.kind == "record");
    CHECK(moment.bike == own);
    const SetUp target = setup_then(driver.state().ledger, moment);
    CHECK(target.stored(End::rear, Point::ride_height_rider) == nullptr);
    CHECK_FALSE(target.values.empty());
    // It changes nothing that stands.
    for (const auto& [place, stored] : setup_now(driver.state().ledger, own).values)
        CHECK(stored.entry != moment.id);
}

TEST_CASE("service: a part goes on with another bike, with what it has run; Undo twice takes it back") {
    DemoHand driver;
    go(driver, act::Go{Screen::parts, driver.state().bike});
    REQUIRE_FALSE(driver.state().season.parts.empty());
    const PartUse part = driver.state().season.parts.front();
    const Id own = driver.state().bike, other = bike_named(driver, "No. 8")->id;
    go(driver, act::StartPart{own, part.part});
    driver.tap("move:" + to_text(other));
    const auto on = [&](const Id& bike) {
        go(driver, act::Go{Screen::parts, bike});
        for (const PartUse& use : driver.state().season.parts)
            if (use.part == part.part) return std::optional(use);
        return std::optional<PartUse>();
    };
    CHECK_FALSE(on(own).has_value());
    const auto there = on(other);
    REQUIRE(there.has_value());
    CHECK(there->name == part.name);
    CHECK(there->km == doctest::Approx(part.km));
    CHECK(there->hours == doctest::Approx(part.hours));
    // Two entries, one a bike: Undo takes them back one by one.
    go(driver, act::Undo{});
    CHECK_FALSE(on(other).has_value());
    go(driver, act::Undo{});
    CHECK(on(own).has_value());
    CHECK_FALSE(on(other).has_value());
}

TEST_CASE(
    "chain: slack read again after a change is the chain's slack; a later move of the axle takes it back") {
    DemoHand driver;
    set_swap_aside(driver);
    const Id bike = driver.state().bike;
    const double was = now_at(driver, End::rear, Point::chain_slack),
                 axle = now_at(driver, End::rear, Point::axle_position);
    const auto change = [&](Point point, double value) {
        go(driver, act::StartChange{bike});
        go(driver, act::OpenTag{{.of = Field::Of::change, .point = point, .end = End::rear}});
        driver.gauge(print_fixed(value, 1));
        if (driver.state().pad && !driver.state().pad->question.empty()) go(driver, act::ConfirmSame{true});
    };
    const auto slack_shown = [&] {
        go(driver, act::ShowChain{bike});
        for (const Row& r : driver.page().panel.rows)
            if (const auto* line = std::get_if<row::TableLine>(&r); line && line->label == "slack")
                return std::stod(line->will);
        return -1.0;
    };
    change(Point::chain_slack, was - 6);
    CHECK(slack_shown() == doctest::Approx(was - 6).epsilon(0.02));
    // The axle moved on: the slack read is older than it, so the chain's length is that of the baseline.
    change(Point::axle_position, axle + 1);
    CHECK(std::fabs(slack_shown() - (was - 6)) > 1);
}
