// solve, stance, linkage and chain of a case of the whole bike, by the real program. The numbers behind them
// are checked in tests/reference; here: that they come out, under their keys, and that wrong input is refused
// by its field.

#include <doctest/doctest.h>

#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>

#include "core/casefile/bike_json.h"
#include "tests/terminal/bike_case_kit.h"

using namespace restand;
using namespace restand::test;
using nlohmann::json;

TEST_CASE("whole bike: solve says what to set, and what is not held") {
    const Folder folder;
    const Ran solved = ran(folder, "solve", demo_case());
    CHECK_MESSAGE(solved.code == 0, solved.err);
    const json out = json::parse(solved.out);
    CHECK(out["status"] == "solved");
    CHECK(out["held"] == true);
    REQUIRE(out["adjusters"].size() == 6);
    REQUIRE(out["targets"].size() == 8);
    for (const json& a : out["adjusters"]) {
        CHECK(a["settable"].get<double>() >= a["low"].get<double>() - 1e-9);
        CHECK(a["settable"].get<double>() <= a["high"].get<double>() + 1e-9);
    }
    for (const json& t : out["targets"])
        if (t["must_hold"] == true) CHECK(t["held"] == true);
    // What was set on the bike, given to stance, stands as promised.
    json after = demo_case();
    after["bike"].merge_patch(after["new"]);
    after.erase("new");
    after["bike"]["chain"].erase("stand_slack_mm");
    const auto set = [&](const char* what) {
        for (const json& a : out["adjusters"])
            if (a["what"] == what) return a["settable"].get<double>();
        return 0.0;
    };
    after["bike"]["shock"]["eye_to_eye_mm"] = set("shock_length");
    after["bike"]["shock"]["spring"]["installed_length_mm"] = set("shock_installed");
    after["bike"]["fork"]["fork_position_mm"] = set("fork_position");
    after["bike"]["fork"]["spring"]["installed_length_mm"] = set("fork_installed");
    after["bike"]["arm_mm"] = after["bike"]["arm_mm"].get<double>() + set("axle_position") - 20;
    const json stands = json::parse(ran(folder, "stance", after).out);
    for (const json& t : out["targets"]) {
        if (t["what"] != "rake" && t["what"] != "trail" && t["what"] != "wheelbase") continue;
        const std::string key = t["what"].get<std::string>() + (t["what"] == "rake" ? "_deg" : "_mm");
        CHECK(std::fabs(stands["with_rider"][key].get<double>() - t["settable"].get<double>()) < 1e-9);
    }
    const Ran page = ran(folder, "solve --text", demo_case());
    CHECK(has(page.out, "Set, with the bike secured on its stands"));
    CHECK(has(page.out, "not approval to ride"));
}

TEST_CASE("whole bike: an end in the way is named, with exit code 3") {
    const Folder folder;
    json c = demo_case();
    c["adjusters"][0]["max"] = 307;
    c["targets"][2]["must_hold"] = true;
    c["adjusters"].erase(4);  // a longer arm would lift the tail as well
    c["adjusters"].erase(4);
    const Ran ran_short = ran(folder, "solve", c);
    CHECK(ran_short.code == 3);
    const json out = json::parse(ran_short.out);
    CHECK(out["held"] == false);
    CHECK(out["targets"][2]["in_the_way"][0] == "shock_length");
    const std::string page = ran(folder, "solve --text", c).out;
    CHECK(has(page, "shock length is at its end"));
    // Nothing moves the axle for the two teeth more: the chain does not go round, and that is said first.
    CHECK(out["chain_short_mm"].get<double>() > 1);
    CHECK(has(page, "the chain is too short"));
}

