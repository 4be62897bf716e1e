// What follows a check: the correction's numbers, what is expected next, and what is not known. By taps.

#include <doctest/doctest.h>

#include <algorithm>

#include "app/swap/to_set.h"
#include "app/views/wording.h"
#include "tests/screen/answered.h"

using namespace restand;
using namespace restand::test;

using P = Point;

namespace {

// Set as answered, checked so much too low; the correction waits on 'Set'.
struct CheckedLow : Answered {
    explicit CheckedLow(int by) : Answered("90") {
        set_as_answered();
        check_low_by(by);
        go(*this, act::GoToStep{Step6::set});
    }
    const Answer& correction() { return *solved_swap(state())->solution().end(End::rear)->correction; }
    void set_correction() {
        while (const auto field = field_to_correct(state())) {
            go(*this, act::OpenTag{*field});
            go(*this, act::PadSame{});
            go(*this, act::PadNext{});
            while (state().pad) go(*this, act::CloseTag{});
        }
    }
    double expected(P height) { return *expected_of(state(), field_of({Phase::check, End::rear, height})); }
    std::string label(const std::string& row) { return row_of(row).label; }
};

// A large number has this label.
bool says_large(Driver& driver, const std::string& label) {
    const auto& rows = driver.page().panel.rows;
    return std::any_of(rows.begin(), rows.end(), [&](const Row& row) {
        const auto* big = std::get_if<row::Big>(&row);
        return big && big->label == label;
    });
}

bool has_target(const std::string& label) {
    return label.find("set to") != std::string::npos;
}

}  // namespace

TEST_CASE("after a check: the preload to set is the correction's, and none is asked for beside the lengths") {
    Answered before("90");
    before.set_as_answered();
    go(before, act::GoToStep{Step6::set});
    CHECK_FALSE(has_target(before.row_of("row:set:rear:spring_preload").label));
    before.tap("row:set:rear:spring_preload");
    CHECK(before.page().pad->last_label == "by its lengths");

    CheckedLow driver(6);
    const auto preload = wording::value(driver.correction().detent.preload, driver.state().ledger.units());
    CHECK(driver.label("row:set:rear:spring_preload").ends_with("set to " + preload));
    const auto installed =
        wording::value(driver.correction().detent.installed_length, driver.state().ledger.units());
    CHECK(driver.label("row:set:rear:spring_installed_length").ends_with("set to " + installed));
    driver.tap("row:set:rear:spring_installed_length");
    CHECK(driver.page().pad->last_label == "as corrected");
}

TEST_CASE("after a correction the heights are expected from what the first check found") {
    CheckedLow driver(6);
    CHECK(driver.expected(P::ride_height_rider) > 465);  // the check itself was held against the answer
    driver.set_correction();
    go(driver, act::GoToStep{Step6::check});
    // Back to where they were, to what a quarter of a turn does.
    CHECK(std::fabs(driver.expected(P::ride_height_static) - 490) < 0.6);
    CHECK(std::fabs(driver.expected(P::ride_height_rider) - 466) < 0.6);
    const Prediction& as_set = solved_swap(driver.state())->expected(End::rear)->heights;
    CHECK(std::fabs(in_mm(*as_set.rider_sag) - 34) < 0.6);
    CHECK(std::fabs(in_mm(*as_set.free_sag) - 10) < 0.6);
    CHECK(abs(*as_set.residual_at(State::rider)) < mm(0.6));
    const double top = driver.expected(P::ride_height_topped_out);
    read_all(driver, {{"check:rear:ride_height_topped_out", print_fixed(top, 1).c_str()}});
    // Nothing is asked about a height that is right, whatever else was read by then.
    driver.tap("row:check:rear:ride_height_static");
    CHECK(driver.page().pad->last_label.starts_with("expect 4"));
    driver.keys("490");
    CHECK(driver.page().pad->summary.find("from what is expected") != std::string::npos);
    driver.tap("primary");
    CHECK((!driver.state().pad || driver.state().pad->question.empty()));
    while (driver.state().pad) driver.tap("key:close");
    CHECK(std::fabs(driver.expected(P::ride_height_rider) - 466) < 0.6);
    read_all(driver, {{"check:rear:ride_height_rider", "466"}});
    REQUIRE(solved_swap(driver.state())->solution().end(End::rear)->judged());
    CHECK_FALSE(driver.shows("Not restored"));
    // The first answer is no target any more.
    go(driver, act::GoToStep{Step6::set});
    for (const char* row : {"row:set:rear:eye_to_eye", "row:set:rear:spring_installed_length"})
        CHECK_FALSE(has_target(driver.label(row)));
    go(driver, act::GoToStep{Step6::answer});
    CHECK(says(driver, "It was corrected since"));
    CHECK(driver.page().primary.label == "To what is set");
}

