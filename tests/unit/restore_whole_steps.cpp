// Restoring through the whole bike: settable steps, teeth and links, and cases that are refused.

#include "tests/unit/whole_kit.h"

using namespace restand;
using namespace restand::test;

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
    for (const auto& off : {std::pair{0.09, true}, {0.11, false}, {-0.5, false}}) {
        CAPTURE(off.first);
        whole.targets[0].value = rake + off.first;
        CHECK(held() == off.second);
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
