// The whole bike from a mechanic's readings, compared with the bike that was read; and the restore of the
// whole bike compared with the restore of each end.

#include "core/ledger/whole_bike.h"

#include <doctest/doctest.h>

#include "core/restore/whole.h"
#include "tests/unit/swap_kit.h"

using namespace restand;
using test::Known;
using test::RandomBikes;

namespace {

using P = Point;

void put_unit(Known& k, End end, const SuspensionUnit& unit) {
    k.has(end, P::spring_rate, unit.spring.rate.value);
    k.has(end, P::spring_free_length, in_mm(unit.spring.free_length));
    k.has(end, P::spring_installed_length, in_mm(unit.installed_length));
    k.has(end, P::gas_force, in_newton(unit.gas.topped_out));
    k.has(end, P::travel, in_mm(*unit.travel));
}

// Every number of this bike as it is read, exact. The frame axes of a bike in the ledger are level while it
// stands alone, so heights are perpendicular to the ground then.
Known readings_of(const WholeBike& b) {
    const auto alone = standing(b, Rider::off), rider = standing(b, Rider::on);
    REQUIRE((alone && rider));
    const Attitude& a = alone->attitude;
    Known k;
    k.body.geometry = {b.arm,          a.wheelbase, b.rear.radius, b.front.radius, b.geometry.offset,
                       a.pivot_height, a.rake};
    // Points on the frame, in the axes that are level as it stands.
    const auto level = [&](PlanePoint at) {
        const double c = cos(a.pitch), s = sin(a.pitch);
        return PlanePoint{at.x * c + at.z * s, at.z * c - at.x * s};
    };
    Linkage linkage = b.linkage;
    for (Pin* pin : {&linkage.unit_end, &linkage.direct, linkage.rocker ? &linkage.rocker->pivot : nullptr,
                     linkage.rocker ? &linkage.rocker->rod_end : nullptr})
        if (pin && pin->on == Carrier::frame) pin->at = level(pin->at);
    k.body.mechanism.linkage = linkage;
    k.body.front.leverage = 1.0;
    const Angle top = LinkageMap::of(b.linkage)->droop_at(b.shock.length).value();
    const auto down = [&](Angle droop) { return 300 + in_mm(b.arm) * sin(droop - a.pitch); };
    k.has(End::rear, P::ride_height_topped_out, down(top));
    k.has(End::rear, P::ride_height_static, down(alone->pose.droop));
    k.has(End::rear, P::ride_height_rider, down(rider->pose.droop));
    k.has(End::front, P::ride_height_topped_out, 600);
    k.has(End::front, P::ride_height_static, 600 - in_mm(alone->pose.fork_travel));
    k.has(End::front, P::ride_height_rider, 600 - in_mm(rider->pose.fork_travel));
    k.has(End::rear, P::eye_to_eye, in_mm(b.shock.length));
    k.has(End::front, P::fork_length, in_mm(b.fork.length));
    k.has(End::front, P::fork_position, in_mm(b.fork_position));
    put_unit(k, End::rear, b.shock);
    put_unit(k, End::front, b.fork);
    k.has(End::rear, P::axle_position, 20);
    k.has(End::rear, P::sprocket_front, b.chain->sprockets.front);
    k.has(End::rear, P::sprocket_rear, b.chain->sprockets.rear);
    k.has(End::rear, P::chain_links, b.chain->links);
    k.has(End::rear, P::chain_slack, in_mm(slack_at(*b.chain, b.arm, top).slack));
    k.body.mechanism.front_sprocket = level(b.chain->front_sprocket);
    return k;
}

WholeBike whole_of(const Known& k) {
    const auto whole = whole_bike(k.body, k.stood, k.stood);
    if (!whole) FAIL_CHECK(whole.error().subject << ": " << whole.error().detail);
    REQUIRE(whole.has_value());
    return *whole;
}

}  // namespace

TEST_CASE("whole bike: what the units weigh at the ride heights holds it where masses and springs hold it") {
    RandomBikes random(51);
    for (int i = 0; i < 200; ++i) {
        WholeBike b = random.bike();
        b.fork_position = mm(random.between(0, 12));
        const WholeBike whole = whole_of(readings_of(b));
        CHECK(!whole.masses);
        for (const Rider rider : {Rider::off, Rider::on}) {
            const auto is = standing(whole, rider), should = standing(b, rider);
            REQUIRE((is && should));
            CHECK(!is->loads);
            CHECK(std::fabs(in_mm(is->shock_length - should->shock_length)) < 1e-4);
            CHECK(std::fabs(in_mm(is->pose.fork_travel - should->pose.fork_travel)) < 1e-4);
            CHECK(std::fabs(in_degrees(is->attitude.rake - should->attitude.rake)) < 1e-5);
            CHECK(std::fabs(in_mm(is->attitude.trail - should->attitude.trail)) < 1e-4);
            CHECK(std::fabs(in_mm(is->attitude.wheelbase - should->attitude.wheelbase)) < 1e-4);
            CHECK(std::fabs(in_mm(is->attitude.pivot_height - should->attitude.pivot_height)) < 1e-4);
            CHECK(std::fabs(in_degrees(is->attitude.arm_to_ground - should->attitude.arm_to_ground)) < 1e-5);
        }
        REQUIRE(whole.chain);
        CHECK(std::fabs(in_mm(tight_spot(whole)->slack - tight_spot(b)->slack)) < 1e-3);
    }
}

