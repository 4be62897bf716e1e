// Another tank, bodywork or ballast: preload makes up for it. And what else the state of the bike does to its
// heights: scales under the wheels, a warm damper. Expected values are those of a linear spring on a leverage
// ratio: a wheel load W presses the unit with W·ratio; units N, mm, kg, °C.

#include <cmath>

#include "core/ledger/map_of.h"
#include "core/machine/bike.h"
#include "tests/unit/swap_case_kit.h"

using namespace restand;
using namespace restand::test;
using P = Point;

namespace {

constexpr double mm_per_turn = 1.5;

Bike bike_of_two_ends() {
    Bike bike = bike_with(read_ratio);
    bike.body.front.leverage = 0.9;
    bike.body.geometry.wheelbase = mm(1400);
    return bike;
}

// A tank of 4 kg makes room for one of 16 kg, both 840 mm ahead of the rear axle: 0.4 of it at the rear.
constexpr double more = 12, rear_share = 0.4;
Swapped heavier_tank() {
    Swapped s = read_shock();
    s.swap.parts = {SwapPart::load};
    s.read(Phase::before, P::collar_mm_per_turn, "1.5").read(Phase::before, P::fitted_mass, "4");
    s.read(Phase::before, P::fitted_mass_ahead, "840").read(Phase::new_part, P::fitted_mass, "16");
    s.read(Phase::new_part, P::fitted_mass_ahead, "840");
    for (const auto& [point, text] : {std::pair{P::ride_height_topped_out, "620"},
                                      {P::ride_height_static, "600"},
                                      {P::ride_height_rider, "580"},
                                      {P::fork_position, "6"},
                                      {P::spring_rate, "9.5"},
                                      {P::spring_free_length, "255"},
                                      {P::spring_installed_length, "240"},
                                      {P::collar_mm_per_turn, "1"}})
        s.swap.stored_readings[{Phase::before, End::front, point}] = {stored(point, text)};
    return s;
}

EndSolution solution_of(const SwapSolution& solution, End end) {
    REQUIRE(solution.end(end));
    const EndSolution& e = *solution.end(end);
    if (!e.answer) FAIL(e.answer.error().subject << " " << e.answer.error().detail);
    return e;
}

}  // namespace

TEST_CASE("tank: more preload at both ends takes the weight, every loaded height stays, no length moves") {
    const Swapped s = heavier_tank();
    const Bike bike = bike_of_two_ends();
    const SwapSolution solution = solve_swap({bike.body, s.swap});
    const EndSolution rear = solution_of(solution, End::rear), front = solution_of(solution, End::front);
    const double rear_in = more * gravity * rear_share * read_ratio / read_rate;  // 1.016 mm
    const double front_in = more * gravity * (1 - rear_share) * 0.9 / (2 * 9.5);  // two legs
    CHECK(near(rear.answer->setting.installed_length, 150 - rear_in));
    CHECK(rear.answer->setting.collar_turns.value() == doctest::Approx(rear_in / mm_per_turn));
    CHECK(near(front.answer->setting.installed_length, 240 - front_in));
    CHECK(near(rear.answer->setting.length, 310));
    for (const State state : all_states) {
        CHECK(std::fabs(in_mm(rear.answer->predicted.residual_at(state).value())) < 1e-6);
        CHECK(std::fabs(in_mm(front.answer->predicted.residual_at(state).value())) < 1e-6);
    }
}

TEST_CASE("tank: half as much of it at the rear moves the rear collar half as far; unread, it is a range") {
    Swapped s = heavier_tank();
    const Bike bike = bike_of_two_ends();
    for (const Phase phase : {Phase::before, Phase::new_part})
        s.swap.stored_readings[{phase, End::rear, P::fitted_mass_ahead}] = {
            stored(P::fitted_mass_ahead, "1120")};
    CHECK(near(solution_of(solve_swap({bike.body, s.swap}), End::rear).answer->setting.installed_length,
               150 - more * gravity * 0.2 * read_ratio / read_rate));
    for (const Phase phase : {Phase::before, Phase::new_part})
        s.swap.stored_readings.erase({phase, End::rear, P::fitted_mass_ahead});
    const SwapSite site{bike.body, s.swap};
    const SwapSolution solution = solve_swap(site);
    CHECK(solution_of(solution, End::rear).input->assumed({Phase::before, P::fitted_mass_ahead}));
    CHECK(near(solution_of(solution, End::rear).answer->setting.installed_length,
               150 - more * gravity * (1 - 750.0 / 1400) * read_ratio / read_rate));
    // 750 ± 300 mm for the old one, ± 150 mm more for the new one (rectangular).
    const auto u = uncertainty_of(site, solution, End::rear);
    REQUIRE(u.has_value());
    const double old_one = more * gravity * 300 / 1400, fresh = 16 * gravity * 150 / 1400;
    CHECK(u->installed_length->expanded ==
          doctest::Approx(1.959964 * std::hypot(old_one, fresh) / std::sqrt(3) * read_ratio / read_rate)
              .epsilon(1e-3));
}

