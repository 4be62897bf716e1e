// Attitude and chain on the real app, by tapping. Tried settings are not on disk until the user confirms that
// they are set. Then they are stored as one change, which Undo takes back.

#include <algorithm>
#include <cmath>

#include "app/views/view.h"
#include "core/ledger/chassis.h"
#include "core/ledger/map_of.h"
#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

double rake(Driver& driver, const SetUp& setup) {
    const Bike* bike = driver.state().ledger.bike(driver.state().bike);
    const auto chassis = chassis_of(bike->body, setup, setup_described(driver.state(), bike->id));
    REQUIRE(chassis.has_value());
    return in_degrees(chassis->in(State::rider)->rake);
}

}  // namespace

TEST_CASE("attitude: tried by taps, nothing on disk; set so, one change; taken back") {
    DemoHand driver;
    const double was = now_at(driver, End::front, Point::fork_position);
    driver.tap("attitude");
    const std::size_t entries = on_disk(driver);
    const double rake_was = rake(driver, setup_now(driver.state().ledger, driver.state().bike));
    for (int i = 0; i < 3; ++i) driver.tap("tried:front:fork_position:more");
    CHECK(driver.state().trial.tried.size() == 1);
    CHECK(on_disk(driver) == entries);
    CHECK(now_at(driver, End::front, Point::fork_position) == was);
    // Tubes higher in the clamps: a lower front, a steeper steering axis.
    CHECK(rake(driver, setup_tried(driver.state(), driver.state().bike)) < rake_was - 0.05);
    driver.tap("state:1");
    CHECK(driver.state().trial.looked_at == State::static_);
    driver.tap("nothing");
    CHECK(driver.state().trial.tried.empty());
    driver.tap("tried:front:fork_position:more");
    driver.tap("tried:front:fork_position:more");
    driver.tap("tried:front:fork_position:less");
    driver.tap("primary");
    CHECK(driver.state().trial.tried.empty());
    CHECK(now_at(driver, End::front, Point::fork_position) == doctest::Approx(was + 1));
    go(driver, act::Undo{});
    CHECK(now_at(driver, End::front, Point::fork_position) == doctest::Approx(was));
}

TEST_CASE("attitude: in inches, too, a millimetre of fork is seen in trail and heights") {
    DemoHand driver;
    UnitChoice units = driver.state().ledger.units();
    units.length = Unit::inch;
    go(driver, act::SetUnits{units});
    driver.tap("attitude");
    go(driver,
       act::TryTo{End::front, Point::fork_position, now_at(driver, End::front, Point::fork_position) + 1});
    for (const char* label : {"trail, in", "front height, in"}) {
        const row::TableLine* line = nullptr;
        for (const Row& row : driver.page().panel.rows)
            if (const auto* one = std::get_if<row::TableLine>(&row); one && one->label == label) line = one;
        REQUIRE_MESSAGE(line != nullptr, label);
        CHECK(line->was != line->will);
        CHECK(line->held);
    }
}

TEST_CASE("attitude: there and back again is nothing tried; a number is typed as well as tapped") {
    DemoHand driver;
    driver.tap("attitude");
    driver.tap("tried:rear:spring_installed_length:more");
    driver.tap("tried:rear:spring_installed_length:less");
    CHECK(driver.state().trial.tried.empty());
    go(driver, act::OpenTag{{.of = Field::Of::tried, .point = Point::fork_position, .end = End::front}});
    go(driver, act::PadText{"12"});
    driver.tap("primary");
    REQUIRE(driver.state().trial.tried.size() == 1);
    CHECK(measured(driver.state().trial.tried[0].reading).value == 12);
    // Nothing is tried on another bike.
    go(driver, act::ShowAttitude{bike_named(driver, "No. 8")->id});
    CHECK(driver.state().trial.tried.empty());
}

