// Sprockets, chain and the axle position: compared with a scan over the whole travel and with the standing
// mechanism.

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "core/ledger/chain_count.h"
#include "tests/unit/swap_kit.h"

using namespace restand;
using namespace restand::test;

using P = Point;

TEST_CASE("sprockets: as much slack at the tight spot as before, found by walking the whole travel") {
    RandomBikes random(507);
    for (int i = 0; i < 200; ++i) {
        const WholeBike b = random.bike();
        Known k = with_chain(b, {SwapPart::sprockets});
        k.read(Phase::new_part, End::rear, P::sprocket_front, b.chain->sprockets.front);
        k.read(Phase::new_part, End::rear, P::sprocket_rear, b.chain->sprockets.rear + random.one_of(-2, 2));
        const auto chain = solve_swap(k.site()).chain;
        REQUIRE(chain.has_value());
        CHECK(chain->was.tight.slack > mm(5));
        const auto tightest = [](const ChainNow& now) {
            double least = 1e9;
            for (int s = 0; s <= 2000; ++s)
                least = std::min(
                    least,
                    in_mm(slack_at(now.run, now.arm, now.full + (now.top - now.full) * (s / 2000.0)).slack));
            return least;
        };
        CHECK(in_mm(chain->was.on_stand.slack) == doctest::Approx(75).epsilon(1e-6));
        // Two thousand steps miss the tight spot by at most a 4000th of the travel; slack is flat there.
        CHECK(tightest(chain->will) == doctest::Approx(tightest(chain->was)).epsilon(1e-3));
        CHECK(in_mm(chain->will.arm - chain->was.arm) == doctest::Approx(in_mm(chain->axle_by)));
        CHECK(chain->will.run.links % 2 == b.chain->links % 2);
        CHECK(chain->in_slot);
        // The rear end with the longer arm: h = arm·sin(droop) at the same unit length.
        const auto input = case_of(k.site(), End::rear);
        REQUIRE(input.has_value());
        const SwapSolution solution = solve_swap(k.site());
        if (const EndSolution* rear = solution.end(End::rear); rear && input->swap_case.new_map) {
            REQUIRE((rear->input && rear->input->swap_case.new_map));
            const Length unit = input->swap_case.before.unit.length;
            CHECK(rear->input->swap_case.new_map->at(unit)->height ==
                  input->swap_case.new_map->at(unit)->height);
        } else if (input->swap_case.new_map) {
            const Prediction moved =
                predict(input->swap_case, input->swap_case.length.now, input->swap_case.installed.now);
            REQUIRE(solution.rear_with_axle_moved);
            CHECK(solution.rear_with_axle_moved->residual_at(State::rider) ==
                  moved.residual_at(State::rider));
        }
        if (chain->axle_by == mm(0)) continue;
        REQUIRE(input->swap_case.new_map.has_value());
        const auto at = place_at(b.linkage, degrees(8));
        const Length l = at->length;
        CHECK(in_mm(input->swap_case.new_map->at(l)->height - input->swap_case.map.at(l)->height) ==
              doctest::Approx(in_mm(chain->axle_by) * std::sin(degrees(8).value)).epsilon(1e-6));
    }
}

// The ledger keeps the wheel's load constant; in the mechanism it shifts a little.
TEST_CASE("slack: set too far back or forward by so much, the axle is corrected by just that") {
    RandomBikes random(508);
    int corrected = 0, in_slot = 0;
    for (int i = 0; i < 100; ++i) {
        const WholeBike b = random.bike();
        Known k = with_chain(b, {SwapPart::sprockets});
        k.read(Phase::new_part, End::rear, P::sprocket_rear, b.chain->sprockets.rear + random.one_of(-1, 1));
        const auto chain = solve_swap(k.site()).chain;
        REQUIRE(chain.has_value());
        const Length answered = *chain->axle_from + chain->axle_by;
        const double off = (i % 2 ? 1 : -1) * (1 + i % 5);
        const ChainNow& will = chain->will;
        const Length slack = slack_at(will.run, will.arm + mm(off), will.stand).slack;
        k.read(Phase::set, End::rear, P::axle_position, in_mm(answered) + off);
        k.read(Phase::check, End::rear, P::chain_slack, in_mm(slack));
        const SwapSolution solution = solve_swap(k.site());
        REQUIRE(solution.slack);
        const bool taut = slack <= mm(0), restored = abs(slack - solution.slack->to_be) < slack_tolerance;
        CHECK((solution.slack->verdict == Verdict::not_restored && !taut) ==
              solution.slack->axle.has_value());
        if (restored) CHECK_FALSE(solution.slack->axle);
        if (!solution.slack->axle) continue;
        ++corrected;
        // The chain's length is worked out again from the slack read: it is found to 1e-9 m at best.
        CHECK(in_mm(solution.slack->axle->by) == doctest::Approx(-off).epsilon(1e-6));
        REQUIRE(solution.slack->axle->to);
        CHECK(in_mm(*solution.slack->axle->to) == doctest::Approx(in_mm(answered)).epsilon(1e-6));
        CHECK(solution.slack->axle->in_slot == (answered >= mm(0) && answered <= mm(60)));
        in_slot += solution.slack->axle->in_slot;
    }
    CHECK(corrected > 30);
    CHECK(in_slot > 20);
}