TEST_CASE("tank: without the weight of what goes on there is no answer, and that is what is named") {
    Swapped s = heavier_tank();
    const Bike bike = bike_of_two_ends();
    s.swap.stored_readings.erase({Phase::new_part, End::rear, P::fitted_mass});
    const EndSolution rear = *solve_swap({bike.body, s.swap}).end(End::rear);
    REQUIRE_FALSE(rear.answer.has_value());
    CHECK(rear.answer.error() == Error{ErrorCode::missing, "fitted_mass", "new_part"});
}

TEST_CASE("tank: set and checked it is restored; left as it was, the missing preload is ordered") {
    const Bike bike = bike_of_two_ends();
    const double rear_in = more * gravity * rear_share * read_ratio / read_rate;
    Swapped s = heavier_tank();
    s.read(Phase::set, P::spring_installed_length, std::to_string(150 - rear_in));
    checked(s, 490, 466);
    const SwapSolution good = solve_swap({bike.body, s.swap});
    REQUIRE(good.end(End::rear)->check.has_value());
    CHECK(good.end(End::rear)->check->verdict == Verdict::restored);
    Swapped left = heavier_tank();
    left.read(Phase::set, P::spring_installed_length, "150");
    checked(left, 490 - rear_in * read_ratio, 466 - rear_in * read_ratio);
    const SwapSolution bad = solve_swap({bike.body, left.swap});
    REQUIRE(bad.end(End::rear)->correction.has_value());
    CHECK(bad.end(End::rear)->check->verdict == Verdict::not_restored);
    CHECK(near(bad.end(End::rear)->correction->setting.installed_length, 150 - rear_in, 1e-4));
}

TEST_CASE("scales: what the wheel weighs less at the check is no reason to turn anything") {
    const double rise = 9 * gravity * read_ratio * read_ratio / read_rate;
    const Bike bike = bike_with(read_ratio);
    Swapped s = refitted();
    checked(s, 490 + rise, 466 + rise);
    CHECK(check_of(bike, s.swap)->verdict == Verdict::not_restored);
    s.read(Phase::before, P::wheel_weight, "98").read(Phase::check, P::wheel_weight, "89", 2000);
    const EndSolution end = solved(bike, s.swap);
    CHECK(in_kilogram(end.load.scales.value()) == doctest::Approx(-9));
    CHECK(near(end.check->heights[2].before, 466 + rise, 1e-4));
    CHECK(end.check->verdict == Verdict::restored);
    // Fuel read besides is in the scales' number already.
    s.read(Phase::before, P::fuel, "15").read(Phase::check, P::fuel, "3", 2000);
    CHECK(near(solved(bike, s.swap).check->heights[2].before, 466 + rise, 1e-4));
}

TEST_CASE("scales: with another tank they count beyond what the tank itself weighs more") {
    const Bike bike = bike_of_two_ends();
    Swapped s = heavier_tank();
    s.read(Phase::set, P::spring_installed_length,
           std::to_string(150 - more * gravity * rear_share * read_ratio / read_rate));
    checked(s, 490, 466);
    s.read(Phase::before, P::wheel_weight, "98");
    s.read(Phase::check, P::wheel_weight, std::to_string(98 + more * rear_share), 2000);
    const SwapSolution solution = solve_swap({bike.body, s.swap});
    CHECK(std::fabs(solution.end(End::rear)->load.by[1].value) < 1e-3);
    CHECK(solution.end(End::rear)->check->verdict == Verdict::restored);
}