TEST_CASE("attitude: what is tried on one bike is nothing on another, whichever way one goes there") {
    DemoHand driver;
    driver.tap("attitude");
    driver.tap("tried:front:fork_position:more");
    driver.tap("over");
    const double there = now_at(driver, End::front, Point::fork_position);
    go(driver, act::Go{Screen::bike, bike_named(driver, "No. 8")->id});
    driver.tap("attitude");
    CHECK(driver.state().trial.tried.empty());
    CHECK(driver.state().trial.over_travel == TravelPlot::none);
    CHECK(driver.shows("As it stands"));
    go(driver, act::Go{Screen::bike, bike_named(driver, "No. 27")->id});
    CHECK(now_at(driver, End::front, Point::fork_position) == there);
}

TEST_CASE("attitude: a setting beyond what can be computed says so, and shows no number of before") {
    DemoHand driver("No. 8");
    driver.tap("attitude");
    const Bike* bike = driver.state().ledger.bike(driver.state().bike);
    const SetUp now = setup_now(driver.state().ledger, bike->id);
    double length = measured(now.stored(End::rear, Point::eye_to_eye)->reading).value;
    // Shorten it until its linkage or its spring has no solution.
    while (!heights_lost(bike->body, End::rear, setup_tried(driver.state(), bike->id)) && length > 200)
        go(driver, act::TryTo{End::rear, Point::eye_to_eye, length -= 1});
    REQUIRE(length > 200);
    const auto rows = view(driver.state()).panel.rows;
    CHECK(std::any_of(rows.begin(), rows.end(), [](const Row& row) {
        const auto* note = std::get_if<row::Note>(&row);
        return note && note->text.find("cannot be said") != std::string::npos;
    }));
    CHECK_FALSE(driver.shows("rake"));
    const auto heights = heights_of(bike->body, End::rear, setup_tried(driver.state(), bike->id));
    for (const auto& h : heights) CHECK_FALSE(h.has_value());
}

TEST_CASE("chain: an option tapped is tried whole; one that does not go round cannot be said to be set") {
    DemoHand driver;
    driver.tap("chain");
    const double rear = now_at(driver, End::rear, Point::sprocket_rear);
    const Bike* bike = driver.state().ledger.bike(driver.state().bike);
    go(driver, act::Try{End::rear, Point::sprocket_rear, 3});
    const SetUp described = setup_described(driver.state(), bike->id);
    REQUIRE(chain_of(bike->body, setup_tried(driver.state(), bike->id), described)->tight.excess < mm(0));
    const auto page = view(driver.state());
    CHECK_FALSE(page.primary.tap.has_value());
    CHECK(page.primary.why_not.find("too short") != std::string::npos);
    driver.tap("nothing");
    // Each option keeps the present slack at the tight spot.
    const double tight =
        in_mm(chain_of(bike->body, setup_now(driver.state().ledger, bike->id), described)->tight.slack);
    std::size_t tapped = 0;
    const auto rows = view(driver.state()).panel.rows;
    for (const Row& row : rows) {
        const auto* option = std::get_if<row::Button>(&row);
        if (!option || !option->id.starts_with("gear:")) continue;
        go(driver, option->tap);
        const auto chain = chain_of(bike->body, setup_tried(driver.state(), bike->id), described);
        REQUIRE(chain.has_value());
        // The axle is set to 0.1 mm, and slack grows with the square root of the excess.
        CHECK(std::fabs(in_mm(chain->tight.slack) - tight) < 3);
        go(driver, act::TryNothing{});
        ++tapped;
    }
    CHECK(tapped >= 5);
    CHECK(now_at(driver, End::rear, Point::sprocket_rear) == rear);
}

TEST_CASE("chain: the first trial moves no row of the list, nor where it is scrolled to") {
    DemoHand driver;
    driver.tap("chain");
    const auto stands = [&driver](const char* id) {
        const auto at = driver.session().app().screen().rect_of(id);
        REQUIRE(at);
        return at->y;
    };
    driver.tap("tried:rear:axle_position:more");  // scrolls to it
    go(driver, act::TryNothing{});
    const float before = stands("tried:rear:axle_position:more");
    driver.tap("tried:rear:axle_position:more");
    REQUIRE_FALSE(driver.state().trial.tried.empty());
    CHECK(stands("tried:rear:axle_position:more") == doctest::Approx(before));
}

