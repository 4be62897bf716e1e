// What a bike case without an answer, or with a slip in it, is told: the same by every command. And what
// stance says beside loads and angles.

#include <cmath>
#include <fstream>

#include "core/quantity/unit.h"
#include "tests/terminal/bike_case_kit.h"

using namespace restand::test;
using nlohmann::json;

namespace {

json stands(const Folder& folder, const json& c) {
    const Ran r = ran(folder, "stance", c);
    REQUIRE_MESSAGE(r.code == 0, (r.err + r.out));
    return json::parse(r.out);
}
constexpr const char* commands[] = {"solve", "stance", "linkage", "chain"};

}  // namespace

TEST_CASE(
    "bike case: a bike that cannot be put together is refused alike by every command, with the length asked "
    "for") {
    const Folder folder;
    for (const char* command : commands) {
        CAPTURE(command);
        json longer = demo_case();
        longer["bike"]["shock"]["eye_to_eye_mm"] = 390;
        const Ran r = ran(folder, command, longer);
        CAPTURE(r.err);
        CHECK(r.code == 2);
        CHECK(r.out == "");
        CHECK(has(r.err, "bike.shock.eye_to_eye_mm"));
        CHECK(has(r.err, "390.00 mm is asked for; the longest unit it can have is"));
        json apart = demo_case();
        apart["bike"]["linkage"]["rod_mm"] = 20;
        const Ran open = ran(folder, command, apart);
        CHECK(open.code == 2);
        CHECK(has(open.err, "bike.linkage"));
        CHECK_FALSE(has(open.err, "map.linkage"));
    }
}

TEST_CASE(
    "bike case: where a sound case has no answer, every command exits with 3 and a result that says why") {
    const Folder folder;
    json falls = demo_case();
    falls["bike"]["masses"]["sprung"]["at_mm"] = {-1500, 100};
    for (const char* command : {"solve", "stance"}) {
        CAPTURE(command);
        const Ran r = ran(folder, command, falls);
        CHECK(r.code == 3);
        CHECK(r.err == "");
        const json out = json::parse(r.out);
        CHECK(out["status"] == "no_solution");
        CHECK(has(out["limits"][0]["message"], "between the wheels"));
        const Ran page = ran(folder, std::string(command) + " --text", falls);
        CHECK(page.code == 3);
        CHECK(has(page.out, "NO ANSWER: no solution (bike)"));
    }
    CHECK(ran(folder, "check", falls).code == 0);
    CHECK(ran(folder, "linkage", falls).code == 0);
    json deep = demo_case();
    deep["bike"]["shock"]["travel_mm"] = 140;
    for (const char* command : {"linkage", "chain"}) {
        CAPTURE(command);
        const Ran r = ran(folder, command, deep);
        CHECK(r.code == 3);
        const json out = json::parse(r.out);
        CHECK(out["limits"][0]["where"] == "bike.shock.travel_mm");
        CHECK(has(out["limits"][0]["message"], "166.00 mm is asked for; the shortest unit it can have is"));
        CHECK(has(out["limits"][0]["message"], "wheel travel ends at"));
        const Ran table = ran(folder, std::string(command) + " --csv", deep);
        CHECK(table.code == 3);
        CHECK(table.out == "");
        CHECK(has(table.err, "166.00 mm is asked for"));
    }
}

TEST_CASE("bike case: a range is said once, and with its numbers") {
    const Folder folder;
    const auto told = [&](auto change) {
        json c = demo_case();
        change(c);
        const Ran r = ran(folder, "solve", c);
        CHECK(r.code == 2);
        return r.err;
    };
    CHECK(told([](json& c) {
              c["bike"]["head_mm"] = {560, 900};
          }) ==
          "restand: case.json: bike.head_mm: topped out a rake of 2.5 deg is out of range; allowed: 10 to 45 "
          "deg\n");
    CHECK(has(told([](json& c) { c["bike"]["head_mm"] = {2000, 1000}; }), "out of range; allowed: "));
    CHECK(has(told([](json& c) { c["adjusters"][0]["now"] = 290; }),
              "adjusters[1] (shock_length): 290 is out of range; allowed: 300 ≤ now ≤ 316"));
    CHECK(has(told([](json& c) { c["adjusters"][0]["min"] = 320; }),
              "adjusters[1] (shock_length): min 320 is above max 316"));
    CHECK(has(told([](json& c) { c["bike"]["chain"]["axle_position_mm"] = 40; }),
              "min ≤ position ≤ max, here 2, 40, 38"));
    CHECK(has(told([](json& c) {
                  c["bike"]["fork"]["oil"] = {{"bore_mm", 37}, {"level_mm", 20}, {"spring_wire_mm3", 60000}};
              }),
              "bike.fork.oil.level_mm: 20 is out of range; allowed: level > 55.8, or no air is left at full "
              "travel"));
    const std::string end = changed(issue_case, "\"now\": 305", "\"now\": 320");
    write_bytes(folder("end.json"), end);
    CHECK(has(run(folder, "solve end.json").err, "min ≤ now ≤ max, here 300, 320, 316"));
}

