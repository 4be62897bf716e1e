// Golden cases R1–R5 through a table map, as a mechanic would give it: pairs of shock length and ride height
// at every 10 mm of wheel travel. Data: golden_restore.json, golden_bike_a.json [computed by an independent
// program; see "source" there]. 0.01 mm is the tolerance the project asks for. The rider height lies 0.16 mm
// from a pair of the table, which flatters it; so the cases are solved a second time with every other pair
// left out.

#include "core/restore/closed_form.h"
#include "core/restore/restore.h"
#include "tests/reference/golden.h"

using namespace restand;
using namespace restand::test;

namespace {

constexpr double datum = 500.0;  // ride height topped out; any number does

HeightMap table(const json& bike, bool sparse = false) {
    std::vector<std::pair<Length, Length>> pairs;
    const json& rows = bike.at("kinematics");
    for (auto row = rows.rbegin(); row != rows.rend(); ++row) {
        // The ends stay; of the rest only 20, 40, … mm.
        const double z = row->at("z_mm").get<double>();
        if (sparse && std::fmod(z, 20.0) == 10.0) continue;
        pairs.emplace_back(mm(row->at("shock_len_mm").get<double>()), mm(datum - z));
    }
    const auto map = HeightMap::pairs(pairs);
    REQUIRE(map.has_value());
    return *map;
}

double height_of(const json& bike, const char* state) {
    return datum - bike.at("equilibrium_rigid_tyres").at(state).at("rear_travel_mm").get<double>();
}

SwapCase swap_of(const json& bike, const json& fresh) {
    SwapCase swap{
        .end = End::rear, .map = table(bike), .before = {}, .new_unit = {}, .length = {}, .installed = {}};
    swap.before = {golden_shock(bike.at("bike")), mm(datum), mm(height_of(bike, "bike_only")),
                   mm(height_of(bike, "with_rider"))};
    SuspensionUnit& unit = swap.new_unit;
    unit.travel = mm(fresh.at("stroke").get<double>());
    unit.spring = {newton_per_mm(fresh.at("k").get<double>()), mm(fresh.at("free").get<double>()),
                   mm(fresh.at("solid").get<double>())};
    unit.gas.topped_out = newton(fresh.at("Fg").get<double>());
    const double low = fresh.at("L0min").get<double>(), high = fresh.at("L0max").get<double>();
    swap.length = {.min = mm(low),
                   .max = mm(high),
                   .now = mm(low + 5.0),
                   .per_turn = mm(fresh.at("length_pitch").get<double>()),
                   .detent = {}};
    swap.installed = {.min = mm(60),
                      .max = mm(400),
                      .now = unit.spring.free_length,
                      .per_turn = mm(fresh.at("collar_pitch").get<double>()),
                      .detent = {}};
    unit.length = swap.length.now;
    unit.installed_length = swap.installed.now;
    return swap;
}

// The golden flags in our words; R4 is the one that must be refused.
std::vector<std::string> limits_of(const json& flags) {
    std::vector<std::string> codes;
    for (const std::string flag : flags)
        codes.push_back(flag == "coil_bind_before_full_stroke" ? "coil_bind_before_full_travel" : flag);
    return codes;
}

}  // namespace