TEST_CASE("whole bike: a pivot height that disagrees with the linkage turns the linkage, not its motion") {
    RandomBikes random(52);
    Known k = readings_of(random.bike());
    const WholeBike exact = whole_of(k);
    *k.body.geometry.pivot_height += mm(3);
    const WholeBike whole = whole_of(k);
    const auto was = standing(exact, Rider::off), is = standing(whole, Rider::off);
    REQUIRE((was && is));
    // As measured, and no part of the attitude is taken from two sources.
    CHECK(in_mm(is->attitude.pivot_height) == doctest::Approx(in_mm(*k.body.geometry.pivot_height)));
    CHECK(in_degrees(is->attitude.rake) == doctest::Approx(in_degrees(*k.body.geometry.rake)));
    const auto chassis = chassis_of(k.body, k.stood, k.stood);
    CHECK(in_degrees(is->pose.droop) == doctest::Approx(in_degrees(*chassis->droops[1])).epsilon(1e-9));
    // Far apart, one of them is wrong.
    Known wrong = k;
    *wrong.body.geometry.pivot_height += mm(60);
    const auto refused = whole_bike(wrong.body, wrong.stood, wrong.stood);
    REQUIRE(!refused);
    CHECK(refused.error().code == ErrorCode::contradiction);
    CHECK(refused.error().subject == "pivot_height");
    // The unit moves as before to within the second order of that error.
    CHECK(std::fabs(in_mm(is->shock_travel - was->shock_travel)) < 0.1);
}

TEST_CASE("whole bike: an unknown fork length is that of another set-up") {
    RandomBikes random(55);
    const Known k = readings_of(random.bike());
    constexpr Place length{End::front, P::fork_length};
    SetUp without = k.stood;
    without.values.erase(length);
    without.read_with.erase(length);
    const auto rake = [&](const SetUp& setup, const SetUp& described) {
        const auto whole = whole_bike(k.body, setup, described);
        REQUIRE(whole.has_value());
        return in_degrees(standing(*whole, Rider::off)->attitude.rake);
    };
    const double known = rake(k.stood, k.stood);
    // 45 mm of fork length are some 2 deg of rake.
    CHECK(rake(k.stood, without) == doctest::Approx(known).epsilon(1e-9));
    CHECK(rake(without, k.stood) == doctest::Approx(known).epsilon(1e-9));
    CHECK(rake(without, without) == doctest::Approx(known).epsilon(1e-9));
}

TEST_CASE("whole bike: fork air counts where it is known before and after, as in a swap of the fork") {
    RandomBikes random(56);
    Known k = readings_of(random.bike());
    k.has(End::front, P::fork_bore, 47);
    const auto with_level = [&](SetUp setup) {
        test::put(setup, End::front, P::fork_oil_level, 140);
        setup.read_with = setup.values;
        return setup;
    };
    const WholeBike was = whole_of(k);
    CHECK(!was.fork.gas.chamber);
    const auto fresh = fitted_with(was, k.body, with_level(k.stood), k.stood);
    REQUIRE(fresh.has_value());
    CHECK(!fresh->fork.gas.chamber);
    const SetUp known = with_level(k.stood);
    const auto both = fitted_with(whole_bike(k.body, known, known).value(), k.body, known, known);
    REQUIRE(both.has_value());
    CHECK(both->fork.gas.chamber);
}

