// The bike's state by taps: another tank, a stand under the swingarm, front heights along the fork, what is
// inside a unit, a spring that moves to another shock.

#include <set>

#include "app/views/wording.h"
#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

void begin_swap(Driver& driver, std::initializer_list<SwapPart> parts) {
    go(driver, act::ChooseParts{driver.state().bike});
    for (const SwapPart part : parts) driver.tap("part:" + std::string(key(part)));
    driver.tap("primary");
    REQUIRE(open_swap(driver.state()) != nullptr);
}

bool has_row(Driver& driver, const std::string& id) {
    return std::any_of(driver.page().panel.rows.begin(), driver.page().panel.rows.end(), [&](const Row& r) {
        const auto* button = std::get_if<row::Button>(&r);
        const auto* reading = std::get_if<row::ReadingRow>(&r);
        const auto* choice = std::get_if<row::Choice>(&r);
        return (button && button->id == id) || (reading && reading->id == id) || (choice && choice->id == id);
    });
}

const EndSolution& rear_end(Driver& driver) {
    const EndSolution* end = solved_swap(driver.state())->solution().end(End::rear);
    REQUIRE(end != nullptr);
    return *end;
}

}  // namespace

TEST_CASE("state: another tank: both ends say the preload that carries it, and it is checked") {
    Driver driver(tablet);
    begin_bike(driver);
    // The front needs its own leverage: the number of the bike that says how its heights are read.
    go(driver, act::EditBike{driver.state().bike});
    driver.tap("how:front:0");
    driver.tap("primary");
    CHECK(driver.state().ledger.bike(driver.state().bike)->body.how_read.front_heights ==
          FrontHeights::along_fork);
    begin_swap(driver, {SwapPart::load});
    CHECK(driver.shows("no flame"));
    read_old_shock(driver);
    read_all(driver, {{"before:rear:collar_mm_per_turn", "1.5"},
                      {"before:rear:fitted_mass", "4"},
                      {"before:front:ride_height_topped_out", "620"},
                      {"before:front:ride_height_static", "600"},
                      {"before:front:ride_height_rider", "580"},
                      {"before:front:fork_position", "6"},
                      {"before:front:spring_rate", "9.5"},
                      {"before:front:spring_free_length", "255"},
                      {"before:front:spring_installed_length", "240"}});
    driver.tap("primary");
    CHECK(driver.page().ruler->marks[1].current);
    CHECK(driver.page().primary.label == "Measure: tank, bodywork, ballast");
    read_all(driver, {{"new_part:rear:fitted_mass", "16"}});
    driver.tap("primary");
    CHECK(driver.page().ruler->marks[2].current);
    CHECK(driver.shows("Not read, and taken as"));
    CHECK(driver.shows("its middle, ahead of the axle"));
    // 12 kg, 750 of 1400 mm ahead of the rear axle: 1 − 750/1400 of it presses the shock with ratio 2.05.
    const double in = 12 * 9.80665 * (1 - 750.0 / 1400) * 2.05 / 95;
    REQUIRE(rear_end(driver).answer.has_value());
    CHECK(in_mm(rear_end(driver).answer->setting.installed_length) ==
          doctest::Approx(150 - in).epsilon(1e-6));
    driver.tap("primary");
    CHECK(driver.page().ruler->marks[3].current);
}

TEST_CASE(
    "state: free sag of two millimetres is asked about: on a stand under the swingarm it is no topped out") {
    Driver driver(tablet);
    begin_bike(driver);
    driver.tap("primary");  // Swap the shock
    read_all(driver, {{"before:rear:ride_height_topped_out", "500"}});
    driver.tap("row:before:rear:ride_height_static");
    driver.keys("498");
    driver.tap("primary");
    REQUIRE(driver.state().pad.has_value());
    CHECK(driver.state().pad->question.find("stand under the swingarm") != std::string::npos);
    driver.tap("question:no");
    CHECK(open_swap(driver.state())->stored({Phase::before, End::rear, Point::ride_height_static}) ==
          nullptr);
    driver.keys("490");
    driver.tap("primary");
    CHECK(open_swap(driver.state())->stored({Phase::before, End::rear, Point::ride_height_static}) !=
          nullptr);
}

TEST_CASE("state: how slack and front heights are read is asked once, and kept with the bike") {
    Driver driver(tablet);
    begin_bike(driver);
    begin_swap(driver, {SwapPart::shock, SwapPart::front_tyre});
    REQUIRE(has_row(driver, "how:slack"));
    REQUIRE(has_row(driver, "how:front"));
    driver.tap("how:slack:1");
    driver.tap("how:front:0");
    CHECK_FALSE(has_row(driver, "how:slack"));
    CHECK_FALSE(has_row(driver, "how:front"));
    const HowRead how = driver.state().ledger.bike(driver.state().bike)->body.how_read;
    CHECK(how.slack_stand == Stand::swingarm);
    CHECK(how.front_heights == FrontHeights::along_fork);
    driver.tap("row:before:front:ride_height_topped_out");
    CHECK(driver.page().drawing.guide.find("Along the fork leg") != std::string::npos);
    driver.tap("key:close");
    driver.tap("row:before:rear:chain_slack");
    CHECK(driver.page().drawing.guide.find("stand under the swingarm") != std::string::npos);
    driver.tap("key:close");
    // A new start has them still.
    driver.start();
    CHECK(driver.state().ledger.bike(driver.state().bike)->body.how_read == how);
}

