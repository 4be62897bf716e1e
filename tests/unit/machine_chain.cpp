// The chain run, checked by brute force: where it is tightest, the needed axle position, and the table of
// sprockets.

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "core/machine/gearing.h"
#include "tests/unit/random_bike.h"

using namespace restand;
using test::RandomBikes;

TEST_CASE("chain: the tight spot is where brute force finds it, on 10 000 bikes") {
    RandomBikes random(20);
    for (int i = 0; i < 10000; ++i) {
        WholeBike b = random.bike();
        if (i % 4 == 0)
            b.chain->front_sprocket.x =
                mm(random.between(-120, -20));  // behind the pivot: not built, but computed correctly
        const double low = degrees(random.between(-6, 8)).value,
                     high = low + degrees(random.between(4, 14)).value;
        const Angle tight = tightest_droop(*b.chain, radians(low), radians(high));
        double best = low, least = 1e9;
        for (int k = 0; k <= 200; ++k) {
            const double droop = low + (high - low) * k / 200;
            const double excess = in_mm(slack_at(*b.chain, b.arm, radians(droop)).excess);
            if (excess < least) least = excess, best = droop;
        }
        REQUIRE(std::fabs(tight.value - best) <= (high - low) / 200 + 1e-12);
        REQUIRE(in_mm(slack_at(*b.chain, b.arm, tight).excess) <= least + 1e-9);
    }
}

TEST_CASE("chain: length to centre and back, slack to excess and back, axle to slack and back") {
    RandomBikes random(21);
    for (int i = 0; i < 2000; ++i) {
        const WholeBike b = random.bike();
        const ChainRun& run = *b.chain;
        const Length centre = mm(random.between(560, 720));
        REQUIRE(std::fabs(in_mm(*centre_for(run, *needed_length(run, centre)) - centre)) < 1e-9);
        const Length span = span_of(run, centre), slack = mm(random.between(1, 60));
        REQUIRE(std::fabs(in_mm(slack_of(span, excess_of(span, slack)) - slack)) < 1e-6);
        const Angle droop = degrees(random.between(0, 16));
        const auto arm = arm_for(run, droop, slack);
        REQUIRE(arm.has_value());
        REQUIRE(std::fabs(in_mm(slack_at(run, *arm, droop).slack - slack)) < 1e-6);
        // Calibrated by a measured slack, the run returns that slack.
        const ChainRun worn = calibrated(run, b.arm, droop, slack);
        REQUIRE(std::fabs(in_mm(slack_at(worn, b.arm, droop).slack - slack)) < 1e-6);
    }
}

// Equal sprockets of N teeth: two straight runs and half of each sprocket, L = 2·C + N·p, so 2·C/p + N links.
TEST_CASE(
    "chain: round equal sprockets the count of links that fits is 2·C/p + N, and its wear is let pass") {
    const Length pitch = mm(15.875);
    for (const int teeth : {15, 20, 40})
        for (const int links : {92, 100, 114, 126}) {
            ChainRun run;
            run.sprockets = {teeth, teeth};
            run.pitch = pitch;
            const Length needed = *needed_length(run, pitch * (links - teeth) / 2.0);
            CHECK(in_mm(needed) == doctest::Approx(15.875 * links).epsilon(1e-12));
            CHECK(even_links(pitch, needed, needed, needed) == links);
            for (const double worn : {-0.004, 0.0, 0.024}) {
                const Length real = needed * (1 + worn);
                CHECK(plausible_links(links, pitch, real, real));
            }
            for (const double wrong : {-0.006, 0.026}) {
                const Length real = needed * (1 + wrong);
                CHECK_FALSE(plausible_links(links, pitch, real, real));
            }
            CHECK_FALSE(plausible_links(links + 2, pitch, needed, needed));
            CHECK_FALSE(plausible_links(links - 4, pitch, needed, needed));
            // A slot of two pitches: 2 links more take the axle one pitch back.
            CHECK(plausible_links(links + 2, pitch, needed, needed + pitch * 2));
        }
}

TEST_CASE("chain: of the even counts the nearest that is plausible is named") {
    const Length p = mm(15.875);
    CHECK(even_links(p, p * 113.6, p * 113.6, p * 113.6) == 114);
    // 114 links would be 0.8 % too long; 112 may be worn by 0.9 %.
    CHECK(even_links(p, p * 113.05, p * 113.05, p * 113.05) == 112);
    CHECK(even_links(p, p * 113.05, p * 113.05, p * 115) == 114);
    CHECK_FALSE(even_links(p, p * 21, p * 21, p * 21).has_value());
}

