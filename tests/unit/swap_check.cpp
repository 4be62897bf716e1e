// A swap after its answer: the check, the correction, and the baseline that it leaves.

#include "tests/unit/swap_case_kit.h"

using namespace restand;
using namespace restand::test;

TEST_CASE("check: restored when the heights came back, and a correction when they did not") {
    const Bike bike = bike_with(2.05);
    Swapped s = issue_swap();
    s.read(Phase::set, Point::eye_to_eye, "310")
        .read(Phase::set, Point::spring_installed_length, "148.936585");
    for (auto& [where, stored_readings] : s.swap.stored_readings)
        stored_readings[0].reading.instrument.accuracy = 0.2;
    Swapped good = s, low = s;
    good.read(Phase::check, Point::ride_height_topped_out, "500")
        .read(Phase::check, Point::ride_height_rider, "469.8");
    const auto restored = check_of(bike, good.swap);
    REQUIRE(restored.has_value());
    CHECK(restored->verdict == Verdict::restored);

    low.read(Phase::check, Point::ride_height_topped_out, "500")
        .read(Phase::check, Point::ride_height_rider, "465.7");
    const auto sunk = check_of(bike, low.swap);
    REQUIRE(sunk.has_value());
    CHECK(sunk->verdict == Verdict::not_restored);
    // 4.1 mm too low at 2.05: 2 mm more preload, so a spring 2 mm shorter.
    const auto correction = correction_of(bike, low.swap);
    REQUIRE(correction.has_value());
    CHECK(near(correction->setting.installed_length, 146.936585, 0.1));
    CHECK(correction_of(bike, s.swap).error() ==
          Error{ErrorCode::missing, "ride_height_topped_out", "check"});
}

TEST_CASE("check: what was read before a setting moved it counts no longer") {
    Swapped s = issue_swap();
    s.read(Phase::check, Point::ride_height_topped_out, "500", 2000)
        .read(Phase::check, Point::ride_height_rider, "465.7", 2000)
        .read(Phase::check, Point::chain_slack, "30", 2000);
    const auto counts = [&](Point p) { return s.swap.stored({Phase::check, End::rear, p}) != nullptr; };
    s.read(Phase::set, Point::clicks_rebound_low, "12", 2500);
    CHECK(counts(Point::ride_height_rider));
    s.read(Phase::set, Point::spring_installed_length, "147", 3000);
    CHECK_FALSE(counts(Point::ride_height_rider));
    CHECK(counts(Point::ride_height_topped_out));  // it hangs on its stop as before
    CHECK(counts(Point::chain_slack));
    s.read(Phase::set, Point::eye_to_eye, "311", 3100);
    CHECK_FALSE(counts(Point::ride_height_topped_out));
    CHECK_FALSE(counts(Point::chain_slack));
    // The next reading of it still supersedes the stored one.
    CHECK(s.swap.entries({Phase::check, End::rear, Point::ride_height_rider}).size() == 1);
    s.read(Phase::check, Point::ride_height_rider, "469.8", 4000);
    CHECK(counts(Point::ride_height_rider));
    // Nothing moved at the other end.
    s.swap.stored_readings[{Phase::check, End::front, Point::ride_height_rider}].push_back(
        stored(Point::ride_height_rider, "500", 1500));
    CHECK(s.swap.stored({Phase::check, End::front, Point::ride_height_rider}) != nullptr);
}