TEST_CASE("bike case: targets that need masses keep nobody from the linkage and the chain") {
    const Folder folder;
    json c = demo_case();
    c["bike"].erase("masses");
    CHECK(ran(folder, "linkage", c).code == 0);
    CHECK(json::parse(ran(folder, "linkage", c).out)["rows"].size() > 5);
    const Ran chain = ran(folder, "chain", c);
    CHECK_MESSAGE(chain.code == 0, chain.err);
    for (const char* command : {"solve", "check", "stance"}) {
        const Ran r = ran(folder, command, c);
        CHECK(r.code == 2);
        CHECK(has(r.err, "masses"));
    }
}

TEST_CASE("stance: forces, pitch and slope are those of the bike it prints") {
    const Folder folder;
    const json r = stands(folder, demo_case())["with_rider"];
    // Along the fork: what the wheel carries beyond its own weight, and the spring at its travel.
    const double rake = r["rake_deg"].get<double>() * restand::pi / 180;
    CHECK(r["fork_force_n"].get<double>() ==
          doctest::Approx((r["front_load_n"].get<double>() - 15 * 9.80665) * std::cos(rake)));
    CHECK(r["fork_force_n"].get<double>() ==
          doctest::Approx(2 * 10 * (15 + r["fork_travel_mm"].get<double>())));
    CHECK(r["pitch_deg"].get<double>() == doctest::Approx(24 - r["rake_deg"].get<double>()));
    CHECK(r["rear_stop_n"] == 0.0);
    CHECK(r["fork_stop_n"] == 0.0);
    // The slope is that of the ratio between two poses a little above and below.
    json c = demo_case();
    const auto at = [&](double by) {
        c["pose"] = {{"shock_length_mm", r["shock_length_mm"].get<double>() + by},
                     {"fork_travel_mm", r["fork_travel_mm"]}};
        return stands(folder, c)["at_pose"];
    };
    const json up = at(-0.05), down = at(0.05);
    const auto apart = [&](const char* key) { return up[key].get<double>() - down[key].get<double>(); };
    CHECK(r["motion_ratio_per_mm"].get<double>() ==
          doctest::Approx(apart("motion_ratio") / apart("rear_travel_mm")).epsilon(1e-4));
    CHECK(has(ran(folder, "stance --text", demo_case()).out, "fork force, N"));
}

TEST_CASE("stance: a stop is pressed with what the spring has more than the wheel asks for, or less") {
    const Folder folder;
    json c = demo_case();
    c.erase("new");
    c["bike"]["fork"]["spring"]["installed_length_mm"] =
        200;  // 2 x 9.5 N/mm x 100 mm: more than any front load here
    c["bike"]["shock"]["spring"]["rate_n_per_mm"] = 500;
    const json top = stands(folder, c)["with_rider"];
    REQUIRE(top["fork_topped_out"] == true);
    REQUIRE(top["rear_topped_out"] == true);
    const double rake = top["rake_deg"].get<double>() * restand::pi / 180;
    const double asked = (top["front_load_n"].get<double>() - 15 * 9.80665) * std::cos(rake);
    CHECK(top["fork_stop_n"].get<double>() == doctest::Approx(2 * 9.5 * 100 - asked));
    // Nothing moves on a stop: a millimetre more preload presses it with one rate more.
    c["bike"]["shock"]["spring"]["installed_length_mm"] = 149;
    const json more = stands(folder, c)["with_rider"];
    CHECK(more["rear_stop_n"].get<double>() - top["rear_stop_n"].get<double>() == doctest::Approx(500));
    CHECK(has(ran(folder, "stance --text", c).out, "the fork stands on its top-out stop, pressed with "));

    c = demo_case();
    c.erase("new");
    c["bike"]["fork"]["spring"]["rate_n_per_mm"] = 2;
    const json low = stands(folder, c)["with_rider"];
    REQUIRE(low["fork_bottomed"] == true);
    const double low_rake = low["rake_deg"].get<double>() * restand::pi / 180;
    CHECK(low["fork_stop_n"].get<double>() ==
          doctest::Approx((low["front_load_n"].get<double>() - 15 * 9.80665) * std::cos(low_rake) -
                          2 * 2 * 135.0));
}

