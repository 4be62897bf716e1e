// Restoring through the linkage and the whole bike, against an independent program, to 1e-6 mm.
// Data: golden_restore.json, golden_bike_a.json [computed; see "source" there].

#include "core/restore/restore.h"
#include "core/restore/whole.h"
#include "tests/reference/golden.h"

using namespace restand;
using namespace restand::test;

namespace {

SuspensionUnit fresh_unit(const json& fresh) {
    SuspensionUnit unit;
    unit.travel = mm(number(fresh, "stroke"));
    unit.spring = {newton_per_mm(number(fresh, "k")), mm(number(fresh, "free")), mm(number(fresh, "solid"))};
    unit.gas.topped_out = newton(number(fresh, "Fg"));
    unit.length = mm(number(fresh, "L0min") + 5);
    unit.installed_length = unit.spring.free_length - mm(5);
    return unit;
}

// One end alone, as the six-step swap asks it.
SwapCase end_case(const WholeBike& bike, const json& data, const json& expected) {
    const auto linkage = LinkageMap::of(bike.linkage);
    REQUIRE(linkage.has_value());
    const auto map = HeightMap::linkage(*linkage, bike.arm);
    REQUIRE(map.has_value());
    const json& rigid = data.at("equilibrium_rigid_tyres");
    SwapCase swap{.end = End::rear, .map = *map, .before = {}, .new_unit = {}, .length = {}, .installed = {}};
    swap.before = {bike.shock, mm(500), mm(500 - number(rigid.at("bike_only"), "rear_travel_mm")),
                   mm(500 - number(rigid.at("with_rider"), "rear_travel_mm"))};
    const json& fresh = expected.at("new");
    swap.new_unit = fresh_unit(fresh);
    swap.length = {.min = mm(number(fresh, "L0min")),
                   .max = mm(number(fresh, "L0max")),
                   .now = swap.new_unit.length,
                   .per_turn = mm(number(fresh, "length_pitch")),
                   .detent = {}};
    swap.installed = {.min = mm(60),
                      .max = mm(400),
                      .now = swap.new_unit.installed_length,
                      .per_turn = mm(number(fresh, "collar_pitch")),
                      .detent = {}};
    return swap;
}

}  // namespace

TEST_CASE("golden: R1 to R5 through the linkage, one end alone") {
    const json data = golden("golden_bike_a.json"), cases = golden("golden_restore.json").at("cases");
    const WholeBike bike = golden_bike(data);
    for (const auto& [name, expected] : cases.items()) {
        const auto& which = name;
        CAPTURE(which);
        const SwapCase swap = end_case(bike, data, expected);
        const auto answer = restore(swap);
        REQUIRE(answer.has_value());
        const bool loose = number(expected, "preload_new_mm") < 0;
        if (loose) CHECK(apart(in_mm(answer->wanted.preload), number(expected, "preload_new_mm")) < 1e-6);
        const double length = number(loose ? expected.at("compromise_zero_preload") : expected, "L0_new_mm");
        CHECK(apart(in_mm(answer->setting.length), length) < 1e-6);
        CHECK(apart(in_mm(answer->setting.preload), loose ? 0 : number(expected, "preload_new_mm")) < 1e-6);
        CHECK(apart(in_newton_per_mm(*answer->predicted.wheel_rate),
                    number(expected, "rider_wheel_rate_N_per_mm")) < 1e-6);
        CHECK(answer->held == (name != "R4_coil_bind"));
    }
}