TEST_CASE("slack: read before the axle was set, it says nothing of where the axle is") {
    RandomBikes random(509);
    const WholeBike b = random.bike();
    Known k = with_chain(b, {SwapPart::sprockets});
    k.read(Phase::new_part, End::rear, P::sprocket_rear, b.chain->sprockets.rear);
    k.read(Phase::set, End::rear, P::axle_position, 30).read(Phase::set, End::rear, P::chain_slack, 40);
    auto& axle = k.swap.stored_readings.at({Phase::set, End::rear, P::axle_position}).front();
    auto& slack = k.swap.stored_readings.at({Phase::set, End::rear, P::chain_slack}).front();
    axle.at = {1000, 0};
    slack.at = {2000, 0};
    REQUIRE(solve_swap(k.site()).slack);
    CHECK(in_mm(solve_swap(k.site()).slack->is) == doctest::Approx(40));
    axle.at = {3000, 0};
    CHECK_FALSE(solve_swap(k.site()).slack);
}

TEST_CASE("slack: read at the check before the spring was set, it counts with the wheel hanging alone") {
    RandomBikes random(510);
    const WholeBike b = random.bike();
    Known k = with_chain(b, {SwapPart::shock_spring, SwapPart::sprockets});
    k.read(Phase::new_part, End::rear, P::spring_rate, 95)
        .read(Phase::new_part, End::rear, P::spring_free_length, 160)
        .read(Phase::new_part, End::rear, P::sprocket_rear, b.chain->sprockets.rear);
    k.read(Phase::set, End::rear, P::axle_position, 30)
        .read(Phase::set, End::rear, P::spring_installed_length, 150)
        .read(Phase::check, End::rear, P::chain_slack, 40);
    const auto at = [&k](Phase phase, Point point) -> Clock& {
        return k.swap.stored_readings.at({phase, End::rear, point}).front().at;
    };
    at(Phase::set, P::axle_position) = {1000, 0};
    at(Phase::set, P::spring_installed_length) = {1000, 0};
    at(Phase::check, P::chain_slack) = {2000, 0};
    const auto asks_for_slack = [&k] {
        const auto left = unread(k.site(), Phase::check);
        return std::find(left.begin(), left.end(), ReadAt{Phase::check, End::rear, P::chain_slack}) !=
               left.end();
    };
    for (const Stand stand : {Stand::hanging, Stand::swingarm}) {
        k.body.how_read.slack_stand = stand;
        CHECK(solve_swap(k.site()).slack);
        CHECK_FALSE(asks_for_slack());
    }
    // The collar is turned after it.
    at(Phase::set, P::spring_installed_length) = {3000, 0};
    CHECK_FALSE(solve_swap(k.site()).slack);
    CHECK(asks_for_slack());
    k.body.how_read.slack_stand = Stand::hanging;
    CHECK(solve_swap(k.site()).slack);
    CHECK_FALSE(asks_for_slack());
}

TEST_CASE("an axle moved back a millimetre does what the standing mechanism says it does") {
    RandomBikes random(512);
    for (int i = 0; i < 200; ++i) {
        const WholeBike b = random.bike();
        if (standing(b, Rider::off)->rear_topped_out) continue;  // alone it is topped out: no load is known
        Known k = known(b, {SwapPart::shock});
        k.has(End::rear, P::axle_position, 20);
        const ArmEffect told = arm_effect(k.body, k.stood, k.stood);
        WholeBike longer = b;
        longer.arm += mm(1);
        const auto was = standing(b, Rider::on), is = standing(longer, Rider::on);
        REQUIRE((was && is));
        // A longer arm takes load off its wheel. Only the mechanism has the rise that this causes.
        const double off = (is->loads->rear - was->loads->rear).value / was->wheel_rate.value;
        const double rise = height(longer, is->pose.droop) - height(b, was->pose.droop);
        CHECK(std::fabs(told.ride_height - (rise + off)) < 0.02);
        CHECK(std::fabs(told.wheelbase - in_mm(is->attitude.wheelbase - was->attitude.wheelbase)) <
              0.03 + std::fabs(off));
        CHECK(std::fabs(told.arm_to_ground_deg -
                        in_degrees(is->attitude.arm_to_ground - was->attitude.arm_to_ground)) < 0.01);
    }
}