TEST_CASE("golden: R1 to R5, the setting to 0.01 mm through a table map") {
    const json data = golden("golden_restore.json"), bike = golden("golden_bike_a.json");
    CHECK(data.at("cases").size() == 5);
    for (const auto& [name, expected] : data.at("cases").items()) {
        const auto& which = name;
        CAPTURE(which);
        const SwapCase swap = swap_of(bike, expected.at("new"));
        const auto answer = restore(swap);
        REQUIRE(answer.has_value());

        // What would be needed is the golden answer in every case, also where it cannot be made (R2: held to
        // the adjuster's end; R3: loose spring).
        CHECK(std::fabs(in_mm(answer->wanted.length) - number(data["baseline"]["old"], "L0")) < 0.01);
        // R3's own answer needs negative preload; what can be set is the compromise it lists.
        const bool loose = number(expected, "preload_new_mm") < 0.0;
        if (loose)
            CHECK(std::fabs(in_mm(answer->wanted.preload) - number(expected, "preload_new_mm")) < 0.01);
        const json& length_source = loose ? expected["compromise_zero_preload"] : expected;
        const double length = number(length_source, "L0_new_mm");
        const double preload = loose ? 0.0 : number(expected, "preload_new_mm");
        CHECK(std::fabs(in_mm(answer->setting.length) - length) < 0.01);
        CHECK(std::fabs(in_mm(answer->setting.preload) - preload) < 0.01);
        const double free_length = number(expected["new"], "free");
        CHECK(std::fabs(in_mm(answer->setting.installed_length) - (free_length - preload)) < 0.01);
        // The golden data counts collar turns from zero preload; `now` is there in this case.
        CHECK(std::fabs(*answer->setting.collar_turns - preload / 1.5) < 0.01);
        CHECK(std::fabs(*answer->setting.length_turns - (length - in_mm(swap.length.now)) / 1.25) < 0.01);
        if (!loose) {
            CHECK(std::fabs(*answer->setting.collar_turns -
                            number(expected, "collar_turns_from_zero_preload")) < 0.01);
            CHECK(std::fabs(in_mm(*answer->predicted.block_margin) -
                            number(expected, "coil_bind_margin_mm")) < 0.01);
        }
        std::vector<std::string> codes;
        for (const Limit& limit : answer->limits) codes.emplace_back(key(limit.code));
        CHECK(codes == limits_of(expected.at("flags")));
        CHECK(answer->held == (name != "R4_coil_bind"));
    }
}

TEST_CASE("golden: R1 to R5, what is predicted") {
    const json data = golden("golden_restore.json"), bike = golden("golden_bike_a.json");
    for (const auto& [name, expected] : data.at("cases").items()) {
        const auto& which = name;
        CAPTURE(which);
        const SwapCase swap = swap_of(bike, expected.at("new"));
        const auto answer = restore(swap);
        REQUIRE(answer.has_value());
        const Prediction& p = answer->predicted;
        // The rider height comes back, whatever else gives.
        CHECK(std::fabs(in_mm(*p.residual_at(State::rider))) < 1e-6);
        CHECK(std::fabs(in_mm(p.at(State::rider)->length) - number(data["baseline"], "L_star_mm")) < 0.01);
        // Unit force there, 0.1 N: 0.001 mm of the table at 100 N/mm.
        const auto& rider = *p.at(State::rider);
        CHECK(std::fabs(in_newton(rider.load) * rider.leverage - number(expected, "F_star_N")) < 0.1);
        // Wheel rate takes the table's second derivative, which a cubic through points 10 mm apart knows to
        // 0.1 %.
        const bool loose = number(expected, "preload_new_mm") < 0.0;
        CHECK(in_newton_per_mm(*p.wheel_rate) ==
              doctest::Approx(number(expected, "rider_wheel_rate_N_per_mm")).epsilon(0.001));
        // Topped-out residual: the golden figure is in shock length.
        const json& source = loose ? expected["compromise_zero_preload"] : expected;
        CHECK(std::fabs(in_mm(answer->setting.length - swap.before.unit.length) -
                        number(source, "topped_out_residual_mm")) < 0.01);
        // Static: the golden equilibrium moves the whole bike, so its pitch changes the load a little; ours
        // keeps the load (simplification of end.h). Seen: 0.009 mm of shock length at most.
        if (!loose)
            CHECK(std::fabs(in_mm(p.at(State::static_)->length) -
                            number(expected["verified_by_full_equilibrium"]["bike_only"], "shock_len_mm")) <
                  0.02);
    }
}

TEST_CASE("golden: R1 to R5 with a pair every 20 mm only, the rider height between two") {
    const json data = golden("golden_restore.json"), bike = golden("golden_bike_a.json");
    for (const auto& [name, expected] : data.at("cases").items()) {
        const auto& which = name;
        CAPTURE(which);
        SwapCase swap = swap_of(bike, expected.at("new"));
        swap.map = table(bike, true);
        const auto answer = restore(swap);
        REQUIRE(answer.has_value());
        // The length the table reads off is wrong by 0.0002 mm; old and new spring meet at the same wrong
        // length, so the preload is only wrong by that times (k/k' − 1).
        CHECK(std::fabs(in_mm(answer->before.at(State::rider)->length) -
                        number(data["baseline"], "L_star_mm")) < 0.001);
        const double loose = std::min(0.0, number(expected, "preload_new_mm"));
        CHECK(std::fabs(in_mm(answer->setting.length) - number(expected, "L0_new_mm") - loose) < 0.01);
        CHECK(std::fabs(in_mm(answer->setting.preload) - number(expected, "preload_new_mm") + loose) < 0.01);
    }
}

