// An answer from whatever is known: what is read, carried and assumed, and what each does to the answer.
// Expected values are closed forms of a spring on a leverage ratio; units N and mm.

#include "core/ledger/swap_inputs.h"
#include "core/ledger/fitted_unit.h"
#include "tests/unit/swap_case_kit.h"
#include "tests/unit/swap_kit.h"

using namespace restand;
using namespace restand::test;
using P = Point;

namespace {

// Old and new shock alike, read to the last digit, but for the gas force of the new one.
Swapped alike() {
    Swapped s = read_shock();
    read_alike(s);
    s.swap.stored_readings.erase({Phase::new_part, End::rear, P::gas_force});
    for (const auto& [point, text] :
         {std::pair{P::eye_to_eye_min, "300"}, {P::eye_to_eye_max, "320"}, {P::length_mm_per_turn, "1"}})
        s.read(Phase::new_part, point, text);
    return s;
}

void forget(Swapped& s, Phase phase, std::initializer_list<Point> points) {
    for (const Point p : points) s.swap.stored_readings.erase({phase, End::rear, p});
}

std::string most_of(const Swap& swap, const UncertainAnswer& answer) {
    const Uncertain* change = must_hold_change(answer);
    if (!change || change->contributions.empty()) return "";
    const auto input = case_of(bike_with(read_ratio), swap);
    REQUIRE(input.has_value());
    return name_of(input->inputs[change->contributions.front().input].slot);
}

UncertainAnswer answered(const Swap& swap) {
    const auto answer = answer_of(bike_with(read_ratio), swap);
    if (!answer) FAIL(answer.error().subject);
    return *answer;
}

// With which numbers the case is made of an end that has been read like this.
double number_of(const Swap& swap, Slot slot) {
    Swap own = swap;
    const Bike bike = bike_with(read_ratio);
    const SwapSite site{bike.body, own};
    const auto in = swap_inputs(site, End::rear, std::nullopt);
    REQUIRE(in.has_value());
    return in->values.get(slot).value_or(-1);
}

}  // namespace

TEST_CASE("inputs: a gas force read on the old shock only counts for both, and is the first thing to read") {
    const Swapped s = alike();
    const UncertainAnswer u = answered(s.swap);
    CHECK(near(u.answer.detent.length, 310));
    CHECK(near(u.answer.detent.installed_length, 150));
    CHECK(u.answer.detent.collar_turns.value() == doctest::Approx(0).epsilon(1e-9));
    CHECK(most_of(s.swap, u) == "new_part.gas_force");
    // A damper without gas would stand lower by ratio·250/95.
    const double wrong_guess = read_ratio * 250 / 95;
    CHECK(wrong_guess == doctest::Approx(5.395).epsilon(1e-3));
    CHECK(must_hold_change(u)->expanded > wrong_guess);
    // The force itself: 250 ± 225, rectangular, so u = 225/√3 and 1.96 times that at 95 %.
    CHECK(must_hold_change(u)->expanded ==
          doctest::Approx(1.959964 * 225 / std::sqrt(3) * read_ratio / 95).epsilon(1e-6));
}

TEST_CASE(
    "inputs: read on the new shock only, the old one is taken as that; on neither, each has its range") {
    Swapped s = alike();
    forget(s, Phase::before, {P::gas_force});
    s.read(Phase::new_part, P::gas_force, "180");
    CHECK(number_of(s.swap, {Phase::before, P::gas_force}) == 180);
    const double one_side = must_hold_change(answered(s.swap))->expanded;
    forget(s, Phase::new_part, {P::gas_force});
    const double neither = must_hold_change(answered(s.swap))->expanded;
    CHECK(neither == doctest::Approx(std::sqrt(2.0) * one_side).epsilon(1e-6));
    CHECK(number_of(s.swap, {Phase::before, P::gas_force}) == 225);
    CHECK(number_of(s.swap, {Phase::new_part, P::gas_force}) == 225);
}

