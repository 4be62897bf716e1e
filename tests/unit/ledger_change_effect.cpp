// What changed between two set-ups, and what each change does by itself. Expected: a linear spring on a leverage
// ratio, where preload by 1 mm lifts a loaded axle by the ratio; and the chassis with heights moved by hand.

#include <doctest/doctest.h>

#include "core/ledger/change_effect.h"
#include "tests/unit/ledger_kit.h"
#include "tests/unit/random_bike.h"

using namespace restand;
using test::put;
using test::reading;
using P = Point;

namespace {

SetUp stood_as_read() {
    SetUp s = test::stands(End::rear, {{P::ride_height_topped_out, "500"},
                                       {P::ride_height_static, "490"},
                                       {P::ride_height_rider, "470"},
                                       {P::eye_to_eye, "310"},
                                       {P::spring_rate, "95"},
                                       {P::spring_free_length, "160"},
                                       {P::spring_installed_length, "150"},
                                       {P::gas_force, "150"},
                                       {P::clicks_rebound_low, "12"},
                                       {P::axle_position, "20"}});
    for (const auto& [point, text] : {std::pair{P::ride_height_topped_out, "620"},
                                      {P::ride_height_static, "600"},
                                      {P::ride_height_rider, "580"},
                                      {P::fork_position, "6"},
                                      {P::spring_rate, "9.5"},
                                      {P::spring_free_length, "255"},
                                      {P::spring_installed_length, "240"},
                                      {P::fork_length, "740"}})
        put(s, End::front, reading(point, text));
    s.read_with = s.values;
    return s;
}

BikeBody bike_of_two_ratios() {
    BikeBody b;
    b.rear.leverage = 2.0;
    b.front.leverage = 1.0;
    b.geometry = {mm(580), mm(1400), mm(310), mm(295), mm(30), mm(420), degrees(24)};
    return b;
}

const ChangeEffect* effect_of(const std::vector<ChangeEffect>& all, End end, ChangeOf what) {
    for (const ChangeEffect& c : all)
        if (c.end == end && c.of == what) return &c;
    return nullptr;
}

}  // namespace

TEST_CASE("what changed: each change with what it does to the heights by itself") {
    const SetUp was = stood_as_read();
    SetUp is = was;
    put(is, End::rear, reading(P::spring_installed_length, "148.5"));
    put(is, End::rear, reading(P::eye_to_eye, "312"));
    put(is, End::rear, reading(P::clicks_rebound_low, "10"));
    put(is, End::front, reading(P::fork_position, "10"));
    const auto all = change_effects(bike_of_two_ratios(), was, is, was);
    const ChangeEffect* spring = effect_of(all, End::rear, ChangeOf::spring);
    REQUIRE(spring);
    CHECK(spring->points == std::vector{P::spring_installed_length});
    CHECK(in_mm(spring->stance.rider.value()) == doctest::Approx(3.0));
    CHECK(in_mm(spring->stance.static_.value()) == doctest::Approx(3.0));
    CHECK(std::fabs(in_mm(spring->stance.topped_out.value())) < 1e-9);
    const ChangeEffect* length = effect_of(all, End::rear, ChangeOf::length);
    REQUIRE(length);
    CHECK(in_mm(length->stance.topped_out.value()) == doctest::Approx(4.0));
    const ChangeEffect* clicks = effect_of(all, End::rear, ChangeOf::others);
    REQUIRE(clicks);
    for (const auto& by :
         {clicks->stance.topped_out, clicks->stance.static_, clicks->stance.rider, clicks->trail})
        CHECK(std::fabs(in_mm(by.value_or(mm(0)))) <= 1e-6);
    const ChangeEffect* fork = effect_of(all, End::front, ChangeOf::position);
    REQUIRE(fork);
    CHECK(in_mm(fork->stance.rider.value()) == doctest::Approx(-4.0));
    CHECK(all.size() == 4);
}

TEST_CASE("what changed: the attitude is that of the heights the change makes") {
    const SetUp was = stood_as_read();
    SetUp is = was;
    put(is, End::front, reading(P::fork_position, "10"));
    const auto all = change_effects(bike_of_two_ratios(), was, is, was);
    REQUIRE(all.size() == 1);
    // By hand: the front read 4 mm lower with the rider.
    SetUp lower = was;
    put(lower, End::front, reading(P::ride_height_rider, "576"));
    lower.read_with = lower.values;
    const auto from = chassis_of(bike_of_two_ratios(), was, was),
               to = chassis_of(bike_of_two_ratios(), lower, was);
    REQUIRE((from && to));
    const Angle rake = to->in(State::rider)->rake - from->in(State::rider)->rake;
    CHECK(in_degrees(rake) < -0.1);
    CHECK(in_degrees(all[0].rake.value()) == doctest::Approx(in_degrees(rake)).epsilon(1e-6));
    CHECK(in_mm(all[0].trail.value()) ==
          doctest::Approx(in_mm(to->in(State::rider)->trail - from->in(State::rider)->trail)).epsilon(1e-6));
}

TEST_CASE("what changed: heights and fuel read again, and slack, are no changes; nothing changed is empty") {
    const SetUp was = stood_as_read();
    CHECK(change_effects(bike_of_two_ratios(), was, was, was).empty());
    SetUp is = was;
    put(is, End::rear, reading(P::ride_height_rider, "471"));
    put(is, End::rear, reading(P::fuel, "4"));
    put(is, End::rear, reading(P::chain_slack, "33"));
    CHECK(change_effects(bike_of_two_ratios(), was, is, was).empty());
}