TEST_CASE("golden: the closed form gives the same answers") {
    const json data = golden("golden_restore.json"), bike = golden("golden_bike_a.json");
    for (const auto& [name, expected] : data.at("cases").items()) {
        const auto& which = name;
        CAPTURE(which);
        const auto closed = closed_form(swap_of(bike, expected.at("new")), mm(number(expected, "L0_new_mm")));
        REQUIRE(closed.has_value());
        CHECK(std::fabs(in_mm(closed->preload) - number(expected, "preload_new_mm")) < 0.01);
    }
}

TEST_CASE("golden: the old unit as load cell, at every row of the table") {
    const json bike = golden("golden_bike_a.json");
    const HeightMap map = table(bike);
    const EndModel end{golden_shock(bike.at("bike")), map};
    const json& rows = bike.at("kinematics");
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const json& row = rows[i];
        CAPTURE(number(row, "z_mm"));
        const auto stands = standing_at(end, mm(datum - number(row, "z_mm")));
        REQUIRE(stands.has_value());
        CHECK(in_mm(stands->length) == doctest::Approx(number(row, "shock_len_mm")).epsilon(1e-9));
        // The cubic's slope at a knot is of second order where the pairs are evenly spaced in length, of
        // first order where they are not: here at the two ends and before the short last gap. Seen: 0.04 %
        // and 0.3 %.
        const bool even = i > 0 && i + 2 < rows.size();
        CHECK(stands->leverage == doctest::Approx(number(row, "leverage_ratio")).epsilon(even ? 5e-4 : 4e-3));
        CHECK(in_newton(stands->load) ==
              doctest::Approx(number(row, "wheel_force_chassis_z_N")).epsilon(even ? 5e-4 : 4e-3));
    }
}

TEST_CASE("golden: with 8 mm more preload the bike alone stays topped out, static sag 0") {
    const json bike = golden("golden_bike_a.json");
    const json& expected = bike.at("topped_out_case_preload_plus_8mm_bike_only");
    EndModel end{golden_shock(bike.at("bike")), table(bike)};
    end.unit.installed_length = end.unit.spring.free_length - mm(number(expected, "preload_mm"));
    CHECK(in_newton(unit_force(end.unit, mm(0))) ==
          doctest::Approx(number(expected, "spring_plus_gas_at_topout_N")));
    const double leverage = end.map.at(mm(310))->leverage;
    const auto stands = standing_under(end, newton(number(expected, "required_shock_force_N") / leverage));
    REQUIRE(stands.has_value());
    CHECK(stands->topped_out);
    CHECK(datum - in_mm(stands->height) == doctest::Approx(number(expected, "static_sag_mm")));
    const double stop = in_newton(unit_force(end.unit, mm(0))) - in_newton(stands->load) * leverage;
    CHECK(stop == doctest::Approx(number(expected, "topout_stop_reaction_N")));
}

TEST_CASE("golden: one mm of shock length or preload at the axle") {
    const json bike = golden("golden_bike_a.json"), data = golden("golden_restore.json");
    // The old unit swapped for itself: the answer is what is set.
    SwapCase swap = swap_of(bike, data["cases"]["R1_feasible_stiffer_spring_more_gas"]["new"]);
    swap.new_unit = swap.before.unit;
    swap.length = {.min = mm(300), .max = mm(316), .now = mm(310), .per_turn = {}, .detent = mm(1)};
    swap.installed = {.min = mm(60), .max = mm(400), .now = mm(150), .per_turn = {}, .detent = mm(1)};
    const auto answer = restore(swap);
    REQUIRE(answer.has_value());
    CHECK(in_mm(answer->setting.length) == doctest::Approx(310.0).epsilon(1e-9));
    CHECK(in_mm(answer->setting.preload) == doctest::Approx(10.0).epsilon(1e-9));
    const json& expected = bike.at("sensitivities_at_rider_sag_per_mm");
    // 1 %: the golden bike pitches and its load moves with it, ours does not (0.5 % here).
    const double length = -number(expected["shock_length_plus_1mm"], "axle_z_chassis_mm");
    const double preload = -number(expected["shock_preload_plus_1mm"], "axle_z_chassis_mm");
    CHECK(in_mm(*answer->length_step.rider) == doctest::Approx(length).epsilon(0.01));
    CHECK(in_mm(*answer->collar_step.rider) == doctest::Approx(preload).epsilon(0.01));
}