TEST_CASE(
    "chain: a slack that is wanted is tried at the axle, and one far from it is not called 'set' in "
    "passing") {
    DemoHand driver;
    driver.tap("chain");
    const Bike* bike = driver.state().ledger.bike(driver.state().bike);
    const SetUp described = setup_described(driver.state(), bike->id);
    const auto slack_tried = [&] {
        return in_mm(chain_of(bike->body, setup_tried(driver.state(), bike->id), described)->tight.slack);
    };
    const double is = slack_tried();
    // The axle so far back that a third of the slack is left.
    for (int i = 0; i < 40 && slack_tried() > is / 3; ++i)
        go(driver, act::Try{End::rear, Point::axle_position, 0.1});
    REQUIRE(is - slack_tried() > in_mm(slack_tolerance));
    CHECK(driver.page().primary.label == "It is set so all the same");
    CHECK(says(driver, "Set so, the slack at the tight spot is"));
    // What is wanted is one more trial at the axle, not a second one beside it.
    for (int i = 0; i < 6; ++i) driver.tap("want:slack:more");
    const double wanted = driver.state().trial.wanted_slack;
    CHECK(wanted == doctest::Approx(is + 6));
    driver.tap("want:axle");
    CHECK(driver.state().trial.tried.size() == 1);
    CHECK(std::fabs(slack_tried() - wanted) < 3);  // the axle is set to 0.1 mm
    CHECK(driver.page().primary.label == "It is set so now");
    CHECK_FALSE(says(driver, "Set so, the slack at the tight spot is"));
}

TEST_CASE("linkage: typed in the bike's form, it is used once it closes, and stays on disk") {
    DemoHand driver("No. 64");
    const Id id = driver.state().bike;
    driver.tap("edit");
    go(driver, act::LinkageKind{1});
    const auto type = [&](BikeField field, const char* text) {
        go(driver, act::OpenTag{{.of = Field::Of::bike, .bike = field}});
        go(driver, act::PadText{text});
        go(driver, act::PadNext{});
        go(driver, act::CloseTag{});
    };
    type(BikeField::unit_frame_x, "-20");
    type(BikeField::unit_frame_z, "250");
    type(BikeField::unit_arm_x, "-230");
    type(BikeField::unit_arm_z, "20");
    REQUIRE(driver.state().form.has_value());
    REQUIRE(LinkageMap::of(*driver.state().form->body.mechanism.linkage).has_value());
    go(driver, act::SaveBike{});
    const auto kept = driver.state().ledger.bike(id)->body;
    driver.start();
    CHECK(driver.state().ledger.bike(id)->body == kept);
    const auto map = map_of(kept, End::rear);
    REQUIRE(map.has_value());
    CHECK(map->length_range().second < mm(1000));  // a linkage has limits, a single ratio has none
}

TEST_CASE("chain: too short is said where it is set, and on 'Answer' and 'Set' of a swap") {
    DemoHand driver;
    const Id bike = driver.state().bike;
    set_swap_aside(driver);
    go(driver, act::StartChange{bike});
    CHECK_FALSE(says(driver, "Chain too short"));
    for (int i = 0; i < 3; ++i) go(driver, act::Nudge{End::rear, Point::sprocket_rear, 1});
    CHECK(says(driver, "Chain too short"));
    REQUIRE(driver.state().notice);
    CHECK(driver.state().notice->text.find("Chain too short") != std::string::npos);
    // A setting that leaves the chain alone does not say it again.
    go(driver, act::Nudge{End::rear, Point::clicks_rebound_low, 1});
    CHECK(driver.state().notice->text.find("Chain too short") == std::string::npos);
    driver.tap("primary");
    begin_swap(driver, "shock_spring");
    go(driver, act::GoToStep{Step6::new_part});
    read_all(driver, {{"new_part:rear:spring_rate", "95"}, {"new_part:rear:spring_free_length", "160"}});
    go(driver, act::GoToStep{Step6::answer});
    REQUIRE(driver.page().ruler->marks[2].current);
    CHECK(says(driver, "Chain too short"));
    go(driver, act::GoToStep{Step6::set});
    CHECK(says(driver, "Chain too short"));
}