TEST_CASE("whole bike: stance, linkage and chain, as JSON, CSV and text") {
    const Folder folder;
    const json c = demo_case();
    const json stands = json::parse(ran(folder, "stance", c).out);
    const double weight = (147 + 5.5 + 14.5 + 15 + 83) * 9.80665;
    CHECK(std::fabs(stands["with_rider"]["rear_load_n"].get<double>() +
                    stands["with_rider"]["front_load_n"].get<double>() - weight) < 1e-6);
    CHECK(stands["squat"]["anti_squat_percent"].get<double>() > 50);
    REQUIRE(stands["with_rider"]["rests_shock_travel_mm"].size() == 1);
    CHECK(std::fabs(stands["with_rider"]["rests_shock_travel_mm"][0].get<double>() -
                    stands["with_rider"]["shock_travel_mm"].get<double>()) < 1e-9);
    CHECK(has(ran(folder, "stance --text", c).out, "trail, mm"));

    const json rows = json::parse(ran(folder, "linkage", c).out)["rows"];
    CHECK(rows[0]["wheel_travel_mm"] == 0.0);
    CHECK(std::fabs(rows[0]["unit_length_mm"].get<double>() - 306) < 1e-9);
    CHECK(std::fabs(rows.back()["unit_travel_mm"].get<double>() - 66) < 1e-9);
    const std::string csv = ran(folder, "linkage --csv", c).out;
    CHECK(csv.starts_with("wheel_travel_mm,"));
    CHECK(std::count(csv.begin(), csv.end(), '\n') == static_cast<long>(rows.size()) + 1);
    CHECK(has(ran(folder, "linkage --text", c).out, "wheel rate"));

    const Ran chain = ran(folder, "chain", c);
    const json out = json::parse(chain.out);
    CHECK(out["tight_spot"]["excess_mm"].get<double>() < 0);  // two teeth more, the chain not yet moved
    CHECK(out["axle_moves_mm"].get<double>() < 0);
    CHECK(out["axle_fits"] == true);
    CHECK(has(ran(folder, "chain --text", c).out, "TOO SHORT"));
    const std::string table = ran(folder, "chain --csv", c).out;
    CHECK(has(table, "slack_mm,anti_squat_percent\n"));
    // Over the travel the line of the arm and the chain's upper run both come down: less of it, the deeper.
    CHECK(out["rows"][0]["anti_squat_percent"].get<double>() >
          out["rows"].back()["anti_squat_percent"].get<double>());
    const double ratio =
        std::tan(out["rows"][3]["squat_angle_deg"].get<double>() * 3.14159265358979 / 180) /
        std::tan(out["rows"][3]["load_transfer_angle_deg"].get<double>() * 3.14159265358979 / 180);
    CHECK(std::fabs(out["rows"][3]["anti_squat_percent"].get<double>() - 100 * ratio) < 1e-6);
    json weightless = c;
    weightless["bike"].erase("masses"), weightless.erase("targets"), weightless.erase("adjusters");
    CHECK(json::parse(ran(folder, "chain", weightless).out)["rows"][0]["anti_squat_percent"].is_null());
    CHECK(has(ran(folder, "chain --csv", weightless).out, ",\n"));
    // Speeds over the new sprockets: two teeth more of 44, and the radius that the case gives.
    REQUIRE(out["gears"].size() == 6);
    CHECK(out["rpm"] == 14500);
    const double total = 2.02 * 2.583 * out["final_drive"].get<double>();
    CHECK(std::fabs(out["gears"][0]["ratio"].get<double>() - total) < 1e-12);
    CHECK(std::fabs(out["gears"][0]["kmh"].get<double>() -
                    14500 / total * 60 * 2 * 3.14159265358979 * 320e-6) < 1e-9);
    CHECK(std::fabs(out["gears"][0]["rpm_after_shift"].get<double>() - 14500 * 2 / 2.583) < 1e-6);
    CHECK(out["gears"][5]["rpm_after_shift"].is_null());
    CHECK(has(ran(folder, "chain --text", c).out, "km/h at 14500"));
    json single = c;
    single["bike"].erase("gearbox");
    const json without = json::parse(ran(folder, "chain", single).out);
    CHECK(without["gears"].empty());
    CHECK(without["rpm"].is_null());
    json far = c;
    far["new"]["chain"]["rear_teeth"] = 52;
    const Ran outside = ran(folder, "chain", far);
    CHECK(outside.code == 3);
    CHECK(json::parse(outside.out)["axle_fits"] == false);
}

TEST_CASE("whole bike: check knows its case, and says what is wrong in it") {
    const Folder folder;
    json c = demo_case();
    CHECK(ran(folder, "check", c).out == "case.json: case of a bike, whole\n");
    c["bike"]["arm_mm"] = -1;
    const Ran wrong = ran(folder, "check", c);
    CHECK(wrong.code == 2);
    CHECK(has(wrong.err, "case.json: bike.arm_mm"));
}

