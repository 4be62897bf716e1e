// Units as they are, by the ledger's points: helper, top-out spring, bump rubber, a fork's unlike legs, the
// reservoir. Expected values by springs in series and virtual work on a leverage ratio; units N and mm.

#include "core/ledger/fitted_unit.h"
#include "core/ledger/map_of.h"
#include "tests/unit/swap_case_kit.h"

using namespace restand;
using namespace restand::test;
using P = Point;

namespace {

NumberAt numbers_of(std::map<Point, double> numbers) {
    return [numbers = std::move(numbers)](Point p) -> std::optional<double> {
        const auto it = numbers.find(p);
        return it == numbers.end() ? std::nullopt : std::optional(it->second);
    };
}

double force_at(const SuspensionUnit& unit, double travel) {
    return in_newton(unit_force(unit, mm(travel)));
}

std::map<Point, double> plain() {
    return {{P::spring_rate, 95}, {P::spring_free_length, 160}, {P::spring_installed_length, 150}};
}

// The shock out and the same one in again, all of it read.
Swapped same_again(std::initializer_list<std::pair<Point, const char*>> insides) {
    Swapped s = read_shock();
    read_alike(s);
    s.read(Phase::new_part, P::eye_to_eye_min, "300").read(Phase::new_part, P::eye_to_eye_max, "320");
    for (const Phase phase : {Phase::before, Phase::new_part})
        for (const auto& [point, text] : insides) s.read(phase, point, text);
    return s;
}

}  // namespace

TEST_CASE("helper: in line with the spring until its coils touch, and its length is in the preload") {
    auto numbers = plain();
    numbers[P::helper_rate] = 20;
    numbers[P::helper_free_length] = 30;
    CHECK_FALSE(
        fitted_unit(End::rear, numbers_of(numbers)).helper.has_value());  // its block length is not known
    numbers[P::helper_block_length] = 10;
    numbers[P::spring_installed_length] = 175;
    const SuspensionUnit unit = fitted_unit(End::rear, numbers_of(numbers));
    CHECK(in_mm(preload_of(numbers_of(numbers)).value()) == doctest::Approx(160 + 30 - 175));
    CHECK(in_mm(preload(unit)) == doctest::Approx(15));
    const double series = 95.0 * 20 / 115;
    CHECK(force_at(unit, 0) == doctest::Approx(series * 15));
    // It closes after 20 mm of its own: 20·20/series = 24.21 mm of both.
    CHECK(force_at(unit, 30) == doctest::Approx(20 * 20 + 95 * (45 - 400 / series)));
}

// Closed form, with the rate k(x) = k₁ + (k₂ − k₁)(x − a)/(b − a) between a and b: the force is its integral,
// the work stored the integral of the force.
TEST_CASE("progressive spring: force and energy are those of a rate that rises evenly") {
    auto numbers = plain();
    numbers[P::end_rate] = 130;
    numbers[P::rate_rises_from] = 20;
    CHECK(fitted_unit(End::rear, numbers_of(numbers)).spring.table.empty());  // where it ends is not known
    numbers[P::rate_rises_to] = 60;
    const SuspensionUnit unit = fitted_unit(End::rear, numbers_of(numbers));
    const double pressed = in_mm(preload(unit));
    REQUIRE(pressed == doctest::Approx(10));
    const auto force = [](double x) {
        const double in = std::clamp(x - 20, 0.0, 40.0), beyond = std::max(0.0, x - 60);
        return 95 * std::min(x, 60.0) + 35 * in * in / 80 + 130 * beyond;
    };
    const double chord = 35.0 * 40 / 2048;  // the most that a chord lies over its curve
    for (double travel = 0; travel <= 60; travel += 0.5) {
        const double off = force_at(unit, travel) - force(pressed + travel);
        CHECK(off >= -1e-9);
        CHECK(off <= chord + 1e-9);
    }
    // ∫F from 10 to 70: 95(60² − 10²)/2 + 35·40³/(6·40) + (95·60 + 35·40/2)·10 + 130·10²/2
    double work = 0;
    for (double travel = 0.005; travel < 60; travel += 0.01) work += force_at(unit, travel) * 0.01;
    const double exact = 95 * 3500 / 2.0 + 35 * 1600 / 6.0 + (95 * 60 + 35 * 20) * 10 + 130 * 50;
    CHECK(work == doctest::Approx(exact).epsilon(1e-4));
    // A softer end, or a helper beside it: one rate, as stamped.
    numbers[P::end_rate] = 80;
    CHECK(fitted_unit(End::rear, numbers_of(numbers)).spring.table.empty());
}

