// The chain's slack after a swap: judged, its correction at the axle ordered, set and read again. By taps.

#include <doctest/doctest.h>

#include "app/swap/to_set.h"
#include "core/ledger/chassis.h"
#include "tests/screen/answered.h"

using namespace restand;
using namespace restand::test;

namespace {

// The demo's first bike with its chain and sprockets out: read as it stands, fitted, at 'Check'.
struct ChainSwap : DemoHand {
    ChainSwap() {
        set_swap_aside(*this);
        go(*this, act::StartSwap{state().bike, {SwapPart::sprockets}});
        go(*this, act::GoToStep{Step6::new_part});
        read_all(*this, {{"new_part:rear:sprocket_rear", "43"}});
        go(*this, act::GoToStep{Step6::set});
        for (const char* id : {"row:set:rear:axle_position", "row:set:rear:chain_links"}) {
            tap(id);
            tap("key:same");
            tap("primary");
            if (state().pad && !state().pad->question.empty()) tap("question:yes");
            if (state().pad) tap("key:close");
        }
        go(*this, act::GoToStep{Step6::check});
    }
    double slack_wanted() { return in_mm(solved_swap(state())->solution().chain->will.on_stand.slack); }
    void read_slack_at_set(double slack) {
        go(*this, act::GoToStep{Step6::set});
        type_slack("row:set:rear:chain_slack", slack);
    }
    void read_slack(double slack) { type_slack("row:check:rear:chain_slack", slack); }

private:
    void type_slack(const std::string& row, double slack) {
        tap(row);
        keys(print_fixed(slack, 0));
        tap("primary");
        if (state().pad && !state().pad->question.empty()) tap("question:yes");
        if (state().pad) tap("key:close");
    }
};

double now_set(Driver& driver, Point point) {
    const StoredReading* set = open_swap(driver.state())->stored({Phase::set, End::rear, point});
    REQUIRE(set);
    return measured(set->reading).value;
}

// Shock, chain and sprockets out at once: set as answered.
struct ShockAndChain : DemoHand {
    ShockAndChain() {
        set_swap_aside(*this);
        go(*this, act::StartSwap{state().bike, {SwapPart::shock, SwapPart::sprockets}});
        for (const Step6 step : {Step6::before, Step6::new_part, Step6::set}) {
            go(*this, act::GoToStep{step});
            while (needed_field(state())) type_needed(*this);
        }
        go(*this, act::GoToStep{Step6::check});
    }
    // The rear stands 8 mm low, the chain has 12 mm of slack too much.
    void check_off() {
        const double wanted = in_mm(solved_swap(state())->solution().chain->will.on_stand.slack);
        for (const Point height : ride_heights) {
            const double to_be =
                measured(stored_at(solved_swap(state())->site(), End::rear, Phase::before, height)->reading)
                    .value;
            type({Phase::check, End::rear, height},
                 to_be - (height == Point::ride_height_topped_out ? 0 : 8));
        }
        type({Phase::check, End::rear, Point::chain_slack}, wanted + 12);
    }

private:
    void type(const ReadAt& spot, double value) {
        go(*this, act::OpenTag{field_of(spot)});
        go(*this, act::PadText{print_fixed(value, 1)});
        go(*this, act::PadNext{});
        if (state().pad && !state().pad->question.empty()) go(*this, act::ConfirmSame{true});
        while (state().pad) go(*this, act::CloseTag{});
    }
};

}  // namespace

TEST_CASE(
    "refusal: slack far from what it was to be is not restored, says where the axle goes, and is kept so") {
    ChainSwap driver;
    const double wanted = driver.slack_wanted();
    driver.read_slack(wanted - 19);
    CHECK(driver.shows("Not restored"));
    CHECK(driver.shows("too tight"));
    REQUIRE(solved_swap(driver.state())->solution().slack);
    REQUIRE(solved_swap(driver.state())->solution().slack->axle);
    CHECK(solved_swap(driver.state())->solution().slack->axle->by < mm(0));
    CHECK(driver.shows("forward"));
    CHECK(driver.page().primary.label == "Set the correction");
    go(driver, act::GoToStep{Step6::keep});
    CHECK(driver.shows("Not restored"));
    CHECK_FALSE(driver.shows("height"));
    driver.tap("primary");
    CHECK(driver.state().ledger.newest_baseline(driver.state().bike)->body.reason.ends_with("not restored"));
}

TEST_CASE("correction: the axle is set as the slack orders, its pad offers it, and the slack is read again") {
    ChainSwap driver;
    const double wanted = driver.slack_wanted();
    const double first = now_set(driver, Point::axle_position);
    driver.read_slack(wanted + 12);
    const Length to = *solved_swap(driver.state())->solution().slack->axle->to;
    CHECK(in_mm(to) > first + 0.2);
    driver.tap("primary");
    CHECK(driver.page().primary.label == "Set: axle from slot front");
    driver.tap("primary");
    CHECK(driver.state().pad->field.point == Point::axle_position);
    driver.tap("key:same");
    driver.tap("primary");
    if (driver.state().pad) driver.tap("key:close");
    CHECK(now_set(driver, Point::axle_position) == doctest::Approx(in_mm(to)).epsilon(0.01));
    CHECK(driver.page().primary.label == "On to the check");
    driver.tap("primary");
    CHECK_FALSE(driver.shows("Not restored"));  // read before the axle was moved
    driver.read_slack(wanted);
    CHECK(driver.shows("Restored"));
}

TEST_CASE("correction: of a shock and of the axle both stand until both are set, in either order") {
    for (const bool axle_first : {true, false}) {
        CAPTURE(axle_first);
        ShockAndChain driver;
        driver.check_off();
        CHECK(driver.page().primary.label == "Set the correction");
        driver.tap("primary");
        const auto set = [&driver](Point point) {
            CAPTURE(facts(point).key);
            const ReadAt spot{Phase::set, End::rear, point};
            CHECK(awaits_correction(driver.state(), spot));
            go(driver, act::OpenTag{field_of(spot)});
            driver.tap("key:same");
            driver.tap("primary");
            if (driver.state().pad && !driver.state().pad->question.empty()) driver.tap("question:yes");
            if (driver.state().pad) driver.tap("key:close");
            CHECK_FALSE(awaits_correction(driver.state(), spot));
        };
        if (axle_first) set(Point::axle_position);
        for (int i = 0; i < 4; ++i)
            if (const auto field = field_to_correct(driver.state());
                field && field->point != Point::axle_position)
                set(field->point);
        if (!axle_first) set(Point::axle_position);
        CHECK(driver.page().primary.label == "On to the check");
    }
}

TEST_CASE("refusal: slack as it was to be is restored") {
    ChainSwap driver;
    driver.read_slack(driver.slack_wanted());
    CHECK(driver.shows("Restored"));
    CHECK(driver.page().primary.label == "On to keep it");
    go(driver, act::GoToStep{Step6::keep});
    driver.tap("primary");
    CHECK(driver.state().ledger.newest_baseline(driver.state().bike)->body.reason.ends_with("· restored"));
}

TEST_CASE(
    "refusal: a chain whose slack was not read with the new parts on is 'not checked' where it is kept") {
    ChainSwap driver;
    go(driver, act::GoToStep{Step6::keep});
    CHECK(driver.shows("Not checked"));
    driver.read_slack_at_set(driver.slack_wanted() - 20);
    go(driver, act::GoToStep{Step6::keep});
    CHECK(driver.shows("Not restored"));
}
