// Restoring through the whole bike: slopes against differences, round trips, limits, and equivalent
// adjusters.

#include <doctest/doctest.h>

#include "core/machine/travel_table.h"
#include "core/restore/whole.h"
#include "core/restore/whole_model.h"
#include "tests/unit/random_bike.h"

using namespace restand;
using test::RandomBikes;

namespace {

const std::vector<Target> everything = {{TargetKind::rear_height, State::topped_out},
                                        {TargetKind::rear_height, State::static_},
                                        {TargetKind::rear_height, State::rider},
                                        {TargetKind::front_height, State::rider},
                                        {TargetKind::rear_sag, State::rider},
                                        {TargetKind::front_sag, State::static_},
                                        {TargetKind::rake, State::rider},
                                        {TargetKind::trail, State::rider},
                                        {TargetKind::arm_to_ground, State::rider},
                                        {TargetKind::wheelbase, State::static_},
                                        {TargetKind::pivot_height, State::rider},
                                        {TargetKind::wheel_rate, State::rider},
                                        {TargetKind::anti_squat, State::rider},
                                        {TargetKind::final_drive}};

std::vector<Target> measured(const WholeBike& bike, std::vector<Target> targets) {
    auto out = measured_by(bike, std::move(targets));
    REQUIRE(out.has_value());
    return *out;
}

WholeAdjuster any(Adjustable adjustable, const WholeBike& bike, double range = 60) {
    const double now = value(bike, adjustable);
    return {adjustable, now, now - range, now + range};
}

// A stiffer or softer shock spring of another length, at an arbitrary setting; the same for a fork spring.
WholeBike with_other_springs(WholeBike b, RandomBikes& random) {
    b.shock.spring.rate = b.shock.spring.rate * random.between(0.9, 1.12);
    b.shock.spring.free_length += mm(random.between(-6, 10));
    b.shock.length += mm(random.between(-3, 3));
    b.shock.installed_length = b.shock.spring.free_length - mm(random.between(6, 12));
    b.shock.gas.topped_out = newton(random.between(0, 220));
    b.fork.spring.rate = b.fork.spring.rate * random.between(0.93, 1.07);
    return b;
}

}  // namespace