TEST_CASE(
    "inputs: nobody to sit on it and no heights: same length, preload by the closed form, good to tenths") {
    Swapped s = alike();
    forget(s, Phase::before, {P::ride_height_topped_out, P::ride_height_static, P::ride_height_rider});
    forget(s, Phase::new_part, {P::spring_rate});
    s.read(Phase::new_part, P::spring_rate, "90").read(Phase::new_part, P::gas_force, "250");
    const UncertainAnswer u = answered(s.swap);
    // k1·(p1 + x) = k2·(p2 + x) at the stroke x of the assumed rider sag of 35 mm.
    const double x = 35 / read_ratio, p2 = 95.0 / 90 * (10 + x) - x;
    CHECK(near(u.answer.setting.length, 310, 1e-5));
    CHECK(near(u.answer.setting.preload, p2, 1e-5));
    // dp2/dx = k1/k2 − 1 = 1/18: over sags of 35 ± 10 mm the preload moves by x/18 only.
    CHECK(u.preload->u == doctest::Approx(10 / std::sqrt(3) / read_ratio / 18).epsilon(1e-6));
    CHECK(u.preload->expanded < 0.4);
    CHECK(must_hold_change(u)->expanded < 0.7);
    CHECK(most_of(s.swap, u) == "before.ride_height_rider");
    // Rates that are nearly the same: the sag hardly matters.
    forget(s, Phase::new_part, {P::spring_rate});
    s.read(Phase::new_part, P::spring_rate, "94.5");
    CHECK(answered(s.swap).preload->expanded < 0.04);
}

TEST_CASE(
    "inputs: without the rider the static height is held, and what the rider's does is told with its range") {
    Swapped s = alike();
    forget(s, Phase::before, {P::ride_height_rider});
    forget(s, Phase::new_part, {P::spring_rate});
    s.read(Phase::new_part, P::spring_rate, "90").read(Phase::new_part, P::gas_force, "250");
    const UncertainAnswer u = answered(s.swap);
    CHECK(u.answer.hold == State::static_);
    const double x = 10 / read_ratio, p2 = 95.0 / 90 * (10 + x) - x;
    CHECK(near(u.answer.setting.preload, p2, 1e-5));
    // The rider lowers it by 25 ± 8: his load W·ratio = k1·y, so the softer spring sinks y·(k1/k2 − 1) further.
    const double y = 25 / read_ratio;
    const auto& rider = u.answer.predicted.residual_at(State::rider);
    REQUIRE(rider.has_value());
    CHECK(near(*rider, -read_ratio * y * (95.0 / 90 - 1), 1e-5));
    const auto& range = u.change[static_cast<std::size_t>(State::rider)];
    CHECK(range->u == doctest::Approx(8 / std::sqrt(3) * (95.0 / 90 - 1)).epsilon(1e-5));
}

TEST_CASE("inputs: preload as it is typed, or in turns, is worth as much as two lengths") {
    const Swapped whole = alike();
    const Answer by_lengths = answered(whole.swap).answer;
    Swapped typed = alike();
    forget(typed, Phase::before, {P::spring_free_length, P::spring_installed_length});
    typed.read(Phase::before, P::spring_preload, "10");
    CHECK(near(answered(typed.swap).answer.detent.preload, in_mm(by_lengths.detent.preload)));
    Swapped turns = alike();
    forget(turns, Phase::before, {P::spring_free_length, P::spring_installed_length});
    turns.read(Phase::before, P::preload_turns, "5").read(Phase::before, P::collar_mm_per_turn, "2");
    CHECK(near(answered(turns.swap).answer.detent.preload, in_mm(by_lengths.detent.preload)));
    // Not known at all: 10 ± 8 mm, and that is what the answer says.
    Swapped none = alike();
    none.read(Phase::new_part, P::gas_force, "250");
    forget(none, Phase::before, {P::spring_free_length, P::spring_installed_length});
    const UncertainAnswer u = answered(none.swap);
    CHECK(most_of(none.swap, u) == "before.spring_preload");
    CHECK(u.preload->u == doctest::Approx(8 / std::sqrt(3)).epsilon(1e-6));
}

TEST_CASE("inputs: the new spring's length is not known: its preload is answered, set and predicted") {
    Swapped s = alike();
    forget(s, Phase::new_part, {P::spring_free_length, P::spring_installed_length});
    s.read(Phase::new_part, P::gas_force, "250").read(Phase::new_part, P::spring_preload, "7");
    const auto input = case_of(bike_with(read_ratio), s.swap);
    REQUIRE(input.has_value());
    CHECK_FALSE(input->free_length_known);
    const Answer a = answered(s.swap).answer;
    CHECK(near(a.detent.preload, 10));
    CHECK(a.detent.collar_turns.value() == doctest::Approx(2));  // from 7 to 10 mm, 1.5 mm a turn
    s.read(Phase::set, P::eye_to_eye, "310").read(Phase::set, P::spring_preload, "10");
    const auto set = prediction_as_set(bike_with(read_ratio), s.swap);
    REQUIRE(set.has_value());
    CHECK(near(*set->residual_at(State::rider), 0, 1e-5));
}