TEST_CASE("after a check the pad of one correction leads to the next, and a gauge's number goes there") {
    CheckedLow driver(6);
    const auto first = field_to_correct(driver.state());
    REQUIRE(first);
    driver.tap("primary");
    REQUIRE(driver.state().pad);
    CHECK(driver.state().pad->field == *first);
    driver.tap("key:same");
    driver.tap("primary");
    const auto second = field_to_correct(driver.state());
    if (!second) return;  // the answer corrects by one setting
    REQUIRE(driver.state().pad);
    CHECK(driver.state().pad->field == *second);
    driver.tap("key:close");
    driver.gauge("148.4");
    CHECK(
        measured(open_swap(driver.state())->stored({Phase::set, End::rear, second->point})->reading).value ==
        doctest::Approx(148.4));
}

TEST_CASE("after a check another part is answered by itself, and its numbers are there to be set") {
    CheckedLow driver(6);
    driver.set_correction();
    go(driver, act::GoToStep{Step6::new_part});
    read_all(driver, {{"new_part:rear:spring_rate", "100"}});
    go(driver, act::GoToStep{Step6::set});
    CHECK_FALSE(solved_swap(driver.state())->standing(End::rear));
    CHECK_FALSE(solved_swap(driver.state())->expected(End::rear)->corrected);
    const Answer& answer = *solved_swap(driver.state())->solution().end(End::rear)->answer;
    const auto to =
        value_to_set(driver.state(), field_of({Phase::set, End::rear, P::spring_installed_length}));
    REQUIRE(to);
    CHECK_FALSE(to->correction);
    CHECK(to->value == in_mm(answer.detent.installed_length));
}

TEST_CASE("a shock that was measured only as it was set is corrected from there") {
    Driver driver(tablet);
    begin_bike(driver);
    driver.tap("primary");
    read_old_shock(driver);
    go(driver, act::GoToStep{Step6::new_part});
    read_all(driver, {{"new_part:rear:spring_rate", "95"}, {"new_part:rear:spring_free_length", "160"}});
    go(driver, act::GoToStep{Step6::answer});
    CHECK(says_large(driver, "length, from what it is"));
    go(driver, act::GoToStep{Step6::set});
    const Field length = field_of({Phase::set, End::rear, P::eye_to_eye});
    CHECK_FALSE(value_to_set(driver.state(), length));
    read_all(driver, {{"set:rear:eye_to_eye", "312"}, {"set:rear:spring_installed_length", "150"}});
    go(driver, act::GoToStep{Step6::check});
    read_all(driver, {{"check:rear:ride_height_topped_out", "504"},
                      {"check:rear:ride_height_static", "487"},
                      {"check:rear:ride_height_rider", "463"}});
    const EndSolution* rear = solved_swap(driver.state())->solution().end(End::rear);
    REQUIRE(rear->correction.has_value());
    // No thread of its length is known: the collar alone corrects, for the length that it has.
    CHECK(in_mm(rear->correction->detent.length) == doctest::Approx(312));
    CHECK(in_mm(rear->correction->detent.installed_length) < 150);
}

TEST_CASE("after a correction a height that was not read again is not said to be lost") {
    CheckedLow driver(6);
    driver.set_correction();
    go(driver, act::GoToStep{Step6::check});
    read_all(driver, {{"check:rear:ride_height_rider", "462"}});
    REQUIRE(solved_swap(driver.state())->solution().end(End::rear)->judged());
    CHECK_FALSE(says(driver, "Not held: ride height static"));
}