TEST_CASE("state: the insides of a unit are asked for on request; one that was read shows by itself") {
    Driver driver(tablet);
    begin_bike(driver);
    driver.tap("primary");  // Swap the shock
    CHECK_FALSE(has_row(driver, "row:before:rear:top_out_rate"));
    driver.tap("inside");
    REQUIRE(has_row(driver, "row:before:rear:top_out_rate"));
    read_all(driver, {{"before:rear:top_out_rate", "40"}, {"before:rear:top_out_reach", "8"}});
    driver.start();
    CHECK(has_row(driver, "row:before:rear:top_out_rate"));
    CHECK_FALSE(has_row(driver, "row:before:rear:helper_rate"));
}

TEST_CASE("state: the old spring goes on the new shock: nothing of it is read again, and its rate cancels") {
    Driver driver(tablet);
    begin_bike(driver);
    driver.tap("primary");  // Swap the shock
    read_all(driver, {{"before:rear:ride_height_topped_out", "500"},
                      {"before:rear:ride_height_static", "490"},
                      {"before:rear:ride_height_rider", "466"},
                      {"before:rear:eye_to_eye", "310"},
                      {"before:rear:spring_free_length", "160"},
                      {"before:rear:spring_installed_length", "150"},
                      {"before:rear:spring_rate", "95"},
                      {"before:rear:gas_force", "150"}});
    driver.tap("step:2");
    REQUIRE(has_row(driver, "row:new_part:rear:spring_rate"));
    driver.tap("spring-moved:rear");
    CHECK_FALSE(has_row(driver, "row:new_part:rear:spring_rate"));
    CHECK_FALSE(has_row(driver, "row:new_part:rear:spring_free_length"));
    read_all(driver, {{"new_part:rear:eye_to_eye", "310"}, {"new_part:rear:gas_force", "150"}});
    driver.tap("primary");
    CHECK(driver.page().ruler->marks[2].current);
    CHECK(in_mm(rear_end(driver).answer->setting.installed_length) == doctest::Approx(150).epsilon(1e-9));
    // A second tap takes it back.
    driver.tap("step:2");
    driver.tap("spring-moved:rear");
    CHECK(has_row(driver, "row:new_part:rear:spring_rate"));
}

TEST_CASE("state: every reading beyond what is possible is refused with its range, and what stood stands") {
    Driver driver(tablet);
    begin_bike(driver);
    go(driver, act::StartSwap{driver.state().bike,
                              {SwapPart::shock, SwapPart::link_rod, SwapPart::sprockets, SwapPart::fork,
                               SwapPart::front_tyre, SwapPart::load}});
    const auto standing = [&](Phase phase, const Asked& a) {
        return open_swap(driver.state())->stored({phase, a.end, a.point});
    };
    const auto type = [&](const std::string& text) {
        go(driver, act::PadText{text});
        go(driver, act::PadNext{});
    };
    int refused = 0;
    std::set<Point> seen;
    for (const Phase phase : {Phase::before, Phase::new_part})
        for (const Asked& a : asked(*open_swap(driver.state()), phase)) {
            const PointFacts& f = facts(a.point);
            if (is_text(a.point) || a.point == Point::spring_moved) continue;
            CAPTURE(f.key);
            const Unit unit = chosen({}, f.dimension);
            const Field field{.of = Field::Of::reading, .phase = phase, .point = a.point, .end = a.end};
            go(driver, act::OpenTag{field});
            REQUIRE(driver.state().pad.has_value());
            type(print_fixed(from_canonical(f.hard_max, unit) * 1.5 + 1, 0));
            REQUIRE(driver.state().pad.has_value());
            CHECK(driver.state().pad->problem.find(wording::plain(f.hard_max, unit)) != std::string::npos);
            CHECK(standing(phase, a) == nullptr);
            go(driver, act::PadErase{});
            go(driver, act::CloseTag{});
            if (driver.state().pad) go(driver, act::CloseTag{});
            // What is usual is kept, and something impossible typed over it changes nothing.
            go(driver, act::OpenTag{field});
            const bool whole = f.dimension == Dimension::count || f.dimension == Dimension::clicks;
            type(print_fixed(from_canonical((f.usual_min + f.usual_max) / 2, unit), whole ? 0 : 1));
            if (driver.state().pad && !driver.state().pad->question.empty())
                go(driver, act::ConfirmSame{true});
            REQUIRE(standing(phase, a) != nullptr);
            const Reading kept = standing(phase, a)->reading;
            go(driver, act::OpenTag{field});
            type(print_fixed(from_canonical(f.hard_max, unit) * 1.5 + 1, 0));
            CHECK_FALSE(driver.state().pad->problem.empty());
            go(driver, act::CloseTag{});
            if (driver.state().pad) go(driver, act::CloseTag{});
            CHECK(standing(phase, a)->reading == kept);
            seen.insert(a.point);
            ++refused;
        }
    CHECK(refused >= 80);
    for (const Point p : {Point::wheel_weight, Point::damper_temperature, Point::fitted_mass_ahead,
                          Point::unsprung_mass, Point::top_out_rate, Point::helper_block_length,
                          Point::other_leg_rate, Point::bump_rate, Point::gas_volume})
        CHECK(seen.contains(p));
}