TEST_CASE(
    "a shock swap says what it does to a chain that nobody touched: hanging lower takes slack or gives it") {
    RandomBikes random(508);
    const WholeBike b = random.bike();
    Known k = with_chain(b, {SwapPart::shock});
    // 6 mm longer and not adjustable: the wheel hangs lower.
    k.read(Phase::new_part, End::rear, P::eye_to_eye, in_mm(b.shock.length) + 6);
    k.read(Phase::new_part, End::rear, P::spring_rate, b.shock.spring.rate.value);
    k.read(Phase::new_part, End::rear, P::spring_free_length, in_mm(b.shock.spring.free_length) + 12);
    const auto chain = solve_swap(k.site()).chain;
    REQUIRE(chain.has_value());
    CHECK(chain->axle_by == mm(0));
    CHECK(chain->will.top > chain->was.top + degrees(0.5));
    const SlackAt lower = slack_at(chain->was.run, chain->was.arm, chain->will.top);
    CHECK(in_mm(chain->will.on_stand.slack) == doctest::Approx(in_mm(lower.slack)).epsilon(1e-4));
}

TEST_CASE("a new chain by its links is a first guess, and says so; too few links do not reach") {
    RandomBikes random(509);
    const WholeBike b = random.bike();
    Known k = with_chain(b, {SwapPart::chain});
    k.read(Phase::new_part, End::rear, P::chain_links, b.chain->links);
    const auto chain = solve_swap(k.site()).chain;
    REQUIRE(chain.has_value());
    CHECK(chain->by_count);
    CHECK(in_mm(chain->will.run.length) == doctest::Approx(15.875 * b.chain->links));
    CHECK(in_mm(chain->will.tight.slack) == doctest::Approx(in_mm(chain->was.tight.slack)).epsilon(1e-6));
    k.read(Phase::new_part, End::rear, P::chain_links, 62);
    const auto few = solve_swap(k.site()).chain;
    CHECK((!few || !few->in_slot));
}

TEST_CASE("sprockets: one of the two is enough, the other stays; neither is asked for by name") {
    Swap swap;
    swap.parts = {SwapPart::sprockets};
    CHECK(missing(swap, Phase::new_part) ==
          std::vector{ReadAt{Phase::new_part, End::rear, P::sprocket_rear}});
    swap.stored_readings[{Phase::new_part, End::rear, P::sprocket_front}] = {taken(P::sprocket_front, 15)};
    CHECK(missing(swap, Phase::new_part).empty());
    CHECK(replaces(swap, End::rear, P::sprocket_front));
    CHECK(!replaces(swap, End::rear, P::sprocket_rear));
}

TEST_CASE("sprockets only: the shock nobody turned stands as it is, on the moved axle") {
    RandomBikes random(513);
    int moved = 0;
    for (int i = 0; i < 60; ++i) {
        const WholeBike b = random.bike();
        Known k = with_chain(b, {SwapPart::sprockets});
        k.read(Phase::new_part, End::rear, P::sprocket_rear, b.chain->sprockets.rear - 3);
        const SwapSolution solution = solve_swap(k.site());
        const auto& both = solution.attitudes;
        REQUIRE((both && solution.chain));
        const Length by = solution.chain->axle_by;
        if (abs(by) < mm(3)) continue;
        ++moved;
        // The mechanism with only a longer arm.
        WholeBike longer = b;
        longer.arm += by;
        const auto was = standing(b, Rider::on), is = standing(longer, Rider::on);
        REQUIRE((was && is));
        const double told = in_degrees(both->will.arm_to_ground - both->was.arm_to_ground);
        CHECK(std::fabs(told - in_degrees(is->attitude.arm_to_ground - was->attitude.arm_to_ground)) < 0.05);
    }
    CHECK(moved > 20);
}

