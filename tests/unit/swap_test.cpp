// A swap from its readings to the baseline that it produces.

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "core/ledger/swap_solution.h"

using namespace restand;

namespace {

constexpr SwapPart all_parts[] = {SwapPart::shock,     SwapPart::shock_spring, SwapPart::link_rod,
                                  SwapPart::rear_tyre, SwapPart::sprockets,    SwapPart::chain,
                                  SwapPart::fork,      SwapPart::fork_springs, SwapPart::fork_oil,
                                  SwapPart::front_tyre};
static_assert(std::size(all_parts) == swap_part_count);

Swap swap_of(std::vector<SwapPart> parts) {
    Swap swap;
    swap.parts = std::move(parts);
    return swap;
}
constexpr Phase all_phases[] = {Phase::before, Phase::new_part, Phase::set, Phase::check};

Id id_of(std::uint8_t last) {
    Id id;
    id.bytes[15] = last;
    return id;
}

// Exact instruments, three equal repeats: the mean is exactly the number.
StoredReading stored(Point point, const std::string& text, std::int64_t at_ms = 1000) {
    const Dimension d = facts(point).dimension;
    const Unit unit = d == Dimension::rate                            ? Unit::n_per_mm
                      : d == Dimension::force                         ? Unit::newton
                      : d == Dimension::length_per_turn               ? Unit::mm_per_turn
                      : d == Dimension::clicks                        ? Unit::click
                      : d == Dimension::text || d == Dimension::count ? Unit::one
                                                                      : Unit::mm;
    StoredReading t;
    t.reading = {point, {{text, unit}, {text, unit}, {text, unit}}, {"exact", 0.0, 0.0}, ""};
    t.at = {at_ms, 0};
    return t;
}

struct Swapped {
    Swap swap = swap_of({SwapPart::shock});
    Swapped& read(Phase phase, Point point, const std::string& text, std::int64_t at_ms = 1000) {
        swap.stored_readings[{phase, end_of(swap.parts.front()), point}].push_back(
            stored(point, text, at_ms));
        return *this;
    }
};

// The case of the issue, as readings.
Swapped issue_swap(SwapPart kind = SwapPart::shock) {
    Swapped s;
    s.swap.parts = {kind};
    s.read(Phase::before, Point::ride_height_topped_out, "500")
        .read(Phase::before, Point::ride_height_static, "490.3");
    s.read(Phase::before, Point::ride_height_rider, "469,8").read(Phase::before, Point::eye_to_eye, "310");
    s.read(Phase::before, Point::spring_rate, "95").read(Phase::before, Point::spring_free_length, "160");
    s.read(Phase::before, Point::spring_installed_length, "150").read(Phase::before, Point::gas_force, "150");
    s.read(Phase::new_part, Point::spring_rate, "100")
        .read(Phase::new_part, Point::spring_free_length, "155");
    s.read(Phase::new_part, Point::spring_block_length, "72").read(Phase::new_part, Point::travel, "66");
    s.read(Phase::new_part, Point::spring_installed_length, "148");
    s.read(Phase::new_part, Point::collar_mm_per_turn, "1.5");
    if (kind == SwapPart::shock) {
        s.read(Phase::new_part, Point::eye_to_eye, "305").read(Phase::new_part, Point::eye_to_eye_min, "300");
        s.read(Phase::new_part, Point::eye_to_eye_max, "316")
            .read(Phase::new_part, Point::length_mm_per_turn, "1.25");
        s.read(Phase::new_part, Point::gas_force, "420").read(Phase::new_part, Point::part_name, "long one");
    }
    return s;
}

Bike bike_with(double leverage) {
    Bike bike;
    bike.body.name = "No. 27";
    bike.body.rear.leverage = leverage;
    return bike;
}

Swapped fork_swap(SwapPart kind) {
    Swapped s;
    s.swap.parts = {kind};
    s.read(Phase::before, Point::ride_height_topped_out, "620")
        .read(Phase::before, Point::ride_height_rider, "580");
    s.read(Phase::before, Point::fork_position, "6").read(Phase::before, Point::spring_rate, "9.5");
    s.read(Phase::before, Point::spring_free_length, "255")
        .read(Phase::before, Point::spring_installed_length, "240");
    s.read(Phase::new_part, Point::spring_rate, "10").read(Phase::new_part, Point::spring_free_length, "250");
    return s;
}

// A swap where the bike's only known values are the swap's readings.
Result<CaseInput> case_of(const Bike& bike, const Swap& swap) {
    return restand::case_of(SwapSite{bike.body, swap}, end_of(swap.parts.front()));
}
EndSolution solved(const Bike& bike, const Swap& swap) {
    return *solve_swap(SwapSite{bike.body, swap}).end(end_of(swap.parts.front()));
}
Result<UncertainAnswer> answer_of(const Bike& bike, const Swap& swap) {
    const SwapSite site{bike.body, swap};
    return uncertainty_of(site, solve_swap(site), end_of(swap.parts.front()));
}
Result<Prediction> prediction_as_set(const Bike& bike, const Swap& swap) {
    return solved(bike, swap).as_set;
}
Result<CheckResult> check_of(const Bike& bike, const Swap& swap) {
    return solved(bike, swap).check;
}
Result<Answer> correction_of(const Bike& bike, const Swap& swap) {
    return solved(bike, swap).correction;
}

bool near(Length a, double b_mm, double tolerance = 1e-6) {
    return std::fabs(in_mm(a) - b_mm) < tolerance;
}

}  // namespace