TEST_CASE("inputs: from two numbers on there is an answer, before that the next reading is named") {
    Swapped s;
    s.read(Phase::before, P::eye_to_eye, "312.5");
    const auto none = case_of(bike_with(read_ratio), s.swap);
    REQUIRE_FALSE(none.has_value());
    CHECK(none.error().code == ErrorCode::missing);
    CHECK(none.error().subject == "ride_height_topped_out");
    s.read(Phase::before, P::spring_preload, "9").read(Phase::new_part, P::eye_to_eye, "305");
    s.read(Phase::new_part, P::length_mm_per_turn, "1");
    const UncertainAnswer u = answered(s.swap);
    CHECK(near(u.answer.setting.length, 312.5, 1e-5));
    CHECK(near(u.answer.setting.preload, 9, 1e-5));
    CHECK(u.preload->expanded > 2);
}

TEST_CASE("inputs: what was kept stands in; a height read today turns the others into sags") {
    Swapped s = alike();
    s.read(Phase::new_part, P::gas_force, "250");
    const Bike bike = bike_with(read_ratio);
    const auto inputs = [&](const SetUp& stood) {
        const SwapSite site{bike.body, s.swap, stood, stood};
        const auto in = swap_inputs(site, End::rear, std::nullopt);
        REQUIRE(in.has_value());
        return std::pair{in->values, in->list};
    };
    SetUp stood;
    for (const auto& [point, text] : {std::pair{P::ride_height_topped_out, "480"},
                                      {P::ride_height_static, "471"},
                                      {P::ride_height_rider, "447"}})
        stood.values[{End::rear, point}] = stored(point, text);
    forget(s, Phase::before, {P::ride_height_topped_out, P::ride_height_static, P::ride_height_rider});
    // None read today: all as kept.
    const auto [kept, kept_list] = inputs(stood);
    CHECK(kept.get(Phase::before, P::ride_height_rider) == 447);
    // Topped out read today from another mark: 20 mm higher, the sags stay.
    s.read(Phase::before, P::ride_height_topped_out, "500");
    const auto [mixed, mixed_list] = inputs(stood);
    CHECK(mixed.get(Phase::before, P::ride_height_rider) == 500 - 33);
    CHECK(mixed.get(Phase::before, P::ride_height_static) == 500 - 9);
    for (const SwapInput& i : mixed_list)
        if (i.slot.point == P::ride_height_rider) {
            CHECK(i.origin == Origin::carried);
            CHECK(i.beside == Slot{Phase::before, P::ride_height_topped_out});
        }
    // A height that something moved since is not carried.
    stood.stale.insert({End::rear, P::ride_height_rider});
    const auto [stale, stale_list] = inputs(stood);
    for (const SwapInput& i : stale_list)
        if (i.slot.point == P::ride_height_rider) CHECK(i.origin == Origin::assumed);
}

TEST_CASE("inputs: a height that was assumed is nothing to judge by, one that was carried is") {
    Swapped s = alike();
    s.read(Phase::new_part, P::gas_force, "250");
    forget(s, Phase::before, {P::ride_height_rider});
    s.read(Phase::set, P::eye_to_eye, "310").read(Phase::set, P::spring_installed_length, "150");
    s.read(Phase::check, P::ride_height_static, "490", 2000)
        .read(Phase::check, P::ride_height_rider, "466", 2000);
    const auto alone = check_of(bike_with(read_ratio), s.swap);
    REQUIRE(alone.has_value());
    REQUIRE(alone->heights.size() == 1);
    CHECK(alone->heights[0].state == State::static_);
    CHECK(alone->verdict == Verdict::restored);
    const Bike bike = bike_with(read_ratio);
    SetUp stood;
    stood.values[{End::rear, P::ride_height_rider}] = stored(P::ride_height_rider, "446");
    stood.values[{End::rear, P::ride_height_static}] = stored(P::ride_height_static, "470");
    const SwapSite site{bike.body, s.swap, stood, stood};
    const auto both = solve_swap(site).end(End::rear)->check;
    REQUIRE(both.has_value());
    REQUIRE(both->heights.size() == 2);
    CHECK(near(both->heights[1].before, 466));  // 490 today less the sag as kept
}

TEST_CASE(
    "inputs: a new shock that nobody measured is as long as the old one within a range, and gives no turns") {
    Swapped s = alike();
    s.read(Phase::new_part, P::gas_force, "250");
    forget(s, Phase::new_part, {P::eye_to_eye, P::eye_to_eye_min, P::eye_to_eye_max, P::length_mm_per_turn});
    const auto input = case_of(bike_with(read_ratio), s.swap);
    REQUIRE(input.has_value());
    CHECK(input->assumed({Phase::new_part, P::eye_to_eye}));
    const UncertainAnswer u = answered(s.swap);
    CHECK(u.length->u == doctest::Approx(10 / std::sqrt(3)).epsilon(1e-6));
    CHECK(most_of(s.swap, u) == "new_part.eye_to_eye");
    s.read(Phase::new_part, P::length_mm_per_turn, "1");
    CHECK_FALSE(answered(s.swap).answer.detent.length_turns.has_value());
    forget(s, Phase::before, {P::eye_to_eye});
    CHECK(case_of(bike_with(read_ratio), s.swap).error() ==
          Error{ErrorCode::missing, "eye_to_eye", "before"});
}