TEST_CASE("what is not known has no number to set: a spring's length, the tubes in the yokes") {
    Driver driver(tablet);
    begin_bike(driver);
    begin_swap(driver, "fork_springs");
    for (const auto& [point, number] : {std::pair{"topped_out", "500"}, {"static", "478"}, {"rider", "466"}})
        read(driver, std::string("row:before:front:ride_height_") + point, number);
    go(driver, act::OpenTag{{.of = Field::Of::bike, .bike = BikeField::rake}});
    driver.keys("24.2");
    driver.tap("primary");
    driver.tap("primary");
    go(driver, act::GoToStep{Step6::answer});
    REQUIRE(solved_swap(driver.state())->solution().end(End::front)->answer.has_value());
    go(driver, act::GoToStep{Step6::set});
    for (const P point : {P::spring_installed_length, P::fork_position})
        CHECK_FALSE(value_to_set(driver.state(), field_of({Phase::set, End::front, point})));
    CHECK(value_to_set(driver.state(), field_of({Phase::set, End::front, P::spring_preload})));
    for (const Row& row : driver.page().panel.rows)
        if (const auto* one = std::get_if<row::ReadingRow>(&row);
            one && (one->id.ends_with("installed_length") || one->id.ends_with("fork_position")))
            CHECK_FALSE(has_target(one->label));
}

TEST_CASE("an end without an answer does not keep the other one's, and each pad names its end") {
    Answered driver;
    const Id bike = driver.state().bike;
    go(driver, act::AbandonSwap{driver.state().ledger.open_swap(bike)->id});
    go(driver, act::StartSwap{bike, {SwapPart::shock_spring, SwapPart::fork_springs}});
    read_all(driver, {{"before:rear:ride_height_topped_out", "500"},
                      {"before:rear:ride_height_rider", "466"},
                      {"before:rear:spring_rate", "95"},
                      {"before:rear:spring_free_length", "160"},
                      {"before:rear:spring_installed_length", "150"},
                      {"before:front:ride_height_topped_out", "620"},
                      {"before:front:ride_height_rider", "580"}});
    driver.tap("row:before:front:ride_height_static");
    CHECK(driver.page().pad->title == "front ride height, static");
    driver.tap("key:close");
    go(driver, act::GoToStep{Step6::new_part});
    read_all(driver, {{"new_part:rear:spring_rate", "100"}, {"new_part:rear:spring_free_length", "160"}});
    go(driver, act::GoToStep{Step6::answer});
    CHECK(driver.shows("No answer yet"));
    CHECK(driver.page().primary.label == "Give its rake");
    CHECK(says_large(driver, "spring, installed"));
}

TEST_CASE("a pad is left empty for the next reading where the answer can do without") {
    Answered driver;
    go(driver, act::GoToStep{Step6::new_part});
    const auto needed = needed_field(driver.state());
    REQUIRE(needed);
    go(driver, act::OpenTag{*needed});
    driver.tap("primary");
    CHECK((!driver.state().pad || !(driver.state().pad->field == *needed)));
    // A reading without which there is none is asked for.
    Driver fresh(tablet);
    begin_bike(fresh);
    go(fresh, act::StartSwap{fresh.state().bike, {SwapPart::sprockets}});
    REQUIRE(open_swap(fresh.state()));
    const auto missing_now = missing(solved_swap(fresh.state())->site(), Phase::before);
    REQUIRE_FALSE(missing_now.empty());
    go(fresh, act::OpenTag{field_of(missing_now.front())});
    fresh.tap("primary");
    REQUIRE(fresh.state().pad);
    CHECK(fresh.state().pad->problem.find("Needed for the answer") != std::string::npos);
}

TEST_CASE("a single reading by somebody whose repeats scattered says why it counts for little") {
    Answered driver("90");
    driver.set_as_answered();
    driver.tap("row:check:rear:ride_height_rider");
    for (const char* number : {"472", "466", "460"}) {
        driver.keys(number);
        if (std::string(number) != "460") driver.tap("repeat:add");
    }
    driver.tap("key:settled");
    driver.tap("primary");
    if (driver.state().pad && !driver.state().pad->question.empty()) driver.tap("question:yes");
    while (driver.state().pad) driver.tap("key:close");
    read_all(driver, {{"check:rear:ride_height_rider", "466"}, {"check:rear:ride_height_static", "490"}});
    REQUIRE(driver.shows("Cannot tell"));
    CHECK(says(driver, "ride height, rider: one reading counts ± "));
    CHECK(says(driver, "Ilse's repeats"));
}