TEST_CASE("progressive spring: a stock one out, a linear one in, and the rider's height is held") {
    const Bike bike = bike_with(read_ratio);
    Swapped s = same_again({});
    for (const auto& [point, text] :
         {std::pair{P::end_rate, "130"}, {P::rate_rises_from, "12"}, {P::rate_rises_to, "40"}})
        s.read(Phase::before, point, text);
    const auto made = case_of(bike, s.swap);
    REQUIRE(made.has_value());
    CHECK_FALSE(made->swap_case.before.unit.spring.table.empty());
    CHECK(made->swap_case.new_unit.spring.table.empty());
    const EndSolution end = solved(bike, s.swap);
    REQUIRE_MESSAGE(end.answer.has_value(), end.answer.error().subject << ": " << end.answer.error().detail);
    const auto rider = end.answer->setting;
    // By force: both units carry the rider's load at the same length.
    const SuspensionUnit &old = made->swap_case.before.unit, now = made->swap_case.new_unit;
    const double travel = end.answer->before.at(State::rider)->travel.value;
    SuspensionUnit set = now;
    set.length = rider.length;
    set.installed_length = rider.installed_length;
    CHECK(force_at(set, travel) == doctest::Approx(force_at(old, travel)).epsilon(1e-9));
    CHECK(in_mm(rider.installed_length) < 150 - 0.5);  // the old one had stiffened by then
}

TEST_CASE("helper: a preload read itself is of both springs together") {
    const auto unit = fitted_unit(End::rear, numbers_of({{P::spring_rate, 95},
                                                         {P::spring_installed_length, 175},
                                                         {P::spring_preload, 15},
                                                         {P::helper_rate, 20},
                                                         {P::helper_free_length, 30},
                                                         {P::helper_block_length, 10}}));
    CHECK(in_mm(preload(unit)) == doctest::Approx(15));
    CHECK(in_mm(unit.spring.free_length) == doctest::Approx(160));
}

TEST_CASE("bump rubber: nothing before it begins, its rate beyond") {
    auto numbers = plain();
    numbers[P::bump_travel] = 45;
    numbers[P::bump_rate] = 60;
    const SuspensionUnit unit = fitted_unit(End::rear, numbers_of(numbers));
    CHECK(force_at(unit, 45) == doctest::Approx(95 * 55));
    CHECK(force_at(unit, 50) == doctest::Approx(95 * 60 + 60 * 5));
}

TEST_CASE("unlike legs: each spring by its own rate, both with the same preload") {
    const std::map<Point, double> fork = {
        {P::spring_rate, 9.5}, {P::spring_free_length, 255}, {P::spring_installed_length, 240}};
    CHECK_FALSE(fitted_unit(End::front, numbers_of(fork)).other_leg.has_value());
    auto numbers = fork;
    numbers[P::other_leg_rate] = 10.5;
    CHECK(force_at(fitted_unit(End::front, numbers_of(numbers)), 20) == doctest::Approx((9.5 + 10.5) * 35));
    CHECK_FALSE(fitted_unit(End::rear, numbers_of(numbers)).other_leg.has_value());
    // Known by its preload alone, the other leg has that, too.
    const auto by_preload = fitted_unit(
        End::front, numbers_of({{P::spring_rate, 9.5}, {P::spring_preload, 10}, {P::other_leg_rate, 9.0}}));
    CHECK(force_at(by_preload, 20) == doctest::Approx((9.5 + 9.0) * 30));
}

TEST_CASE("unlike legs: a pair of 9.5 and 10.5 N/mm swapped for two of 10 stands as before, left as it is") {
    Swapped s = fork_swap(SwapPart::fork_springs);
    s.read(Phase::before, P::other_leg_rate, "10.5");
    s.swap.stored_readings[{Phase::new_part, End::front, P::spring_free_length}] = {
        stored(P::spring_free_length, "255")};
    s.read(Phase::new_part, P::spring_installed_length, "240");
    Bike bike = bike_with(read_ratio);
    bike.body.front.leverage = 0.9;
    const EndSolution end = solved(bike, s.swap);
    REQUIRE(end.answer.has_value());
    CHECK(near(end.answer->setting.installed_length, 240));
}