TEST_CASE("stance: a pose that is asked for, with masses and without") {
    const Folder folder;
    json c = demo_case();
    const json r = stands(folder, c);
    CHECK(r["at_pose"].is_null());
    // In the pose it stands in, everything is as it stands.
    const json& rider = r["with_rider"];
    c["pose"] = {{"shock_length_mm", rider["shock_length_mm"]}, {"fork_travel_mm", rider["fork_travel_mm"]}};
    const json out = stands(folder, c);
    CHECK(out["with_rider"] == rider);
    int same = 0;
    for (const auto& one : out["at_pose"].items())
        if (const json& value = one.value(); value.is_number()) {
            const std::string& key = one.key();
            CHECK_MESSAGE(value.get<double>() == doctest::Approx(rider[key].get<double>()), key);
            ++same;
        }
    CHECK(same > 15);
    for (const char* key : {"rear_load_n", "front_load_n", "mass_ahead_mm", "mass_height_mm"})
        CHECK(out["at_pose"]["with_rider"][key].get<double>() == doctest::Approx(rider[key].get<double>()));
    CHECK(out["at_pose"]["squat"]["anti_squat_percent"].get<double>() ==
          doctest::Approx(r["squat"]["anti_squat_percent"].get<double>()));
    CHECK(has(ran(folder, "stance --text", c).out, "in the pose"));

    // Without masses; topped out unless said; a lower front turns the rake by what the pitch says.
    json light = demo_case();
    light["bike"].erase("masses"), light.erase("new");
    light["pose"] = json::object();
    const json hung = stands(folder, light);
    CHECK(hung["bike_alone"].is_null());
    CHECK(hung["at_pose"]["shock_length_mm"].get<double>() == doctest::Approx(310));
    CHECK(hung["at_pose"]["bike_alone"].is_null());
    light["pose"]["fork_travel_mm"] = 60;
    light["pose"]["front_radius_mm"] = 295;
    const json low = stands(folder, light)["at_pose"];
    CHECK(low["rake_deg"].get<double>() < hung["at_pose"]["rake_deg"].get<double>());
    CHECK(low["pitch_deg"].get<double>() + low["rake_deg"].get<double>() == doctest::Approx(24));
    CHECK(low["fork_force_n"].get<double>() == doctest::Approx(2 * 9.5 * 75));
    CHECK(low["front_radius_mm"] == 295);
    CHECK(has(ran(folder, "stance --text", light).out, "in the pose"));

    const auto refused = [&](const char* key, double value, const char* says) {
        json wrong = demo_case();
        wrong["pose"] = {{key, value}};
        const Ran w = ran(folder, "stance", wrong);
        CHECK(w.code == 2);
        CHECK_MESSAGE(has(w.err, says), w.err);
    };
    refused("shock_length_mm", 307, "pose.shock_length_mm: topped out it is 306.0 mm");
    refused("shock_length_mm", 230, "pose.shock_length_mm: pushed all the way in it is 240.0 mm");
    refused("fork_travel_mm", 130, "pose.fork_travel_mm: 130.0 is out of range; allowed: 0 ≤ travel ≤ 120");
    refused("rear_radius_mm", 30, "pose.rear_radius_mm");
    refused("droop_deg", 5, "pose.droop_deg: unknown key");
}

namespace {

const std::string fork_case = R"({ "restand_case": 1, "end": "front", "map": { "leverage": 0.91 },
  "baseline": { "unit": { "fork_position_mm": 4, "fork_length_mm": 740, "travel_mm": 120,
                "spring": { "rate_n_per_mm": 9.5, "free_length_mm": 300, "installed_length_mm": 285 } },
                "ride_height_mm": { "topped_out": 620, "static": 597, "rider": 582 } },
  "new_unit": { "fork_position_mm": { "min": 0, "max": 12, "now": 4 }, "fork_length_mm": 740, "travel_mm": 120,
                "spring": { "rate_n_per_mm": 10, "free_length_mm": 300, "installed_length_now_mm": 285 } } })";

}  // namespace

