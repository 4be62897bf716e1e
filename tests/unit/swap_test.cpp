// A swap from its readings to its answer.

#include "tests/unit/swap_case_kit.h"

using namespace restand;
using namespace restand::test;

TEST_CASE("asked: each point once a phase, and names are never needed") {
    for (const SwapPart part : all_parts)
        for (const Phase phase : all_phases) {
            std::set<std::pair<End, Point>> seen;
            for (const Asked& a : asked(swap_of({part}), phase)) {
                CHECK(seen.insert({a.end, a.point}).second);
                if (is_text(a.point)) CHECK(!a.wanted);
            }
            CHECK(!seen.empty());
        }
}

TEST_CASE(
    "asked: at most eight readings are wanted before and four of the new part; what is needed is wanted") {
    for (const SwapPart part : all_parts) {
        const Swap swap = swap_of({part});
        CHECK(unread(swap, Phase::before).size() <= 8);
        CHECK(unread(swap, Phase::new_part).size() <= 4);
        for (const Phase phase : all_phases) {
            const auto wanted = unread(swap, phase);
            for (const ReadAt& spot : missing(swap, phase))
                CHECK(std::find(wanted.begin(), wanted.end(), spot) != wanted.end());
        }
    }
}

TEST_CASE("asked: heights come first, and the ends have their own lengths") {
    for (const SwapPart part : all_parts) {
        CHECK(asked(swap_of({part}), Phase::before)[0].point == Point::ride_height_topped_out);
        for (const Phase phase : all_phases)
            for (const Asked& a : asked(swap_of({part}), phase)) {
                const bool front = a.end == End::front;
                if (part != SwapPart::load) CHECK(a.end == end_of(part));
                if (front) CHECK(a.point != Point::eye_to_eye);
                if (front) CHECK(a.point != Point::chain_slack);
                if (!front) CHECK(a.point != Point::fork_position);
            }
    }
}

TEST_CASE("asked: several parts at once are walked end by end, and what one wants is wanted") {
    const Swap both = swap_of({SwapPart::shock, SwapPart::sprockets, SwapPart::front_tyre});
    for (const Phase phase : all_phases) {
        const auto list = asked(both, phase);
        CHECK(std::is_sorted(list.begin(), list.end(),
                             [](const Asked& a, const Asked& b) { return a.end < b.end; }));
        for (const SwapPart part : both.parts)
            for (const Asked& one : asked(swap_of({part}), phase)) {
                const auto same = std::find_if(list.begin(), list.end(), [&](const Asked& a) {
                    return (a.end == one.end || is_of_bike(a.point)) && a.point == one.point;
                });
                REQUIRE(same != list.end());
                CHECK(same->wanted >= one.wanted);
            }
    }
}

TEST_CASE("tidy: a part that comes with another is not swapped for itself") {
    using enum SwapPart;
    CHECK(tidy({fork_oil, shock_spring, fork, shock, fork}) == std::vector{shock, fork});
    CHECK(tidy({fork_oil, shock_spring}) == std::vector{shock_spring, fork_oil});
}

TEST_CASE("take: the newest of two devices' readings, by clock and then by id") {
    Swapped s;
    s.read(Phase::before, Point::eye_to_eye, "311", 2000).read(Phase::before, Point::eye_to_eye, "310", 1000);
    CHECK(s.swap.stored({Phase::before, End::rear, Point::eye_to_eye})->reading.repeats[0].text == "311");
    s.read(Phase::before, Point::eye_to_eye, "312", 2000);
    s.swap.stored_readings[{Phase::before, End::rear, Point::eye_to_eye}][2].entry = id_of(9);
    CHECK(s.swap.stored({Phase::before, End::rear, Point::eye_to_eye})->reading.repeats[0].text == "312");
    CHECK(s.swap.stored({Phase::set, End::rear, Point::eye_to_eye}) == nullptr);
}

// Worked by hand in tests/terminal/solve_test.cpp.
TEST_CASE("answer_of: the issue's case, read on the bike") {
    const auto uncertain = answer_of(bike_with(2.05), issue_swap().swap);
    REQUIRE(uncertain.has_value());
    CHECK(near(uncertain->answer.setting.length, 310.0));
    CHECK(near(uncertain->answer.setting.installed_length, 148.936585));
    CHECK(std::fabs(*uncertain->answer.setting.length_turns - 4.0) < 1e-6);
    CHECK(std::fabs(*uncertain->answer.setting.collar_turns + 0.624390) < 1e-6);
    REQUIRE(uncertain->installed_length.has_value());
    CHECK(uncertain->rider.has_value());
    CHECK(uncertain->topped_out.has_value());
}

