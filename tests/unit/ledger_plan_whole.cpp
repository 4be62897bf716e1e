// The restore plan through the whole rear end: link rod, axle position and spring all differ from the earlier
// set-up.

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "core/ledger/restore_plan.h"
#include "tests/unit/swap_kit.h"

using namespace restand;
using namespace restand::test;

namespace {

using P = Point;

// The earlier set-up: its own rod, and its axle at 20 mm.
SetUp stood(const WholeBike& b) {
    SetUp s = rear_of(b);
    put(s, End::rear, P::link_rod, in_mm(b.linkage.rocker->rod));
    put(s, End::rear, P::axle_position, 20);
    s.read_with = s.values;
    return s;
}

bool lists(const PlanActions& plan, Doing doing, P point) {
    return std::any_of(plan.actions.begin(), plan.actions.end(),
                       [&](const PlanAction& a) { return a.doing == doing && a.point == point; });
}

}  // namespace

TEST_CASE(
    "way back: rod and axle of then are fitted again, and today's spring is set for the bike as it then is") {
    test::RandomBikes random(701);
    int solved = 0;
    for (int i = 0; i < 600; ++i) {
        const WholeBike b = random.bike();
        if (!b.linkage.rocker) continue;
        const auto rider = standing(b, Rider::on);
        REQUIRE(rider);
        BikeBody body;
        body.geometry.swingarm = b.arm;
        body.mechanism.linkage = b.linkage;
        const SetUp then = stood(b);
        SetUp now = then;
        put(now, End::rear, P::link_rod, in_mm(b.linkage.rocker->rod) + random.between(-1, 1));
        put(now, End::rear, P::axle_position, random.between(12, 28));
        const double rate = b.shock.spring.rate.value * random.between(0.93, 1.07);
        put(now, End::rear, P::spring_rate, rate);
        put(now, End::rear, P::spring_free_length, in_mm(b.shock.spring.free_length) + 4);
        const PlanActions plan = restore_plan(body, now, then);
        REQUIRE(plan.unsaid.empty());
        CHECK(lists(plan, Doing::fit, P::link_rod));
        CHECK(lists(plan, Doing::set_axle, P::axle_position));
        CHECK(lists(plan, Doing::measure, P::ride_height_rider));
        // Parts are exchanged before anything is turned.
        CHECK(plan.actions.front().doing == Doing::fit);
        if (!plan.held || !plan.limits.empty()) continue;
        ++solved;
        SetUp reached = now;
        for (const PlanAction& a : plan.actions)
            for (const SetValue& v : done(a)) reached.values[{v.end, v.reading.point}].reading = v.reading;
        CHECK(test::value_at(reached, End::rear, P::link_rod) ==
              doctest::Approx(in_mm(b.linkage.rocker->rod)));
        // Virtual work at the earlier droop: both springs push the arm with equal force.
        const auto at = place_at(b.linkage, rider->pose.droop);
        const double travel = test::value_at(reached, End::rear, P::eye_to_eye) - in_mm(at->length);
        const double preload = in_mm(b.shock.spring.free_length) + 4 -
                               test::value_at(reached, End::rear, P::spring_installed_length);
        const double is = rate * (preload + travel);
        const double was =
            b.shock.spring.rate.value * (in_mm(b.shock.spring.free_length - b.shock.installed_length) +
                                         in_mm(b.shock.length - at->length));
        // Length and collar are each recorded as they are shown, to a tenth of a millimetre.
        CHECK(std::fabs(is - was) < (2 * 0.05 + 1e-6) * rate);
    }
    CHECK(solved > 150);
}

TEST_CASE("way back: another spring on another tyre is set by the axle's height, and by the oil of then") {
    BikeBody body;
    body.rear.leverage = 2.0;
    const SetUp then = stands(End::rear, {{P::ride_height_topped_out, "500"},
                                          {P::ride_height_rider, "470"},
                                          {P::eye_to_eye, "310"},
                                          {P::spring_rate, "95"},
                                          {P::spring_free_length, "160"},
                                          {P::spring_installed_length, "150"},
                                          {P::rolling_circumference, "1980"}});
    SetUp now = then;
    now.values[{End::rear, P::spring_rate}].reading = reading(P::spring_rate, "100");
    now.values[{End::rear, P::rolling_circumference}].reading = reading(P::rolling_circumference, "2010");
    // 95·(10 + 15) = 100·(8.75 + 15): the shorter plan uses the collar alone.
    const PlanActions plan = restore_plan(body, now, then);
    CHECK(!lists(plan, Doing::set_length, P::eye_to_eye));
    for (const PlanAction& a : plan.actions)
        if (a.doing == Doing::set_preload)
            CHECK(std::fabs(canonical_value(*a.to) - 151.25) <= 0.05 + 1e-9);  // as shown: 151.2 or 151.3
    CHECK(lists(plan, Doing::set_preload, P::spring_installed_length));
}

TEST_CASE("way back: another oil level than then is put right, and the fork's heights are measured again") {
    BikeBody body;
    body.front.leverage = 0.9;
    const SetUp then = stands(End::front, {{P::ride_height_topped_out, "620"},
                                           {P::ride_height_rider, "580"},
                                           {P::fork_position, "6"},
                                           {P::spring_rate, "9.5"},
                                           {P::spring_free_length, "255"},
                                           {P::spring_installed_length, "240"},
                                           {P::fork_oil_level, "120"},
                                           {P::part_name, "A"}});
    SetUp now = then;
    now.values[{End::front, P::fork_oil_level}].reading = reading(P::fork_oil_level, "110");
    const PlanActions plan = restore_plan(body, now, then);
    REQUIRE(!plan.actions.empty());
    CHECK(plan.actions.front().key == "fit:front:fork_oil_level");
    CHECK(plan.actions.front().to->text == "120");
    CHECK(std::any_of(plan.actions.begin(), plan.actions.end(),
                      [](const PlanAction& a) { return a.key == "measure:front:ride_height_rider"; }));
    // The earlier oil level says nothing about another fork.
    now.values[{End::front, P::part_name}].reading = reading(P::part_name, "B");
    for (const PlanAction& a : restore_plan(body, now, then).actions) CHECK(a.point != P::fork_oil_level);
}