TEST_CASE("inputs: an installed length without the free one says nothing of the preload") {
    Swapped s = alike();
    s.read(Phase::new_part, P::gas_force, "250");
    forget(s, Phase::new_part, {P::spring_free_length});
    const auto input = case_of(bike_with(read_ratio), s.swap);
    REQUIRE(input.has_value());
    CHECK_FALSE(input->free_length_known);
    const Answer a = answered(s.swap).answer;
    CHECK(near(a.setting.preload, 10, 1e-5));
    CHECK_FALSE(a.detent.collar_turns.has_value());
    // Set by a length that nobody can place: no preload follows from it.
    s.read(Phase::set, P::eye_to_eye, "310").read(Phase::set, P::spring_installed_length, "150");
    CHECK_FALSE(prediction_as_set(bike_with(read_ratio), s.swap).has_value());
}

TEST_CASE("inputs: a preload read today counts before lengths of another day") {
    Swapped s = alike();
    forget(s, Phase::before, {P::spring_free_length, P::spring_installed_length});
    s.read(Phase::new_part, P::gas_force, "250").read(Phase::before, P::spring_preload, "12");
    SetUp stood;
    stood.values[{End::rear, P::spring_free_length}] = stored(P::spring_free_length, "180");
    stood.values[{End::rear, P::spring_installed_length}] = stored(P::spring_installed_length, "165");
    const Bike bike = bike_with(read_ratio);
    const SwapSite site{bike.body, s.swap, stood, stood};
    const auto input = restand::case_of(site, End::rear);
    REQUIRE(input.has_value());
    CHECK(near(preload(input->swap_case.before.unit), 12));
}

TEST_CASE("inputs: a tyre whose size and roll are not known on both sides is as large within a range") {
    Swapped s = alike();
    s.swap.parts = {SwapPart::rear_tyre};
    s.read(Phase::new_part, P::rolling_circumference, "1990");
    const auto input = case_of(bike_with(read_ratio), s.swap);
    REQUIRE(input.has_value());
    CHECK(input->assumed({Phase::before, P::rolling_circumference}));
    CHECK(near(input->swap_case.raise, 0));
}

TEST_CASE("check: with the wheel off the ground alone nothing is called restored") {
    Swapped s = alike();
    s.read(Phase::new_part, P::gas_force, "250");
    forget(s, Phase::before, {P::ride_height_rider});
    s.read(Phase::set, P::eye_to_eye, "310").read(Phase::set, P::spring_installed_length, "150");
    s.read(Phase::check, P::ride_height_topped_out, "500", 2000);
    const Bike bike = bike_with(read_ratio);
    CHECK(check_of(bike, s.swap)->verdict == Verdict::cannot_tell);
    // Static is then asked for, the rider's height is not.
    const auto left = unread(SwapSite{bike.body, s.swap}, Phase::check);
    REQUIRE(left.size() == 1);
    CHECK(left[0].point == P::ride_height_static);
}

TEST_CASE(
    "inputs: a new fork of unknown length leaves its position, and every height at one, as wide as that") {
    RandomBikes random(5);
    Known k = known(random.bike(), {SwapPart::fork});
    k.read(Phase::new_part, End::front, Point::spring_moved, 1);
    const auto widths = [&] {
        const SwapSolution solution = solve_swap(k.site());
        const auto answer = uncertainty_of(k.site(), solution, End::front);
        REQUIRE(answer);
        REQUIRE(answer->length);
        const auto& top = answer->change[static_cast<std::size_t>(State::topped_out)];
        REQUIRE(top);
        return std::pair{answer->length->expanded, top->expanded};
    };
    // ± 10 mm as a rectangle: 10/sqrt(3) standard, times 1.96 (GUM 4.3.7). Heights go 0.9 mm a millimetre.
    const auto [position, height] = widths();
    CHECK(position > 11.0);
    CHECK(height > 11.0 * 0.8);
    k.read(Phase::before, End::front, Point::fork_length, 745);
    k.read(Phase::new_part, End::front, Point::fork_length, 750);
    const auto known_tubes = widths();
    CHECK(known_tubes.first < 3.0);
    CHECK(known_tubes.second < 3.0);
}