TEST_CASE("baseline_of: the new part's numbers, what was set and checked, nothing of the old part") {
    Swapped s = issue_swap();
    s.swap.id = id_of(7);
    s.read(Phase::before, Point::chain_slack, "32").read(Phase::before, Point::sprocket_rear, "43");
    s.read(Phase::before, Point::clicks_rebound_low, "12").read(Phase::set, Point::chain_slack, "35");
    s.read(Phase::set, Point::eye_to_eye, "310").read(Phase::set, Point::spring_installed_length, "149");
    s.read(Phase::check, Point::ride_height_topped_out, "500.5")
        .read(Phase::check, Point::ride_height_rider, "469");
    Baseline last;
    last.body.values = {{End::rear, stored(Point::tyre_pressure_hot, "1.6")},
                        {End::rear, stored(Point::travel, "60")},
                        {End::rear, stored(Point::ride_height_static, "491")},
                        {End::rear, stored(Point::gas_force, "150")},
                        {End::front, stored(Point::fork_position, "6")},
                        {End::rear, stored(Point::sprocket_rear, "44")}};
    Baseline made;
    made.body = baseline_of(s.swap, setup_of(last), "race shock");
    const auto text = [&](End end, Point p) {
        const BaselineValue* v = made.value(end, p);
        return v ? v->stored.reading.repeats[0].text : std::string("–");
    };
    CHECK(made.body.reason == "race shock");
    CHECK(text(End::rear, Point::eye_to_eye) == "310");
    CHECK(text(End::rear, Point::spring_installed_length) == "149");
    CHECK(text(End::rear, Point::spring_rate) == "100");
    CHECK(text(End::rear, Point::travel) == "66");
    CHECK(text(End::rear, Point::gas_force) == "420");
    CHECK(text(End::rear, Point::ride_height_rider) == "469");
    CHECK(text(End::rear, Point::ride_height_static) == "–");  // not checked, so unknown
    CHECK(text(End::rear, Point::clicks_rebound_low) == "–");  // of the old damper
    CHECK(text(End::rear, Point::chain_slack) == "35");
    CHECK(text(End::rear, Point::sprocket_rear) == "43");
    CHECK(text(End::rear, Point::tyre_pressure_hot) == "1.6");
    CHECK(text(End::front, Point::fork_position) == "6");
    CHECK(text(End::rear, Point::part_name) == "long one");
}

TEST_CASE("baseline_of: a spring swap keeps the damper, and no setting is taken from the bench") {
    Swapped s = issue_swap(SwapPart::shock_spring);
    s.read(Phase::before, Point::clicks_rebound_low, "12");
    Baseline last;
    last.body.values = {{End::rear, stored(Point::part_name, "old faithful")},
                        {End::rear, stored(Point::spring_block_length, "80")}};
    s.swap.stored_readings.erase({Phase::new_part, End::rear, Point::spring_block_length});
    Baseline made;
    made.body = baseline_of(s.swap, setup_of(last), "");
    CHECK(made.value(End::rear, Point::clicks_rebound_low) != nullptr);
    CHECK(made.value(End::rear, Point::part_name) != nullptr);
    CHECK(made.value(End::rear, Point::eye_to_eye) != nullptr);
    CHECK(made.value(End::rear, Point::spring_block_length) == nullptr);
    CHECK(made.value(End::rear, Point::spring_installed_length) == nullptr);
}

TEST_CASE("swap: what was measured after a setting of a clock that ran ahead is newer than it") {
    Swapped s = issue_swap();
    constexpr std::int64_t five_years_on = 1000 + 5ll * 365 * 86'400'000;
    s.read(Phase::set, Point::eye_to_eye, "306", five_years_on);
    s.read(Phase::check, Point::ride_height_rider, "469.8", 2000);
    const ReadAt check{Phase::check, End::rear, Point::ride_height_rider};
    CHECK(s.swap.stored(check) == nullptr);
    s.swap.stored_readings[check].back().at.counter = 1 << 16;  // written by a device that had seen it
    CHECK(s.swap.stored(check) != nullptr);
    s.read(Phase::before, Point::travel, "66", five_years_on);
    s.read(Phase::before, Point::travel, "65", 2000);
    const ReadAt travel{Phase::before, End::rear, Point::travel};
    s.swap.stored_readings[travel].back().at.counter = 1 << 16;
    CHECK(s.swap.stored(travel)->reading.repeats.front().text == "65");
}