TEST_CASE("whole bike: wrong input is refused by its field, and what cannot be says where") {
    const Folder folder;
    const auto refused = [&](const char* command, auto change, int code, const char* says) {
        json c = demo_case();
        change(c);
        const Ran r = ran(folder, command, c);
        CAPTURE(r.err);
        CHECK(r.code == code);
        CHECK(has(code == 3 ? r.out : r.err, says));
        CHECK((code == 3 ? r.err : r.out).empty());
    };
    refused(
        "solve", [](json& c) { c["bike"].erase("arm_mm"); }, 2, "bike.arm_mm is missing");
    refused(
        "solve", [](json& c) { c["bike"]["armm"] = 1; }, 2, "bike.armm: unknown key");
    refused(
        "solve", [](json& c) { c["bike"]["linkage"]["kind"] = "belt"; }, 2, "bike.linkage.kind");
    refused(
        "solve", [](json& c) { c["bike"]["linkage"]["side"] = 0.5; }, 2, "bike.linkage.side");
    refused(
        "solve", [](json& c) { c["new"]["shock"]["spring"]["rate_n_per_mm"] = -1; }, 2,
        "new.shock.spring.rate_n_per_mm");
    refused(
        "solve", [](json& c) { c["targets"][0]["what"] = "height"; }, 2, "targets[1].what");
    refused(
        "solve", [](json& c) { c["adjusters"][0]["min"] = 320; }, 2, "adjusters[1] (shock_length)");
    refused(
        "solve", [](json& c) { c["adjusters"] = 5; }, 2, "adjusters: expected a list");
    refused(
        "solve", [](json& c) { c.erase("targets"); }, 2, "targets");
    refused(
        "solve",
        [](json& c) {
            c["bike"]["rear_wheel"] = {{"size", "big"}};
        },
        2, "bike.rear_wheel.size");
    refused(
        "stance", [](json& c) { c["bike"].erase("masses"); }, 2, "masses");
    refused(
        "chain",
        [](json& c) {
            c["bike"].erase("chain"), c["new"].erase("chain"), c.erase("targets"), c.erase("adjusters");
        },
        2, "bike.chain");
    refused(
        "chain", [](json& c) { c["bike"]["gearbox"]["gear_ratios"] = json::array(); }, 2,
        "bike.gearbox.gear_ratios");
    refused(
        "chain", [](json& c) { c["bike"]["gearbox"]["gear_ratios"][1] = 20; }, 2,
        "bike.gearbox.gear_ratios[2]");
    refused(
        "chain", [](json& c) { c["bike"]["gearbox"]["gear_ratios"][1] = 2.7; }, 2,
        "bike.gearbox.gear_ratios contradicts itself");
    refused(
        "chain", [](json& c) { c["bike"]["gearbox"]["rpm"] = 14.5; }, 2, "bike.gearbox.rpm");
    refused(
        "linkage",
        [](json& c) {
            c["bike"].erase("chain"), c["new"].erase("chain"), c.erase("targets"), c.erase("adjusters");
        },
        2, "bike.chain");
    // Rod and rocker come in line before the unit is all the way in: where in the travel.
    refused(
        "linkage", [](json& c) { c["bike"]["shock"]["travel_mm"] = 140; }, 3, "wheel travel ends at");
    refused(
        "stance",
        [](json& c) {
            c["bike"]["masses"]["sprung"]["at_mm"] = {-1500, 100};
            c.erase("targets");
        },
        3, "between the wheels");
}

TEST_CASE("swap case: a linkage by its points in place of a table") {
    const Folder folder;
    std::ifstream file(std::string(RESTAND_SOURCE_DIR) + "/demo/swap.json");
    json c = json::parse(file);
    c["map"] = {{"linkage", demo_case()["bike"]["linkage"]}, {"arm_mm", 580}};
    const Ran solved = ran(folder, "solve", c);
    CHECK_MESSAGE(solved.code != 2, solved.err);
    CHECK(json::parse(solved.out)["status"] == "solved");
    c["map"]["leverage"] = 2.0;
    CHECK(has(ran(folder, "solve", c).err, "map.leverage contradicts linkage"));
    c["map"] = {{"pairs", json::array()}, {"arm_mm", 580}};
    CHECK(has(ran(folder, "solve", c).err, "map.arm_mm"));
}