TEST_CASE("asked: each point once a phase, and names are never needed") {
    for (const SwapPart part : all_parts)
        for (const Phase phase : all_phases) {
            std::set<Point> seen;
            for (const Asked& a : asked(swap_of({part}), phase)) {
                CHECK(seen.insert(a.point).second);
                if (is_text(a.point)) CHECK(!a.required);
            }
            CHECK(!seen.empty());
        }
}

TEST_CASE("asked: an answer needs no more than six or seven readings before and three of the new part") {
    for (const SwapPart part : all_parts) {
        const Swap swap = swap_of({part});
        CHECK(missing(swap, Phase::before).size() <= 7);
        CHECK(missing(swap, Phase::new_part).size() <= 3);
    }
}

TEST_CASE("asked: heights come first, and the ends have their own lengths") {
    for (const SwapPart part : all_parts) {
        CHECK(asked(swap_of({part}), Phase::before)[0].point == Point::ride_height_topped_out);
        const bool front = end_of(part) == End::front;
        for (const Phase phase : all_phases)
            for (const Asked& a : asked(swap_of({part}), phase)) {
                CHECK(a.end == end_of(part));
                if (front) CHECK(a.point != Point::eye_to_eye);
                if (front) CHECK(a.point != Point::chain_slack);
                if (!front) CHECK(a.point != Point::fork_position);
            }
    }
}

TEST_CASE("asked: several parts at once are walked end by end, and what one needs is needed") {
    const Swap both = swap_of({SwapPart::shock, SwapPart::sprockets, SwapPart::front_tyre});
    for (const Phase phase : all_phases) {
        const auto list = asked(both, phase);
        CHECK(std::is_sorted(list.begin(), list.end(),
                             [](const Asked& a, const Asked& b) { return a.end < b.end; }));
        for (const SwapPart part : both.parts)
            for (const Asked& one : asked(swap_of({part}), phase)) {
                const auto same = std::find_if(list.begin(), list.end(), [&](const Asked& a) {
                    return a.end == one.end && a.point == one.point;
                });
                REQUIRE(same != list.end());
                CHECK(same->required >= one.required);
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
    CHECK(inputs[uncertain->installed_length->contributions[0].input].name == "before.ride_height_rider");
}

TEST_CASE("case_of: what is needed and not read is named with its step") {
    Swapped s = issue_swap();
    s.swap.stored_readings.erase({Phase::new_part, End::rear, Point::spring_rate});
    const auto without = case_of(bike_with(2.05), s.swap);
    REQUIRE(!without);
    CHECK(without.error() == Error{ErrorCode::missing, "spring_rate", "new_part"});
    const auto no_map = case_of(Bike{}, issue_swap().swap);
    REQUIRE(!no_map);
    CHECK(no_map.error().code == ErrorCode::missing);
    CHECK(no_map.error().subject == "leverage");
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