TEST_CASE("reservoir: the gas stiffens with travel as its volume goes, once known of both shocks") {
    const Bike bike = bike_with(read_ratio);
    Swapped s = same_again({{P::rod_diameter, "16"}, {P::gas_volume, "60"}});
    const auto input = case_of(bike, s.swap);
    REQUIRE(input.has_value());
    const SuspensionUnit& unit = input->swap_case.new_unit;
    // Boyle: p·(V/(V − A·x)) − p_atm on the rod; V in mm³.
    const double area = pi * 64, volume = 60e3, p = 250 / area + 0.101325;
    CHECK(force_at(unit, 40) ==
          doctest::Approx(95 * 50 + area * (p * volume / (volume - area * 40) - 0.101325)).epsilon(1e-9));
    s.swap.stored_readings.erase({Phase::before, End::rear, P::gas_volume});
    CHECK_FALSE(case_of(bike, s.swap)->swap_case.new_unit.gas.chamber.has_value());
}

TEST_CASE("top-out spring: the case has it with the weight that hangs at the axle, read or assumed") {
    const Bike bike = bike_with(read_ratio);
    Swapped s = same_again({{P::top_out_rate, "40"}, {P::top_out_reach, "8"}});
    const auto assumed = case_of(bike, s.swap);
    REQUIRE(assumed.has_value());
    CHECK(assumed->assumed({Phase::before, P::unsprung_mass}));
    CHECK(in_newton(assumed->swap_case.hanging) == doctest::Approx(20 * 9.80665));
    REQUIRE(assumed->swap_case.new_unit.top_out.has_value());
    CHECK(in_mm(assumed->swap_case.new_unit.top_out->reach) == doctest::Approx(8));
    s.read(Phase::before, P::unsprung_mass, "23");
    CHECK(in_newton(case_of(bike, s.swap)->swap_case.hanging) == doctest::Approx(23 * 9.80665));
    const EndSolution end = solved(bike, s.swap);
    REQUIRE(end.answer.has_value());
    CHECK(near(end.answer->setting.length, 310));
    CHECK(near(end.answer->setting.installed_length, 150));
}

TEST_CASE("units alike with all their insides: the answer is 'leave it'") {
    const Bike bike = bike_with(read_ratio);
    Swapped s = same_again({{P::helper_rate, "20"},
                            {P::helper_free_length, "30"},
                            {P::helper_block_length, "10"},
                            {P::bump_travel, "5"},
                            {P::bump_rate, "60"},
                            {P::rod_diameter, "14"},
                            {P::gas_volume, "80"}});
    const EndSolution end = solved(bike, s.swap);
    REQUIRE(end.answer.has_value());
    CHECK(near(end.answer->setting.length, 310));
    CHECK(near(end.answer->setting.installed_length, 150));
    CHECK(end.answer->held);
}

TEST_CASE("a spring moved to another body: its rate cancels, and the answer is as good as its preload") {
    const Bike bike = bike_with(read_ratio);
    Swapped s = same_again({});
    // The rate read once, as stamped: ± 4 % on one spring, the same on the other side.
    const auto stamped = [](const char* text) {
        StoredReading r = stored(P::spring_rate, text);
        r.reading.repeats.resize(1);
        r.reading.instrument = usual_instrument(P::spring_rate, 95.0);
        return r;
    };
    for (const Phase phase : {Phase::before, Phase::new_part})
        s.swap.stored_readings[{phase, End::rear, P::spring_rate}] = {stamped("95")};
    const auto two = answer_of(bike, s.swap);
    s.swap.stored_readings.erase({Phase::new_part, End::rear, P::spring_rate});
    s.read(Phase::new_part, P::spring_moved, "1");
    const auto one = answer_of(bike, s.swap);
    REQUIRE((two && one));
    CHECK(must_hold_change(*one)->expanded < 1e-6);
    CHECK(must_hold_change(*two)->expanded > 1.0);
}

TEST_CASE("front heights: along the fork a millimetre is one of travel, upright it is the rake's cosine") {
    BikeBody bike;
    CHECK_FALSE(front_ratio(bike).has_value());
    bike.geometry.rake = degrees(25);
    CHECK(front_ratio(bike).value() == doctest::Approx(std::cos(25 * pi / 180)));
    bike.how_read.front_heights = FrontHeights::square;
    CHECK(front_ratio(bike).value() == doctest::Approx(std::cos(25 * pi / 180)));
    bike.how_read.front_heights = FrontHeights::along_fork;
    CHECK(front_ratio(bike).value() == 1.0);
    bike.front.leverage = 0.93;
    CHECK(front_ratio(bike).value() == 0.93);
    // Twenty millimetres of fork travel, read either way.
    bike.front.leverage.reset();
    const auto map = map_of(bike, End::front);
    REQUIRE(map.has_value());
    CHECK(in_mm(map->at(mm(720))->height - map->at(mm(700))->height) == doctest::Approx(20));
}