namespace {
// With a chain whose length is that of a new one: front and rear sprocket alike, 2·C/p + N links.
struct CountedChain {
    WholeBike b;
    Known k;
    int links;
    explicit CountedChain(RandomBikes& random, std::vector<SwapPart> parts = {SwapPart::sprockets})
        : b(random.bike()), k(), links(0) {
        b.chain->sprockets = {30, 30};
        const Angle top = LinkageMap::of(b.linkage)->droop_at(b.shock.length).value();
        links = 2 * static_cast<int>(std::lround(in_mm(centre_distance(*b.chain, b.arm, top)) / 15.875 + 15));
        // The pitch that makes it fit: the count is then exact.
        b.chain->pitch = centre_distance(*b.chain, b.arm, top) * 2.0 / (links - 30);
        k = with_chain(b, std::move(parts));
        k.body.mechanism.chain_pitch = b.chain->pitch;
        k.swap.stored_readings.erase({Phase::before, End::rear, P::chain_links});
    }
    std::optional<int> instead(int typed, Phase phase = Phase::before) const {
        return links_instead(k.site(), phase, typed);
    }
};
}  // namespace

TEST_CASE(
    "links typed before the swap: two too many or four too few are asked about, with the count that fits") {
    RandomBikes random(521);
    for (int i = 0; i < 50; ++i) {
        CountedChain c(random);
        CHECK(c.instead(c.links) == std::nullopt);
        CHECK(c.instead(c.links - 2) == std::nullopt);  // worn by 1.8 %
        CHECK(c.instead(c.links + 2) == c.links);
        CHECK(c.instead(c.links - 4) == c.links);
        // The axle was adjusted since the arm was measured: the arm is longer by as much.
        c.k.has(End::rear, P::axle_position, 30 - 2 * in_mm(c.b.chain->pitch));
        CHECK(c.instead(c.links) == c.links + 4);
    }
}

TEST_CASE(
    "links typed of a new chain: what the axle can take up in its slot is plausible, what it cannot is not") {
    RandomBikes random(522);
    for (int i = 0; i < 50; ++i) {
        CountedChain c(random, {SwapPart::chain});
        // 30 mm of slot before and behind the axle: nearly two pitches each way, four links.
        for (const int by : {-2, 0, 2}) CHECK(c.instead(c.links + by, Phase::new_part) == std::nullopt);
        CHECK(c.instead(c.links + 6, Phase::new_part) == c.links);
        CHECK(c.instead(c.links - 8, Phase::new_part) == c.links);
        // Four teeth more on both sprockets are four links more.
        c.k.read(Phase::new_part, End::rear, P::sprocket_front, 34)
            .read(Phase::new_part, End::rear, P::sprocket_rear, 34);
        CHECK(c.instead(c.links - 4, Phase::new_part) == c.links + 4);
        CHECK(c.instead(c.links + 4, Phase::new_part) == std::nullopt);
        CHECK(c.instead(c.links + 4) == c.links);  // the old sprockets had the old chain
        // Once the axle is set, it alone counts.
        c.k.read(Phase::set, End::rear, P::axle_position, 30);
        CHECK(c.instead(c.links + 4, Phase::set) == std::nullopt);
        CHECK(c.instead(c.links + 6, Phase::set) == c.links + 4);
        c.k.body.mechanism.slot_length.reset();
        CHECK(c.instead(c.links + 20, Phase::new_part) == std::nullopt);
    }
}

TEST_CASE(
    "links typed: without sprockets, axle, arm or heights nothing is asked, and a count confirmed is not "
    "asked again") {
    RandomBikes random(523);
    const CountedChain c(random);
    const int wrong = c.links + 6;
    REQUIRE(c.instead(wrong) == c.links);
    for (const Point point :
         {P::sprocket_front, P::sprocket_rear, P::axle_position, P::ride_height_topped_out}) {
        CountedChain less = c;
        less.k.swap.stored_readings.erase({Phase::before, End::rear, point});
        less.k.stood.values.erase({End::rear, point});
        CHECK(less.instead(wrong) == std::nullopt);
    }
    CountedChain less = c;
    less.k.body.geometry.swingarm.reset();
    CHECK(less.instead(wrong) == std::nullopt);
    less = c;
    less.k.body.mechanism.front_sprocket.reset();
    CHECK(less.instead(wrong) == std::nullopt);

    CountedChain known = c;
    StoredReading yes = taken(P::chain_links, wrong);
    yes.confirmed = true;
    known.k.swap.stored_readings[{Phase::before, End::rear, P::chain_links}] = {yes};
    for (const Phase phase : {Phase::before, Phase::new_part, Phase::set})
        CHECK(known.instead(wrong, phase) == std::nullopt);
    CHECK(known.instead(wrong + 2) == c.links);
    known = c;
    known.k.stood.values[{End::rear, P::chain_links}] = yes;  // in an earlier swap
    CHECK(known.instead(wrong) == std::nullopt);
}