TEST_CASE(
    "damper: 50 K warmer at the check the gas lifts the bike, by as much as its absolute pressure rose") {
    // Gay-Lussac at constant volume: F2 = (F + p·A)·T2/T1 − p·A; p 0.101325 MPa, rod 14 mm.
    const double area = pi * 14 * 14 / 4, t1 = 293.15, t2 = 343.15;
    const double force = (250 + 0.101325 * area) * t2 / t1 - 0.101325 * area,
                 rise = read_ratio * (force - 250) / read_rate;
    CHECK(rise == doctest::Approx(0.977).epsilon(1e-3));
    const Bike bike = bike_with(read_ratio);
    Swapped s = refitted();
    checked(s, 490 + rise, 466 + rise);
    s.read(Phase::before, P::damper_temperature, "20").read(Phase::check, P::damper_temperature, "70", 2000);
    const EndSolution end = solved(bike, s.swap);
    REQUIRE(end.check.has_value());
    CHECK(near(end.check->heights[1].before, 490 + rise, 1e-6));
    CHECK(near(end.check->heights[2].before, 466 + rise, 1e-6));
    CHECK(end.check->verdict == Verdict::restored);
}

TEST_CASE("damper: a fork's air acts on both bores; without them its temperature moves nothing") {
    Swapped s = fork_swap(SwapPart::fork_springs);
    s.swap.stored_readings[{Phase::new_part, End::front, P::spring_rate}] = {stored(P::spring_rate, "9.5")};
    s.swap.stored_readings[{Phase::new_part, End::front, P::spring_free_length}] = {
        stored(P::spring_free_length, "255")};
    s.read(Phase::before, P::gas_force, "0").read(Phase::set, P::spring_installed_length, "240");
    s.read(Phase::set, P::fork_position, "6").read(Phase::check, P::ride_height_topped_out, "620", 2000);
    s.read(Phase::check, P::ride_height_rider, "580", 2000);
    s.read(Phase::before, P::damper_temperature, "20").read(Phase::check, P::damper_temperature, "70", 2000);
    Bike bike = bike_with(read_ratio);
    bike.body.front.leverage = 1.0;
    CHECK(near(check_of(bike, s.swap)->heights[1].before, 580));
    s.read(Phase::before, P::fork_bore, "43");
    // p·A·ΔT/T: 0.101325 MPa on two bores of 43 mm, 50 K of 293.15 K, on 2 × 9.5 N/mm.
    const double rise = 0.101325 * 2 * pi * 43 * 43 / 4 * 50 / 293.15 / 19;
    CHECK(rise == doctest::Approx(2.642).epsilon(1e-3));
    CHECK(near(check_of(bike, s.swap)->heights[1].before, 580 + rise, 1e-6));
}

TEST_CASE(
    "tank: a baseline that knows its weight and not its place computes on; another place is another tank") {
    const Bike bike = bike_of_two_ends();
    SetUp was;
    for (const auto& [spot, stored_readings] : heavier_tank().swap.stored_readings)
        if (spot.phase == Phase::before && spot.point != P::fitted_mass_ahead)
            was.values[{spot.end, spot.point}] = stored_readings.front();
    was.read_with = was.values;
    SetUp is = was;
    is.values[{End::rear, P::spring_installed_length}] = stored(P::spring_installed_length, "149");
    const auto collar = stance_change(bike.body, End::rear, was, is);
    REQUIRE(collar.has_value());
    CHECK(in_mm(collar->rider.value()) == doctest::Approx(read_ratio));
    is = was;
    is.values[{End::rear, P::fitted_mass}] = stored(P::fitted_mass, "16");
    for (const End end : {End::rear, End::front}) {
        const auto tank = stance_change(bike.body, end, was, is);
        if (!tank) FAIL(key(end) << ": " << tank.error().subject << " " << tank.error().detail);
        CHECK(in_mm(tank->rider.value()) < -1);
    }
}

TEST_CASE("front heights: a typed ratio of one is along the fork, as if it was said to be") {
    BikeBody bike;
    bike.geometry.rake = degrees(24);
    CHECK(upright_rise(bike, End::front) == 1.0);
    bike.how_read.front_heights = FrontHeights::along_fork;
    const double along = upright_rise(bike, End::front);
    CHECK(along == doctest::Approx(std::cos(24 * pi / 180)));
    bike.front.leverage = 1.0;
    using Said = std::optional<FrontHeights>;
    for (const Said said : {Said(), Said(FrontHeights::along_fork), Said(FrontHeights::square)}) {
        bike.how_read.front_heights = said;
        CHECK(upright_rise(bike, End::front) == along);
        CHECK(upright_rise(bike, End::rear) == 1.0);
    }
    // Any other ratio is that of upright heights.
    bike.front.leverage = 0.914;
    bike.how_read.front_heights = FrontHeights::along_fork;
    CHECK(upright_rise(bike, End::front) == 1.0);
}