// u(p') = |k_old/k_new − 1|·u(h_r)/2.05 when only the rider height is uncertain.
TEST_CASE("answer_of: the uncertainty of one reading arrives in the answer and is named") {
    Swapped s = issue_swap();
    const Bike bike = bike_with(2.05);
    StoredReading& rider = s.swap.stored_readings[{Phase::before, End::rear, Point::ride_height_rider}][0];
    rider.reading.instrument.accuracy = std::sqrt(3.0);  // so u = 1 mm (GUM 4.3.7)
    const auto uncertain = answer_of(bike, s.swap);
    REQUIRE(uncertain.has_value());
    CHECK(std::fabs(uncertain->installed_length->u - 0.05 / 2.05) < 1e-5);
    CHECK(uncertain->length->u < 1e-6);
    const auto inputs = case_of(bike, s.swap)->inputs;
    CHECK(name_of(inputs[uncertain->installed_length->contributions[0].input].slot) ==
          "before.ride_height_rider");
}

TEST_CASE("case_of: without a leverage there is no case, and without the rod of a swapped rod neither") {
    const auto no_map = case_of(Bike{}, issue_swap().swap);
    REQUIRE(!no_map);
    CHECK(no_map.error().code == ErrorCode::missing);
    CHECK(no_map.error().subject == "leverage");
    Swapped rod = issue_swap(SwapPart::link_rod);
    rod.read(Phase::before, Point::link_rod, "120");
    CHECK(case_of(bike_with(2.05), rod.swap).error() == Error{ErrorCode::missing, "link_rod", "new_part"});
}

TEST_CASE("case_of: pairs win over the leverage ratio") {
    Bike bike = bike_with(2.05);
    bike.body.rear.pairs = {{mm(290), mm(450)}, {mm(320), mm(480)}};  // leverage 1
    const auto made = case_of(bike, issue_swap().swap);
    REQUIRE(made.has_value());
    CHECK(std::fabs(made->swap_case.map.at(mm(300))->leverage - 1.0) < 1e-9);
}

TEST_CASE("case_of: ends of the adjusters not read are no limits, an unknown start gives no turns") {
    Swapped s = issue_swap();
    for (const Point p : {Point::eye_to_eye_min, Point::eye_to_eye_max, Point::spring_installed_length})
        s.swap.stored_readings.erase({Phase::new_part, End::rear, p});
    const auto uncertain = answer_of(bike_with(2.05), s.swap);
    REQUIRE(uncertain.has_value());
    CHECK(near(uncertain->answer.setting.installed_length, 148.936585));
    CHECK(!uncertain->answer.setting.collar_turns);
    CHECK(uncertain->answer.setting.length_turns.has_value());
    CHECK(uncertain->answer.limits.empty());
}

// Same shock: k_old(p + x) = k_new(p' + x), so p' = 0.95·24.731707 − 14.731707 = 8.763415; 155 − that.
TEST_CASE("a spring swap keeps the unit's length and gas force") {
    const auto uncertain = answer_of(bike_with(2.05), issue_swap(SwapPart::shock_spring).swap);
    REQUIRE(uncertain.has_value());
    CHECK(near(uncertain->answer.setting.length, 310.0));
    CHECK(near(uncertain->answer.setting.installed_length, 155.0 - 8.763415));
    CHECK(uncertain->answer.detent.length == mm(310.0));
}

// By hand: travel 40/cos(24°) = 43.785451; p' = 0.95·(15 + 43.785451) − 43.785451 = 12.060727.
TEST_CASE("a fork takes the rake for its height map, and two legs") {
    Bike bike;
    bike.body.geometry.rake = degrees(24.0);
    for (const SwapPart kind : {SwapPart::fork, SwapPart::fork_springs}) {
        const auto uncertain = answer_of(bike, fork_swap(kind).swap);
        REQUIRE(uncertain.has_value());
        CHECK(near(uncertain->answer.setting.preload, 12.060727));
        CHECK(case_of(bike, fork_swap(kind).swap)->swap_case.before.unit.legs == 2);
    }
}

TEST_CASE("a longer fork goes further through the yokes") {
    Bike bike;
    bike.body.front.leverage = 0.9;
    Swapped s = fork_swap(SwapPart::fork);
    s.read(Phase::before, Point::fork_length, "740").read(Phase::new_part, Point::fork_length, "743");
    const auto made = case_of(bike, s.swap);
    REQUIRE(made.has_value());
    const auto uncertain = answer_of(bike, s.swap);
    REQUIRE(uncertain.has_value());
    CHECK(near(mm(743.0) - uncertain->answer.setting.length, 9.0));
}

TEST_CASE("as set: the prediction follows what was set, and says what is missing") {
    const Bike bike = bike_with(2.05);
    Swapped s = issue_swap();
    const auto early = prediction_as_set(bike, s.swap);
    REQUIRE(!early);
    CHECK(early.error() == Error{ErrorCode::missing, "eye_to_eye", "set"});
    s.read(Phase::set, Point::eye_to_eye, "310").read(Phase::set, Point::spring_installed_length, "150");
    const auto predicted = prediction_as_set(bike, s.swap);
    REQUIRE(predicted.has_value());
    // 1.063415 mm less preload than asked lowers the rear by that amount times the leverage.
    CHECK(near(*predicted->residual_at(State::rider), -2.05 * 1.063415));
    CHECK(near(*predicted->residual_at(State::topped_out), 0.0));
}
