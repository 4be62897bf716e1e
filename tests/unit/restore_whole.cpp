// Restoring through the whole bike: slopes against differences, round trips, limits, and equivalent
// adjusters.

#include "tests/unit/whole_kit.h"

using namespace restand;
using namespace restand::test;

TEST_CASE("whole bike: every target's slope by every adjuster is the differences' limit") {
    RandomBikes random(30);
    for (int i = 0; i < 300; ++i) {
        const WholeBike b = random.bike();
        const auto at = terms_of(b, everything, adjustables_of(b));
        REQUIRE(at.has_value());
        const auto alone = standing(b, Rider::off), with_rider = standing(b, Rider::on);
        if (alone->rear_topped_out || alone->fork_topped_out || with_rider->rear_bottomed) continue;
        for (const Adjustable adjustable :
             {Adjustable::shock_length, Adjustable::shock_installed, Adjustable::fork_installed,
              Adjustable::fork_position, Adjustable::arm, Adjustable::rod, Adjustable::rear_radius,
              Adjustable::front_radius}) {
            if (adjustable == Adjustable::rod && !b.linkage.rocker) continue;
            constexpr double h = 1e-3;
            const auto told = [&](double by) {
                WholeBike moved = b;
                put(moved, adjustable, value(b, adjustable) + by);
                return measured(moved, everything);
            };
            const auto less = told(-h), more = told(h);
            for (std::size_t j = 0; j < everything.size(); ++j) {
                CAPTURE(key(adjustable));
                CAPTURE(key(everything[j].what));
                const double slope = (more[j].value - less[j].value) / (2 * h);
                REQUIRE(std::fabs((*at)[j].slope[static_cast<int>(adjustable)] - slope) <
                        1e-4 * std::max(1.0, std::fabs(slope)));
            }
        }
    }
}

TEST_CASE(
    "whole bike: slack, squat and drive by axle, shock, teeth and links: slopes are the differences' limit") {
    RandomBikes random(38);
    std::vector<Target> targets = {{TargetKind::stand_slack},
                                   {TargetKind::tight_slack},
                                   {TargetKind::anti_squat, State::rider},
                                   {TargetKind::final_drive}};
    int compared = 0;
    for (int i = 0; i < 300; ++i) {
        const WholeBike b = random.bike();
        const auto rider = standing(b, Rider::on);
        if (!rider || rider->rear_topped_out || rider->rear_bottomed) continue;
        // If the tight spot is an end of the travel, it moves with that end. The slope leaves this out, and
        // so does this test.
        const auto map = LinkageMap::of(b.linkage);
        const Angle top = map->droop_at(b.shock.length).value(), low = least_droop(b, *map);
        const Angle tight = tightest_droop(*b.chain, low, top);
        if (tight.value == low.value || tight.value == top.value) continue;
        // At its target, the measure of a slack, its excess, has exact slopes.
        for (int j : {0, 1}) targets[j].value = in_mm(slack_at(*b.chain, b.arm, j == 0 ? top : tight).slack);
        if (targets[1].value < 2) continue;
        ++compared;
        const auto at = terms_of(b, targets, adjustables_of(b));
        REQUIRE(at.has_value());
        for (const Adjustable adjustable :
             {Adjustable::arm, Adjustable::shock_length, Adjustable::front_teeth, Adjustable::rear_teeth,
              Adjustable::links}) {
            constexpr double h = 1e-4;
            const auto moved = [&](double by) {
                WholeBike bike = b;
                if (!is_counted(adjustable)) put(bike, adjustable, value(b, adjustable) + by);
                Adjustables<double> adjustables = adjustables_of(bike);
                if (is_counted(adjustable)) adjustables[adjustable] += by;
                const auto terms = terms_of(bike, targets, adjustables);
                REQUIRE(terms.has_value());
                return *terms;
            };
            const auto less = moved(-h), more = moved(h);
            for (std::size_t j = 0; j < targets.size(); ++j) {
                CAPTURE(key(adjustable));
                CAPTURE(key(targets[j].what));
                const double slope = (more[j].miss - less[j].miss) / (2 * h);
                REQUIRE(std::fabs((*at)[j].slope[static_cast<int>(adjustable)] - slope) <
                        1e-4 * std::max(1.0, std::fabs(slope)));
            }
        }
    }
    CHECK(compared > 100);
}

TEST_CASE(
    "whole bike: after another shock spring and another fork spring it stands as before, on 10 000 bikes") {
    RandomBikes random(31);
    int refused = 0;
    for (int i = 0; i < 10000; ++i) {
        WholeBike before = random.bike();
        before.chain.reset();  // nothing here moves the axle, and some of these chains start too short
        WholeCase whole{with_other_springs(before, random), {}, {}};
        std::vector<Target> targets = {{TargetKind::rear_height, State::topped_out},
                                       {TargetKind::rear_height, State::rider},
                                       {TargetKind::front_height, State::topped_out},
                                       {TargetKind::rake, State::rider}};
        for (Target& t : targets) t.must_hold = true;
        whole.targets = measured(before, targets);
        whole.adjusters = {
            any(Adjustable::shock_length, whole.bike), any(Adjustable::shock_installed, whole.bike),
            any(Adjustable::fork_position, whole.bike), any(Adjustable::fork_installed, whole.bike)};
        const auto answer = restore(whole);
        REQUIRE(answer.has_value());
        // A spring so hard that it would have to be loose is no solution; the answer says so.
        const bool loose = answer->ends[1].high_why == EndWhy::no_preload &&
                           answer->setting[1] > answer->ends[1].high - 1e-6;
        const bool fork_loose = answer->ends[3].high_why == EndWhy::no_preload &&
                                answer->setting[3] > answer->ends[3].high - 1e-6;
        if (loose || fork_loose) {
            ++refused;
            continue;
        }
        for (std::size_t j = 0; j < whole.targets.size(); ++j) {
            CAPTURE(i);
            REQUIRE(std::fabs(answer->targets[j].setting - whole.targets[j].value) < 1e-6);
        }
        REQUIRE(answer->held);
        const auto rider = standing(before, Rider::on);
        REQUIRE(std::fabs(in_mm(answer->with_rider->attitude.trail - rider->attitude.trail)) < 1e-6);
    }
    CHECK(refused < 2000);
}

