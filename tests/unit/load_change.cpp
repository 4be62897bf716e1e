// Heights read with another load than before: less fuel, another rider. Expected values are those of a linear
// spring on a leverage ratio: a wheel load ΔW moves the axle by ΔW·ratio²/k; units N, mm, kg.

#include "tests/unit/swap_case_kit.h"

using namespace restand;
using namespace restand::test;
using P = Point;

namespace {

StoredReading kilograms(P point, const char* text, std::int64_t at_ms) {
    StoredReading s;
    s.reading = {point, {{text, Unit::kg}}, {"exact", 0.0, 0.0}, ""};
    s.reading.repeats.push_back(s.reading.repeats.front());
    s.reading.spread = Spread{};
    s.at = {at_ms, 0};
    return s;
}

void weighed(Swapped& s, Phase phase, P point, const char* text) {
    s.swap.stored_readings[{phase, End::rear, point}] = {
        kilograms(point, text, phase == Phase::check ? 2000 : 1000)};
}

}  // namespace

TEST_CASE("load: 12 kg of fuel out is no reason to turn anything, once it is said") {
    const double rise = 12 * gravity * 0.45 * read_ratio * read_ratio / read_rate;  // 2.34 mm
    Swapped unsaid = refitted();
    checked(unsaid, 490 + rise, 466 + rise);
    const Bike bike = bike_with(read_ratio);
    CHECK(check_of(bike, unsaid.swap)->verdict == Verdict::not_restored);
    Swapped said = unsaid;
    weighed(said, Phase::before, P::fuel, "15");
    weighed(said, Phase::check, P::fuel, "3");
    const EndSolution end = solved(bike, said.swap);
    CHECK(in_kilogram(*end.load.fuel) == doctest::Approx(-12));
    REQUIRE(end.check.has_value());
    CHECK(end.check->verdict == Verdict::restored);
    CHECK(near(end.check->heights[2].before, 466 + rise, 1e-4));
    // How much of it the rear wheel carries is known to ± 0.1 of 0.45 only.
    CHECK(in_mm(end.check->heights[2].expanded) ==
          doctest::Approx(1.959964 * 12 * gravity * 0.1 / std::sqrt(3) * read_ratio * read_ratio / read_rate)
              .epsilon(1e-4));
}

TEST_CASE("load: with the fuel said, a collar that slipped a turn is still found, and that turn is ordered") {
    const double rise = 12 * gravity * 0.45 * read_ratio * read_ratio / read_rate, fall = 1.5 * read_ratio;
    Swapped s = refitted();
    checked(s, 490 + rise - fall, 466 + rise - fall);
    weighed(s, Phase::before, P::fuel, "15");
    weighed(s, Phase::check, P::fuel, "3");
    const EndSolution end = solved(bike_with(read_ratio), s.swap);
    REQUIRE(end.check.has_value());
    CHECK(end.check->verdict == Verdict::not_restored);
    CHECK(end.check->turns_help());
    REQUIRE(end.correction.has_value());
    CHECK(end.correction->detent.collar_turns.value() == doctest::Approx(1.0));
}

TEST_CASE("load: a heavier rider changes the height with the rider only; what is read once changes nothing") {
    const double fall = 8 * gravity * 0.6 * read_ratio * read_ratio / read_rate;
    Swapped s = refitted();
    checked(s, 490, 466 - fall);
    weighed(s, Phase::before, P::rider_mass, "76");
    const Bike bike = bike_with(read_ratio);
    CHECK(check_of(bike, s.swap)->alone == State::rider);
    CHECK_FALSE(check_of(bike, s.swap)->turns_help());
    weighed(s, Phase::check, P::rider_mass, "84");
    const auto said = check_of(bike, s.swap);
    REQUIRE(said.has_value());
    CHECK_FALSE(said->alone.has_value());
    CHECK(near(said->heights[1].before, 490));
    CHECK(near(said->heights[2].before, 466 - fall, 1e-4));
    CHECK(said->heights[2].verdict == Verdict::restored);
}

TEST_CASE("load: fuel kept with heights of another day is no load of today's heights") {
    Swapped s = refitted();
    checked(s, 490, 466);
    weighed(s, Phase::check, P::fuel, "12");
    SetUp stood;
    stood.values[{End::rear, P::fuel}] = kilograms(P::fuel, "4", 500);
    const Bike bike = bike_with(read_ratio);
    const SwapSite site{bike.body, s.swap, stood, stood};
    CHECK_FALSE(solve_swap(site).end(End::rear)->load.fuel.has_value());
    for (const Point height : ride_heights) {
        s.swap.stored_readings.erase({Phase::before, End::rear, height});
        stood.values[{End::rear, height}] =
            stored(height, height == P::ride_height_rider ? "466" : "490", 500);
    }
    const SwapSite carried{bike.body, s.swap, stood, stood};
    CHECK(in_kilogram(solve_swap(carried).end(End::rear)->load.fuel.value()) == doctest::Approx(8));
}