TEST_CASE("front case: two unlike legs and oil push as the same fork does otherwise described") {
    const Folder folder;
    const auto answer = [&](const std::string& text) {
        write_bytes(folder("case.json"), text);
        const Ran r = run(folder, "solve case.json");
        REQUIRE_MESSAGE(r.code != 2, r.err);
        return json::parse(r.out);
    };
    const auto alike = [](const json& a, const json& b) {
        for (const char* key : {"eye_to_eye_mm", "installed_length_mm", "preload_mm"})
            CHECK_MESSAGE(a["answer"][key].get<double>() == doctest::Approx(b["answer"][key].get<double>()),
                          key);
        CHECK(a["predicted"]["rider_sag_mm"].get<double>() ==
              doctest::Approx(b["predicted"]["rider_sag_mm"].get<double>()));
    };
    const json plain = answer(fork_case);
    // A second leg as the first is the fork of two equal legs; 9 and 11 N/mm are two of 10.
    const std::string leg =
        R"("other_leg": { "rate_n_per_mm": 11, "free_length_mm": 300, "installed_length_now_mm": 285 },
        "spring": { "rate_n_per_mm": 9)";
    alike(plain, answer(changed(fork_case, R"("spring": { "rate_n_per_mm": 10)", leg)));
    const std::string old_leg =
        R"("other_leg": { "rate_n_per_mm": 10.5, "free_length_mm": 300, "installed_length_mm": 285 },
        "spring": { "rate_n_per_mm": 8.5)";
    alike(plain, answer(changed(fork_case, R"("spring": { "rate_n_per_mm": 9.5)", old_leg)));
    // A shorter spring in the other leg is loose first: preload is counted to it.
    const json loose = answer(changed(
        fork_case, R"("spring": { "rate_n_per_mm": 10)",
        R"("other_leg": { "rate_n_per_mm": 60, "free_length_mm": 286, "installed_length_now_mm": 285 },
        "spring": { "rate_n_per_mm": 10)"));
    CHECK(loose["answer"]["installed_length_mm"].get<double>() <= 286 + 1e-6);
    CHECK(loose["answer"]["preload_mm"].get<double>() ==
          doctest::Approx(286 - loose["answer"]["installed_length_mm"].get<double>()));
    CHECK(loose["limits"][0]["code"] == "negative_preload");

    // Oil is a reservoir of both legs' bore and of the air topped out: bore x (level + travel) - wire.
    const double bore = restand::pi / 4 * 37 * 37, air = bore * (110 + 120) - 20000;
    const auto both = [&](const std::string& part) {
        std::string text = changed(fork_case, R"("travel_mm": 120,
                "spring")",
                                   R"("travel_mm": 120, )" + part + R"( "spring")");
        return changed(text, R"("travel_mm": 120,
                "spring")",
                       R"("travel_mm": 120, )" + part + R"( "spring")");
    };
    const json oil = answer(both(R"("oil": { "bore_mm": 37, "level_mm": 110, "spring_wire_mm3": 20000 },)"));
    alike(oil, answer(both(R"("reservoir": { "area_mm2": )" + json(2 * bore).dump() + R"(, "volume_mm3": )" +
                           json(2 * air).dump() + R"(, "exponent": 1.3 },)")));
    CHECK(std::fabs(oil["predicted"]["wheel_rate_n_per_mm"].get<double>() -
                    plain["predicted"]["wheel_rate_n_per_mm"].get<double>()) > 0.1);
    // How sure: a path into the leg and the oil is a path as any other.
    const json uncertain =
        answer(changed(both(R"("oil": { "bore_mm": 37, "level_mm": 110 },)"), R"("end": "front",)",
                       R"("end": "front", "uncertainty": { "new_unit.oil.level_mm": 2 },)"));
    CHECK(uncertain["uncertainty"]["ride_height_mm"]["rider"]["standard"].get<double>() > 0.01);
}

TEST_CASE("front case: legs and oil that cannot be are refused by their field") {
    const Folder folder;
    const auto refused = [&](const std::string& from, const std::string& to, const char* says) {
        write_bytes(folder("case.json"), changed(fork_case, from, to));
        const Ran r = run(folder, "solve case.json");
        CHECK(r.code == 2);
        CHECK_MESSAGE(has(r.err, says), r.err);
    };
    const std::string spring = R"("spring": { "rate_n_per_mm": 10)";
    refused(
        spring,
        R"("other_leg": { "rate_n_per_mm": 9, "free_length_mm": 280, "installed_length_now_mm": 285 }, )" +
            spring,
        "new_unit.other_leg.free_length_mm contradicts installed_length_now_mm");
    refused(spring,
            R"("other_leg": { "rate_n_per_mm": 9, "free_length_mm": 300, "installed_length_mm": 285 }, )" +
                spring,
            "new_unit.other_leg.installed_length_mm: unknown key; did you mean 'installed_length_now_mm'?");
    refused(R"("spring": { "rate_n_per_mm": 10, "free_length_mm": 300, "installed_length_now_mm": 285)",
            R"("other_leg": { "rate_n_per_mm": 9, "free_length_mm": 300, "installed_length_now_mm": 285 },
               "spring": { "rate_n_per_mm": 10, "free_length_mm": 300)",
            "new_unit.spring.installed_length_now_mm is missing; with other_leg");
    refused(
        spring,
        R"("oil": { "bore_mm": 37, "level_mm": 110 }, "reservoir": { "area_mm2": 100, "volume_mm3": 1e6 }, )" +
            spring,
        "new_unit.oil contradicts reservoir");
    refused(spring, R"("oil": { "bore_mm": 37 }, )" + spring, "new_unit.oil.level_mm is missing");
    write_bytes(folder("case.json"),
                changed(issue_case, "\"travel_mm\": 66,", "\"travel_mm\": 66, \"oil\": {},"));
    CHECK(has(run(folder, "solve case.json").err, "new_unit.oil contradicts end"));
}