namespace {
// The shock out, another one in that takes over the old spring.
Swapped spring_moves() {
    Swapped s = same_again({});
    for (const P p : {P::spring_rate, P::spring_free_length, P::spring_installed_length})
        s.swap.stored_readings.erase({Phase::new_part, End::rear, p});
    s.read(Phase::new_part, P::spring_moved, "1");
    return s;
}
}  // namespace

TEST_CASE(
    "a spring that moves: values of a spring that came with the new shock do not count, nor are they kept") {
    const Bike bike = bike_with(read_ratio);
    Swapped s = spring_moves();
    s.read(Phase::new_part, P::spring_rate, "110").read(Phase::new_part, P::spring_free_length, "155");
    const EndSolution end = solved(bike, s.swap);
    REQUIRE(end.answer.has_value());
    CHECK(near(end.answer->setting.installed_length, 150));
    CHECK(in_newton_per_mm(end.input->swap_case.new_unit.spring.rate) == doctest::Approx(95));
    s.read(Phase::set, P::spring_installed_length, "150");
    const BaselineBody kept = baseline_of(s.swap, SetUp{}, "");
    for (const BaselineValue& v : kept.values) {
        CHECK(v.stored.reading.point != P::spring_moved);  // it says something of this swap only
        if (v.stored.reading.point == P::spring_rate) CHECK(measured(v.stored.reading).value == 95);
        if (v.stored.reading.point == P::spring_free_length) CHECK(measured(v.stored.reading).value == 160);
    }
}

TEST_CASE("a spring that moves: known by its installed length and turns it is answered by its real length") {
    const Bike bike = bike_with(read_ratio);
    Swapped s = spring_moves();
    s.swap.stored_readings.erase({Phase::before, End::rear, P::spring_free_length});
    s.read(Phase::before, P::preload_turns, "8").read(Phase::before, P::collar_mm_per_turn, "1.5");
    const EndSolution end = solved(bike, s.swap);
    REQUIRE(end.answer.has_value());
    CHECK(near(end.answer->setting.preload, 12));
    CHECK(near(end.answer->setting.installed_length, 150));
}

TEST_CASE("heights along the fork: a weight counts by the rake's cosine, a tyre's radius by its inverse") {
    BikeBody bike;
    bike.geometry.rake = degrees(24);
    CHECK(upright_rise(bike, End::front) == doctest::Approx(1.0));
    bike.how_read.front_heights = FrontHeights::along_fork;
    CHECK(upright_rise(bike, End::front) == doctest::Approx(std::cos(24 * pi / 180)));
    CHECK(upright_rise(bike, End::rear) == 1.0);
    // 20 kg more on two springs of 9.5 N/mm: W·cos along the fork, both read along it and upright the same travel.
    for (const bool along : {false, true}) {
        Bike own = bike_with(read_ratio);
        own.body.geometry = bike.geometry;
        own.body.how_read.front_heights = along ? FrontHeights::along_fork : FrontHeights::square;
        const double read = along ? 1.0 : std::cos(24 * pi / 180);
        Swapped s;
        s.swap.parts = {SwapPart::fork_springs};
        for (const auto& [point, text] : {std::pair{P::ride_height_topped_out, "620"},
                                          {P::fork_position, "6"},
                                          {P::spring_rate, "9.5"},
                                          {P::spring_free_length, "255"},
                                          {P::spring_installed_length, "240"},
                                          {P::gas_force, "0"},
                                          {P::wheel_weight, "100"}})
            s.read(Phase::before, point, text);
        s.read(Phase::before, P::ride_height_static, std::to_string(620 - 20 * read));
        s.read(Phase::new_part, P::spring_rate, "9.5").read(Phase::new_part, P::spring_free_length, "255");
        s.read(Phase::set, P::spring_installed_length, "240").read(Phase::set, P::fork_position, "6");
        const double sinks = 20 * 9.80665 * std::cos(24 * pi / 180) / 19 * read;
        s.read(Phase::check, P::wheel_weight, "120", 2000);
        s.read(Phase::check, P::ride_height_topped_out, "620", 2000);
        s.read(Phase::check, P::ride_height_static, std::to_string(620 - 20 * read - sinks), 2000);
        const EndSolution end = solved(own, s.swap);
        REQUIRE(end.check.has_value());
        CHECK(near(end.check->heights.back().before, 620 - 20 * read - sinks, 1e-4));
    }
}