TEST_CASE("whole bike: every target's slope by every adjuster is the differences' limit") {
    RandomBikes random(30);
    for (int i = 0; i < 300; ++i) {
        const WholeBike b = random.bike();
        const auto at = target_terms(b, everything, adjustables_of(b));
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
        const auto at = target_terms(b, targets, adjustables_of(b));
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
                const auto terms = target_terms(bike, targets, adjustables);
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

TEST_CASE("whole bike: settable steps: on the grid, inside the ends, next to the answer") {
    RandomBikes random(35);
    for (int i = 0; i < 300; ++i) {
        const WholeBike before = random.bike();
        WholeCase whole{with_other_springs(before, random), {}, {}};
        whole.targets = measured(before, {{TargetKind::rear_height, State::topped_out, 0, true},
                                          {TargetKind::rear_height, State::rider, 0, true},
                                          {TargetKind::front_height, State::rider},
                                          {TargetKind::wheelbase, State::rider}});
        whole.adjusters = {
            any(Adjustable::shock_length, whole.bike, 8), any(Adjustable::shock_installed, whole.bike, 30),
            any(Adjustable::fork_position, whole.bike, 10), any(Adjustable::fork_installed, whole.bike, 12)};
        const double steps[] = {0.3125, 0.375, 1.0, 0.25};
        for (std::size_t k = 0; k < 4; ++k) whole.adjusters[k].detent = steps[k];
        const auto answer = restore(whole);
        REQUIRE(answer.has_value());
        for (std::size_t k = 0; k < 4; ++k) {
            const double count = (answer->detent[k] - whole.adjusters[k].now) / steps[k];
            REQUIRE(std::fabs(count - std::round(count)) < 1e-9);
            REQUIRE(answer->detent[k] >= answer->ends[k].low - 1e-9);
            REQUIRE(answer->detent[k] <= answer->ends[k].high + 1e-9);
            REQUIRE(std::fabs(answer->detent[k] - answer->setting[k]) <= steps[k] + 1e-9);
        }
    }
}

TEST_CASE("whole bike: settable steps: no single step of one adjuster brings every target nearer") {
    RandomBikes random(39);
    int looked = 0;
    for (int i = 0; i < 150; ++i) {
        const WholeBike before = random.bike();
        WholeCase whole{with_other_springs(before, random), {}, {}};
        whole.targets = measured(before, {{TargetKind::rear_height, State::rider, 0, true},
                                          {TargetKind::rear_height, State::topped_out},
                                          {TargetKind::front_height, State::rider}});
        whole.adjusters = {any(Adjustable::shock_length, whole.bike, 8),
                           any(Adjustable::shock_installed, whole.bike, 30),
                           any(Adjustable::fork_installed, whole.bike, 12)};
        const double steps[] = {0.3125, 0.375, 0.25};
        for (std::size_t k = 0; k < 3; ++k) whole.adjusters[k].detent = steps[k];
        const auto answer = restore(whole);
        REQUIRE(answer.has_value());
        if (!answer->held) continue;
        for (std::size_t k = 0; k < 3; ++k)
            for (const double by : {-steps[k], steps[k]}) {
                const double place = answer->detent[k] + by;
                if (place < answer->ends[k].low || place > answer->ends[k].high) continue;
                WholeBike next = answer->bike;
                put(next, whole.adjusters[k].what, place);
                const auto there = measured_by(next, whole.targets);
                if (!there) continue;
                ++looked;
                bool nearer = true;
                for (std::size_t j = 0; j < whole.targets.size(); ++j)
                    nearer =
                        nearer && std::fabs((*there)[j].value - whole.targets[j].value) <
                                      std::fabs(answer->targets[j].detent - whole.targets[j].value) - 1e-6;
                CHECK(!nearer);
            }
    }
    CHECK(looked > 400);
}

TEST_CASE(
    "whole bike: another sprocket pair: axle and links bring slack and wheelbase back as near as they can") {
    RandomBikes random(36);
    const WholeBike before = random.bike();
    WholeCase whole{before, measured(before, {{TargetKind::stand_slack, State::topped_out, 0, true}}), {}};
    whole.bike.chain->sprockets.rear += 2;
    whole.adjusters = {{Adjustable::arm, 20, 0, 40, 0.0},
                       {Adjustable::links, double(before.chain->links), 100, 130, 2}};
    const auto answer = restore(whole);
    REQUIRE(answer.has_value());
    CHECK(std::fmod(answer->detent[1] - before.chain->links, 2.0) == doctest::Approx(0));
    CHECK(answer->targets[0].found < whole.targets[0].value - 5);  // two more teeth used up the slack
    CHECK(answer->targets[0].setting == doctest::Approx(whole.targets[0].value).epsilon(1e-6));
    // With whole links the axle makes up the rest: the slack is restored.
    CHECK(answer->targets[0].detent == doctest::Approx(whole.targets[0].value).epsilon(1e-6));
    CHECK(std::fabs(answer->detent[0] - 20) > 1);
}

TEST_CASE(
    "whole bike: a ratio of teeth is exact or not held, an angle to a tenth of a degree, unless the case "
    "says otherwise") {
    RandomBikes random(41);
    WholeBike b = random.bike();
    b.chain->sprockets = {16, 44};
    WholeCase whole{
        b, {{TargetKind::final_drive, State::rider, 3.5, true}}, {{Adjustable::rear_teeth, 44, 44, 44, 1}}};
    const auto held = [&] {
        const auto answer = restore(whole);
        REQUIRE(answer.has_value());
        return answer->targets[0].held;
    };
    CHECK_FALSE(held());
    whole.targets[0].value = 2.76;
    CHECK_FALSE(held());
    whole.targets[0].value = 2.75;
    CHECK(held());
    whole.targets[0].value = 3.5;
    whole.targets[0].tolerance = 1.0;  // the tolerance of the case counts
    CHECK(held());

    whole.adjusters = {any(Adjustable::fork_position, b, 0)};
    whole.targets = measured(b, {{TargetKind::rake, State::rider, 0, true}});
    const double rake = whole.targets[0].value;
    for (const auto& [off, so] : {std::pair{0.09, true}, {0.11, false}, {-0.5, false}}) {
        CAPTURE(off);
        whole.targets[0].value = rake + off;
        CHECK(held() == so);
    }
    whole.targets = measured(b, {{TargetKind::trail, State::rider, 0, true}});
    whole.targets[0].value += 0.9;
    CHECK(held());
    whole.targets[0].value += 0.2;
    CHECK_FALSE(held());
}

TEST_CASE("whole bike: what makes no sense is refused by its field") {
    RandomBikes random(37);
    const WholeBike b = random.bike();
    WholeCase whole{b, measured(b, {{TargetKind::trail, State::rider}}), {any(Adjustable::fork_position, b)}};
    CHECK(restore(whole).has_value());
    const auto subject = [&](auto change) {
        WholeCase wrong = whole;
        change(wrong);
        const auto answer = restore(wrong);
        REQUIRE_FALSE(answer.has_value());
        return answer.error().subject;
    };
    CHECK(subject([](WholeCase& c) { c.targets.clear(); }) == "targets");
    CHECK(subject([](WholeCase& c) { c.adjusters.clear(); }) == "adjusters");
    CHECK(subject([](WholeCase& c) { c.adjusters[0].now = 1e6; }) == "adjusters[1] (fork_position)");
    CHECK(subject([](WholeCase& c) { c.adjusters.push_back(c.adjusters[0]); }) ==
          "adjusters[2] (fork_position)");
    CHECK(subject([](WholeCase& c) { c.targets[0].tolerance = 0; }) == "targets[1].tolerance");
    CHECK(subject([](WholeCase& c) { c.bike.masses.reset(); }) == "bike.masses");
    CHECK(subject([](WholeCase& c) {
              c.bike.chain.reset();
              c.targets.push_back({TargetKind::stand_slack});
          }) == "stand_slack");
}