TEST_CASE("whole bike: both ends restored at once get what each end restored alone gets") {
    RandomBikes random(53);
    int held = 0;
    for (int i = 0; i < 100; ++i) {
        const WholeBike b = random.bike();
        if (standing(b, Rider::off)->rear_topped_out) continue;
        Known k = readings_of(b);
        k.swap.parts = tidy({SwapPart::shock, SwapPart::fork});
        // The new parts: springs, gas and lengths of their own, as found on the bench.
        SuspensionUnit shock = b.shock, fork = b.fork;
        shock.spring.rate = b.shock.spring.rate * random.between(0.92, 1.1);
        shock.length += mm(random.between(-3, 3));
        shock.gas.topped_out = newton(random.between(50, 300));
        fork.spring.rate = b.fork.spring.rate * random.between(0.95, 1.05);
        SetUp now = k.stood;
        const auto fresh = [&](End end, P point, double value) {
            k.read(Phase::new_part, end, point, value);
            test::put(now, end, point, value);
        };
        for (const auto& [end, unit] : {std::pair{End::rear, &shock}, {End::front, &fork}}) {
            fresh(end, P::spring_rate, unit->spring.rate.value);
            fresh(end, P::spring_free_length, in_mm(unit->spring.free_length));
            fresh(end, P::spring_installed_length, in_mm(unit->installed_length));
            fresh(end, P::gas_force, in_newton(unit->gas.topped_out));
            fresh(end, P::travel, in_mm(*unit->travel));
        }
        fresh(End::rear, P::eye_to_eye, in_mm(shock.length));
        fresh(End::rear, P::length_mm_per_turn, 1.0);
        fresh(End::front, P::fork_length, in_mm(fork.length));
        fresh(End::front, P::fork_position, in_mm(b.fork_position));
        for (const Asked& asked_for : asked(k.swap, Phase::before))
            if (const StoredReading* stands = k.stood.stored(asked_for.end, asked_for.point))
                k.swap.stored_readings[{Phase::before, asked_for.end, asked_for.point}] = {*stands};

        const SwapSolution ends = solve_swap(k.site());
        const auto &rear = ends.end(End::rear)->answer, &front = ends.end(End::front)->answer;
        if (!rear || !front || !rear->limits.empty() || !front->limits.empty()) continue;

        const auto fitted = fitted_with(whole_of(k), k.body, now, k.stood);
        REQUIRE(fitted.has_value());
        const auto as_before = measured_by(whole_of(k), {{TargetKind::rear_height, State::rider},
                                                         {TargetKind::rear_height, State::topped_out},
                                                         {TargetKind::front_height, State::rider},
                                                         {TargetKind::front_height, State::topped_out}});
        REQUIRE(as_before.has_value());
        WholeCase whole{*fitted, *as_before, {}};
        for (Target& t : whole.targets) t.must_hold = t.state == State::rider;
        for (const Adjustable what : {Adjustable::shock_length, Adjustable::shock_installed,
                                      Adjustable::fork_position, Adjustable::fork_installed}) {
            const double is = value(*fitted, what);
            whole.adjusters.push_back({what, is, is - 60, is + 60});
        }
        const auto answer = restore(whole);
        REQUIRE(answer.has_value());
        ++held;
        const Length fork_set = fitted->fork.length - mm(answer->setting[2]);
        CHECK(std::fabs(answer->setting[0] - in_mm(rear->setting.length)) < 1e-4);
        CHECK(std::fabs(answer->setting[1] - in_mm(rear->setting.installed_length)) < 1e-4);
        CHECK(std::fabs(in_mm(fork_set - front->setting.length)) < 1e-4);
        CHECK(std::fabs(answer->setting[3] - in_mm(front->setting.installed_length)) < 1e-4);
    }
    CHECK(held > 60);
}

TEST_CASE("whole bike: the number that is missing is named, with the end or the bike") {
    RandomBikes random(54);
    const Known k = readings_of(random.bike());
    const auto lacks = [&](auto take_away) {
        Known less = k;
        take_away(less);
        const auto whole = whole_bike(less.body, less.stood, less.stood);
        REQUIRE(!whole.has_value());
        CHECK(whole.error().code == ErrorCode::missing);
        return whole.error().subject + ", " + whole.error().detail;
    };
    const auto without = [&](End end, P point) {
        return lacks([&](Known& less) {
            less.stood.values.erase({end, point});
            less.stood.read_with.erase({end, point});
        });
    };
    CHECK(lacks([](Known& less) { less.body.mechanism.linkage.reset(); }) == "linkage, bike");
    CHECK(lacks([](Known& less) { less.body.geometry.offset.reset(); }) == "offset, bike");
    CHECK(without(End::rear, P::spring_rate) == "spring_rate, rear");
    CHECK(without(End::front, P::spring_rate) == "spring_rate, front");
    CHECK(without(End::front, P::fork_position) == "fork_position, front");
    CHECK(without(End::front, P::ride_height_topped_out) == "ride_height_topped_out, front");
    CHECK(without(End::rear, P::ride_height_topped_out) == "ride_height_topped_out, rear");
    // Heights that nobody read take their state away, nothing else.
    Known less = k;
    less.stood.values.erase({End::rear, P::ride_height_rider});
    less.stood.read_with.erase({End::rear, P::ride_height_rider});
    const WholeBike whole = whole_of(less);
    CHECK(whole.carried.alone);
    CHECK(!whole.carried.with_rider);
    CHECK(standing(whole, Rider::on).error().code == ErrorCode::missing);
}
