// Fuel out between before and after, on the whole bike of demo/bike.json. The heights are those at which that
// bike stands on its wheels by masses and springs (machine/bike.h), another computation than the swap's.

#include <fstream>
#include <sstream>

#include "core/casefile/bike_json.h"
#include "tests/unit/swap_kit.h"

using namespace restand;
using namespace restand::test;
using P = Point;

namespace {

WholeBike demo_bike() {
    std::ifstream file(RESTAND_SOURCE_DIR "/demo/bike.json");
    std::stringstream text;
    text << file.rdbuf();
    const auto read = read_bike_case(text.str());
    REQUIRE(read.has_value());
    return read->before;
}

// 12 kg less at the middle of a tank; the rest keeps its place (moments about the pivot).
WholeBike lighter(WholeBike b) {
    const double fuel = 12, tank_x = 150, tank_z = 420;
    const double all = in_kilogram(b.masses->sprung.mass), left = all - fuel;
    b.masses->sprung.mass = kilogram(left);
    b.masses->sprung.at.x = mm((all * in_mm(b.masses->sprung.at.x) - fuel * tank_x) / left);
    b.masses->sprung.at.z = mm((all * in_mm(b.masses->sprung.at.z) - fuel * tank_z) / left);
    return b;
}

// The shock out and the same one in again, set as before; then read as `after` stands.
EndSolution swapped(const WholeBike& before, const WholeBike& after, bool fuel_said) {
    Known k = known(before, {SwapPart::shock});
    const auto both = [&](P point, double value) {
        k.read(Phase::before, End::rear, point, value);
        k.read(Phase::new_part, End::rear, point, value);
    };
    both(P::eye_to_eye, in_mm(before.shock.length));
    both(P::spring_rate, before.shock.spring.rate.value);
    both(P::spring_free_length, in_mm(before.shock.spring.free_length));
    both(P::spring_installed_length, in_mm(before.shock.installed_length));
    both(P::gas_force, before.shock.gas.topped_out.value);
    both(P::collar_mm_per_turn, 1.5);
    k.read(Phase::set, End::rear, P::eye_to_eye, in_mm(before.shock.length));
    k.read(Phase::set, End::rear, P::spring_installed_length, in_mm(before.shock.installed_length));
    const SetUp is = rear_of(after);
    for (const P height : ride_heights)
        k.read(Phase::check, End::rear, height, *is.number(End::rear, height));
    if (fuel_said) k.read(Phase::before, End::rear, P::fuel, 15).read(Phase::check, End::rear, P::fuel, 3);
    // Exact readings: what is left is the share of the fuel that the rear wheel carries.
    for (auto& [at, all] : k.swap.stored_readings)
        for (StoredReading& one : all)
            one.reading.spread = Spread{}, one.at = {at.phase == Phase::check ? 2000 : 1000, 0};
    return *solve_swap(k.site()).end(End::rear);
}

}  // namespace

TEST_CASE(
    "demo bike: 12 kg of fuel out is restored once it is said, and told from a collar that slipped a turn") {
    const WholeBike full = demo_bike(), empty = lighter(full);
    const EndSolution said = swapped(full, empty, true);
    REQUIRE(said.check.has_value());
    CHECK(said.check->verdict == Verdict::restored);
    CHECK(in_kilogram(*said.load.fuel) == doctest::Approx(-12));
    // Not said, it is a height that is off.
    CHECK(swapped(full, empty, false).check->heights.back().verdict != Verdict::restored);
    // One turn out of 1.5 mm, and the fuel out as well.
    WholeBike slipped = empty;
    slipped.shock.installed_length += mm(1.5);
    const EndSolution off = swapped(full, slipped, true);
    REQUIRE(off.check.has_value());
    CHECK(off.check->verdict == Verdict::not_restored);
    CHECK(off.check->turns_help());
    REQUIRE(off.correction.has_value());
    CHECK(off.correction->detent.collar_turns.value_or(0) == doctest::Approx(1).epsilon(0.3));
}