TEST_CASE(
    "whole bike: with an end topped out an exact answer inside the ranges is found, whatever the tolerance") {
    RandomBikes random(40);
    int stopped = 0;
    for (int i = 0; i < 600; ++i) {
        WholeBike bike = random.bike();
        bike.chain.reset();
        // More preload than the bike's own weight can overcome: no free sag at this end.
        const bool rear = i % 2 == 0;
        if (rear)
            bike.shock.installed_length -= mm(random.between(4, 14));
        else
            bike.fork.installed_length -= mm(random.between(20, 40));
        const auto as_is = standing(bike, Rider::off);
        if (!as_is || !(as_is->rear_topped_out || as_is->fork_topped_out)) continue;
        WholeCase whole{bike,
                        {},
                        {any(rear ? Adjustable::shock_length : Adjustable::fork_position, bike, 15),
                         any(rear ? Adjustable::shock_installed : Adjustable::fork_installed, bike, 15)}};
        WholeBike known = bike;
        for (const WholeAdjuster& a : whole.adjusters) put(known, a.what, a.now + random.between(-8, 8));
        const auto targets = measured_by(known, {{TargetKind::rake, State::static_, 0, true}});
        if (!targets) continue;
        ++stopped;
        for (const double tolerance : {0.01, 0.1, 0.5, 1.0, 10.0, 1000.0}) {
            whole.targets = *targets;
            whole.targets[0].tolerance = tolerance;
            const auto answer = restore(whole);
            REQUIRE(answer.has_value());
            CAPTURE(i);
            CAPTURE(tolerance);
            CHECK(std::fabs(answer->targets[0].setting - whole.targets[0].value) < 1e-6);
        }
    }
    CHECK(stopped > 200);
}

TEST_CASE("whole bike: restored, and then back, gives the first set-up") {
    RandomBikes random(32);
    for (int i = 0; i < 10000; ++i) {
        const WholeBike before = random.bike();
        const std::vector<Target> heights =
            measured(before, {{TargetKind::rear_height, State::topped_out, 0, true},
                              {TargetKind::rear_height, State::rider, 0, true}});
        WholeCase there{before,
                        heights,
                        {any(Adjustable::shock_length, before), any(Adjustable::shock_installed, before)}};
        there.bike.shock.spring.rate = before.shock.spring.rate * 0.95;
        there.bike.shock.length += mm(2);
        const auto away = restore(there);
        CAPTURE(i);
        REQUIRE(away.has_value());
        WholeCase back{
            away->bike,
            heights,
            {any(Adjustable::shock_length, away->bike), any(Adjustable::shock_installed, away->bike)}};
        back.bike.shock.spring.rate = before.shock.spring.rate;
        const auto home = restore(back);
        REQUIRE(home.has_value());
        REQUIRE(std::fabs(home->setting[0] - in_mm(before.shock.length)) < 1e-6);
        REQUIRE(std::fabs(home->setting[1] - in_mm(before.shock.installed_length)) < 1e-5);
    }
}

TEST_CASE("whole bike: two adjusters that do the same both move, and the least") {
    RandomBikes random(33);
    WholeBike b = random.bike();
    while (!standing(b, Rider::on) || standing(b, Rider::on)->rear_topped_out) b = random.bike();
    // For the rider height, length and preload of the shock are equivalent: a mm is a mm.
    WholeCase whole{b,
                    measured(b, {{TargetKind::rear_height, State::rider, 0, true}}),
                    {any(Adjustable::shock_length, b), any(Adjustable::shock_installed, b)}};
    whole.targets[0].value += 4;
    const auto answer = restore(whole);
    REQUIRE(answer.has_value());
    CHECK(answer->targets[0].setting == doctest::Approx(whole.targets[0].value).epsilon(1e-9));
    const double longer = answer->setting[0] - whole.adjusters[0].now,
                 in = whole.adjusters[1].now - answer->setting[1];
    CHECK(longer > 0.5);
    CHECK(longer == doctest::Approx(in).epsilon(1e-6));
}

TEST_CASE("whole bike: an end in the way is named for the target it keeps from being reached") {
    RandomBikes random(34);
    const WholeBike b = random.bike();
    WholeCase whole{b,
                    measured(b, {{TargetKind::rear_height, State::topped_out, 0, true},
                                 {TargetKind::trail, State::rider}}),
                    {any(Adjustable::shock_length, b, 1), any(Adjustable::fork_position, b, 30)}};
    whole.targets[0].value += 10;  // some 5 mm of shock: the adjuster has one
    const auto answer = restore(whole);
    REQUIRE(answer.has_value());
    CHECK_FALSE(answer->held);
    CHECK(answer->setting[0] == doctest::Approx(whole.adjusters[0].max));
    CHECK(answer->wanted[0] > whole.adjusters[0].max + 1);
    CHECK(answer->targets[0].in_the_way == std::vector<std::size_t>{0});
    // The trail is still restored, by the fork.
    CHECK(answer->targets[1].setting == doctest::Approx(whole.targets[1].value).epsilon(1e-6));
    CHECK(answer->targets[1].in_the_way.empty());
}