TEST_CASE("chain: play with moving tangent points is the triangle's to a thousandth of the slack") {
    RandomBikes random(22);
    for (int i = 0; i < 500; ++i) {
        const ChainRun run = *random.bike().chain;
        const Length centre = mm(random.between(600, 700)), span = span_of(run, centre);
        const Length excess = mm(random.between(0.01, 2));
        const Play play = exact_play(run, centre, excess);
        CHECK(in_mm(play.up + play.down) == doctest::Approx(in_mm(slack_of(span, excess))).epsilon(1e-3));
        CHECK(play.up < play.down);  // wrapping on takes chain, wrapping off returns it
    }
    const ChainRun run = *random.bike().chain;
    CHECK(exact_play(run, mm(650), mm(0)).up == mm(0));
    CHECK(slack_of(mm(650), mm(-1)) == mm(0));
}

TEST_CASE("gearing: every option leaves the wanted slack at the tight spot, even links, best first") {
    RandomBikes random(23);
    const std::array front{14, 15, 16, 17};
    const std::array rear{40, 41, 42, 43, 44, 45, 46, 47};
    for (int i = 0; i < 200; ++i) {
        const WholeBike b = random.bike();
        GearQuestion q{.run = *b.chain,
                       .arm = b.arm,
                       .slot = {mm(20), mm(2), mm(38)},
                       .low = degrees(2),
                       .high = degrees(15),
                       .slack_at_tight_spot = mm(18),
                       .ratio = random.between(2.4, 3.2),
                       .effect = {1.0, -0.2, 0.01}};
        const auto options = gear_options(q, front, rear);
        REQUIRE(options.size() == front.size() * rear.size());
        bool fitting = true;
        for (const GearOption& o : options) {
            CHECK(o.links % 2 == 0);
            const ChainRun run = refitted(q.run, o.sprockets, o.links);
            const Length arm = q.arm + (o.axle - q.slot.now);
            const Angle tight = tightest_droop(run, q.low, q.high);
            CHECK(in_mm(slack_at(run, arm, tight).slack) == doctest::Approx(18).epsilon(1e-6));
            CHECK(o.fits == (o.axle >= q.slot.min && o.axle <= q.slot.max));
            CHECK(o.wheelbase == o.axle - q.slot.now);
            CHECK((fitting || !o.fits));  // fitting options come before all others
            fitting = o.fits;
            // No even count is closer to the middle of the slot.
            const auto off = [&](int links) {
                const auto a = arm_for(refitted(q.run, o.sprockets, links), tight, mm(18));
                return a ? std::fabs(in_mm(*a - q.arm)) : 1e9;
            };
            if (o.fits) CHECK(std::min(off(o.links - 2), off(o.links + 2)) >= off(o.links) - 1e-9);
        }
    }
}

TEST_CASE(
    "gearing: from an axle at the end of its slot no even count of links reaches nearer to the middle") {
    RandomBikes random(24);
    int far = 0;
    for (int i = 0; i < 400; ++i) {
        const WholeBike b = random.bike();
        const GearQuestion q{.run = *b.chain,
                             .arm = b.arm,
                             .slot = {mm(random.between(2, 38)), mm(2), mm(38)},
                             .low = degrees(2),
                             .high = degrees(15),
                             .slack_at_tight_spot = mm(18),
                             .ratio = 2.8,
                             .effect = {1.0, -0.2, 0.01}};
        const Sprockets teeth{static_cast<int>(std::lround(random.between(14, 17))),
                              static_cast<int>(std::lround(random.between(40, 47)))};
        const auto options = gear_options(q, std::array{teeth.front}, std::array{teeth.rear});
        REQUIRE(options.size() == 1);
        // Outside the slot by as little as possible, then as close to its middle as possible.
        const auto off = [&](Length axle) {
            const double at = in_mm(axle);
            return std::pair(std::max({2 - at, at - 38, 0.0}), std::fabs(at - 20));
        };
        const Angle tight = tightest_droop(q.run, q.low, q.high);
        std::pair least(1e9, 1e9);
        int best = 0;
        for (int links = 80; links <= 160; links += 2) {
            const auto arm = arm_for(refitted(q.run, teeth, links), tight, mm(18));
            if (!arm) continue;
            if (const auto here = off(q.slot.now + (*arm - q.arm)); here < least) least = here, best = links;
        }
        CHECK(options.front().links == best);
        far += std::fabs(in_mm(q.slot.now) - 20) > 12;
    }
    CHECK(far > 100);
}