TEST_CASE("golden: R1 to R5 through the whole bike, its bike-only state with it") {
    const json data = golden("golden_bike_a.json"), cases = golden("golden_restore.json").at("cases");
    const WholeBike before = golden_bike(data);
    auto targets = measured_by(before, {{TargetKind::rear_height, State::rider, 0, true},
                                        {TargetKind::rear_height, State::topped_out, 0, false},
                                        {TargetKind::rake, State::rider, 0, false, 0}});
    REQUIRE(targets.has_value());
    for (const auto& [name, expected] : cases.items()) {
        const auto& which = name;
        CAPTURE(which);
        const json& fresh = expected.at("new");
        WholeCase whole{before, *targets, {}};
        whole.bike.shock = fresh_unit(fresh);
        whole.adjusters = {{Adjustable::shock_length, in_mm(whole.bike.shock.length), number(fresh, "L0min"),
                            number(fresh, "L0max")},
                           {Adjustable::shock_installed, in_mm(whole.bike.shock.installed_length), 60, 400}};
        const auto answer = restore(whole);
        REQUIRE(answer.has_value());
        const bool loose = number(expected, "preload_new_mm") < 0, bound = name == "R4_coil_bind";
        const double free = number(fresh, "free");
        if (bound) {
            // It refuses to let the coils touch, and says that this is what is in the way.
            CHECK(answer->ends[1].low_why == EndWhy::coils_touch);
            CHECK(apart(free - answer->wanted[1], number(expected, "preload_new_mm")) < 1e-6);
            CHECK_FALSE(answer->targets[1].in_the_way.empty());
            continue;
        }
        const double length = number(loose ? expected.at("compromise_zero_preload") : expected, "L0_new_mm");
        CHECK(apart(answer->setting[0], length) < 1e-6);
        CHECK(apart(free - answer->setting[1], loose ? 0 : number(expected, "preload_new_mm")) < 1e-6);
        CHECK(apart(answer->targets[0].setting, (*targets)[0].value) < 1e-6);
        CHECK(apart(answer->targets[2].setting, (*targets)[2].value) < 1e-6);
        if (loose) continue;
        const json& alone = expected.at("verified_by_full_equilibrium").at("bike_only");
        REQUIRE(answer->alone.has_value());
        CHECK(apart(in_mm(answer->alone->shock_length), number(alone, "shock_len_mm")) < 1e-6);
        CHECK(apart(in_mm(answer->alone->rear_travel), number(alone, "static_sag_from_new_topout_mm")) <
              1e-6);
        CHECK(apart(in_newton_per_mm(answer->alone->wheel_rate), number(alone, "wheel_rate_N_per_mm")) <
              1e-6);
    }
}

TEST_CASE("golden: what one mm of each adjuster does to rake, trail and pivot height") {
    const json data = golden("golden_bike_a.json"), &all = data.at("sensitivities_at_rider_sag_per_mm");
    const WholeBike bike = golden_bike(data);
    const auto targets = measured_by(bike, {{TargetKind::rake, State::rider},
                                            {TargetKind::trail, State::rider},
                                            {TargetKind::pivot_height, State::rider}});
    REQUIRE(targets.has_value());
    // The golden data adds preload; an installed spring gets shorter by it.
    for (const auto& [adjustable, name, sign] :
         {std::tuple{Adjustable::shock_length, "shock_length_plus_1mm", 1},
          {Adjustable::shock_installed, "shock_preload_plus_1mm", -1},
          {Adjustable::fork_position, "fork_height_in_yokes_plus_1mm", 1},
          {Adjustable::fork_installed, "fork_preload_plus_1mm", -1},
          {Adjustable::front_radius, "front_radius_plus_1mm", 1},
          {Adjustable::rear_radius, "rear_radius_plus_1mm", 1},
          {Adjustable::arm, "arm_length_plus_1mm", 1}}) {
        const auto& which = name;
        CAPTURE(which);
        const double now = value(bike, adjustable);
        const auto answer = restore(WholeCase{bike, *targets, {{adjustable, now, now - 10, now + 10}}});
        REQUIRE(answer.has_value());
        // The golden figures are differences over a small step; what is left is theirs.
        CHECK(apart(sign * answer->sensitivity[0][0], number(all.at(name), "rake_deg")) < 1e-7);
        CHECK(apart(sign * answer->sensitivity[1][0], number(all.at(name), "trail_mm")) < 1e-6);
        CHECK(apart(sign * answer->sensitivity[2][0], number(all.at(name), "pivot_height_mm")) < 1e-6);
    }
}
