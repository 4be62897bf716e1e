// `restand solve` against numbers that were not made with this program.

#include <cmath>

#include "tests/terminal/program.h"

using namespace restand::test;
using nlohmann::json;

namespace {
double at(const json& result, const char* pointer) {
    const json& value = result.at(json::json_pointer(pointer));
    REQUIRE_MESSAGE(value.is_number(), pointer);
    return value.get<double>();
}
}  // namespace

// By hand, closed form of the design's 3.2 (statics, no source needed):
//   travel with rider   x_r = (500 − 469.8)/2.05 = 30.2/2.05                  = 14.731707
//   force there         F   = 150 + 95·(10 + 14.731707)                       = 2499.512195
//   length 310 is in reach, so x' = x_r and
//   preload             p'  = (2499.512195 − 420)/100 − 14.731707             = 6.063415
//   installed           155 − 6.063415                                        = 148.936585
//   turns               (310 − 305)/1.25 = 4 out;  (148 − 148.936585)/1.5     = −0.624390, so out
//   static              x_s = 9.7/2.05 = 4.731707, F = 1549.512195,
//                       x_s' = 11.295122 − 6.063415 = 5.231707, 500 − 2.05·x_s' = 489.275, residual −1.025
//   wheel rate          100/2.05²                                             = 23.795360
//   to block length     148.936585 − 66 − 72                                  = 10.936585
TEST_CASE("solve: the issue's case gives the numbers worked by hand") {
    const Folder folder;
    const json r = solved(folder, issue_case);
    const double exact = 1e-6;  // six digits were worked by hand
    CHECK(std::fabs(at(r, "/answer/eye_to_eye_mm") - 310.0) < exact);
    CHECK(std::fabs(at(r, "/answer/eye_to_eye_turns") - 4.0) < exact);
    CHECK(std::fabs(at(r, "/answer/preload_mm") - 6.063415) < exact);
    CHECK(std::fabs(at(r, "/answer/installed_length_mm") - 148.936585) < exact);
    CHECK(std::fabs(at(r, "/answer/collar_turns") + 0.624390) < exact);
    CHECK(std::fabs(at(r, "/predicted/ride_height_mm/topped_out") - 500.0) < exact);
    CHECK(std::fabs(at(r, "/predicted/ride_height_mm/static") - 489.275) < exact);
    CHECK(std::fabs(at(r, "/predicted/ride_height_mm/rider") - 469.8) < exact);
    CHECK(std::fabs(at(r, "/predicted/free_sag_mm") - 10.725) < exact);
    CHECK(std::fabs(at(r, "/predicted/rider_sag_mm") - 30.2) < exact);
    CHECK(std::fabs(at(r, "/predicted/wheel_rate_n_per_mm") - 23.795360) < exact);
    CHECK(std::fabs(at(r, "/predicted/block_margin_mm") - 10.936585) < exact);
    CHECK(std::fabs(at(r, "/residual_mm/topped_out")) < exact);
    CHECK(std::fabs(at(r, "/residual_mm/static") + 1.025) < exact);
    CHECK(std::fabs(at(r, "/residual_mm/rider")) < exact);
    CHECK(r["limits"].empty());
    CHECK(r["held"] == true);
    CHECK(r["status"] == "solved");
}

// Kilograms at a place, by moments about the other wheel: 12 kg out, 770 of 1400 mm ahead of the rear axle.
//   wheel load          −12·9.80665·(1 − 770/1400)                            = −52.95591 N
//   along the unit      2.05 times that, at the same length                   = −108.559616 N
//   preload             6.063415 − 108.559616/100                             = 4.977818
TEST_CASE("solve: fuel out is kilograms at a place; the spring has that much less to carry") {
    const Folder folder;
    json lighter = json::parse(issue_case);
    lighter["wheelbase_mm"] = 1400;
    lighter["loads"] = {{{"kg", -12}, {"ahead_mm", 770}}};
    const json r = solved(folder, lighter.dump());
    CHECK(std::fabs(at(r, "/answer/preload_mm") - 4.977818) < 1e-6);
    CHECK(std::fabs(at(r, "/answer/eye_to_eye_mm") - 310.0) < 1e-6);
    for (const json& one : r["assumed"]) CHECK(one["what"] != "load_scale");
    // A lighter rider moves the rider height alone: static stays where the same setting puts it.
    json rider = lighter;
    rider["loads"][0]["state"] = "rider";
    const json by_rider = solved(folder, rider.dump());
    CHECK(std::fabs(at(by_rider, "/answer/preload_mm") - 4.977818) < 1e-6);
    CHECK(at(by_rider, "/predicted/ride_height_mm/static") < at(r, "/predicted/ride_height_mm/static") - 1);
    // Two halves at the same place are the whole.
    json halves = lighter;
    halves["loads"] = {{{"kg", -6}, {"ahead_mm", 770}}, {{"kg", -6}, {"ahead_mm", 770}}};
    CHECK(solved(folder, halves.dump())["answer"] == r["answer"]);
}

TEST_CASE("solve: what a case leaves out and the answer depends on is listed, on the page at its head") {
    const Folder folder;
    const json whole = solved(folder, issue_case);
    std::vector<std::string> taken;
    for (const json& one : whole["assumed"]) taken.push_back(one["what"]);
    CHECK(taken == std::vector<std::string>{"load_scale", "tolerance_mm"});
    json less = json::parse(issue_case);
    less["baseline"]["unit"].erase("gas_force_n");
    less["load_scale"] = 1.02;
    const json r = solved(folder, less.dump());
    REQUIRE(r["assumed"].size() == 2);
    CHECK(r["assumed"][0] ==
          json{{"what", "baseline.unit.gas_force_n"}, {"value", 0.0}, {"because", "not_given"}});
    CHECK(r["assumed"][1]["what"] == "tolerance_mm");
    write_bytes(folder("less.json"), less.dump());
    const Ran page = run(folder, "solve less.json --text");
    const auto head = page.out.find("baseline.unit.gas_force_n: 0.0");
    REQUIRE(head != std::string::npos);
    CHECK(head < page.out.find("Set, with the bike secured"));
}

TEST_CASE("solve: the detent is on the quarter turns and predicts what it costs") {
    const Folder folder;
    const json r = solved(folder, issue_case);
    for (const char* turns : {"/detent/answer/eye_to_eye_turns", "/detent/answer/collar_turns"}) {
        const double quarters = at(r, turns) * 4.0;
        CHECK(std::fabs(quarters - std::round(quarters)) < 1e-9);
    }
    // Turns and lengths are one setting: 305 + 1.25 a turn, 148 − 1.5 a turn.
    CHECK(std::fabs(305.0 + 1.25 * at(r, "/detent/answer/eye_to_eye_turns") -
                    at(r, "/detent/answer/eye_to_eye_mm")) < 1e-9);
    CHECK(std::fabs(148.0 - 1.5 * at(r, "/detent/answer/collar_turns") -
                    at(r, "/detent/answer/installed_length_mm")) < 1e-9);
    // Half a step of each adjuster at the axle: 2.05·(1.25/8 + 1.5/8) = 0.70 mm.
    CHECK(std::fabs(at(r, "/detent/residual_mm/rider")) < 0.71);
}

// R1–R5: ../reference/golden_restore.json (an independent implementation, see its README): rocker linkage of
// bike A; here its kinematics serve as a table of pairs. Required: 0.01 mm. The table has a pair each 10 mm.
TEST_CASE("solve: golden R1 to R5 through a table of pairs") {
    const std::string reference = RESTAND_SOURCE_DIR "/tests/reference/";
    const json bike = json::parse(bytes_of(reference + "golden_bike_a.json"));
    const json golden = json::parse(bytes_of(reference + "golden_restore.json"));
    json pairs = json::array();
    for (const json& k : bike.at("kinematics"))
        pairs.insert(pairs.begin(), json{k["shock_len_mm"], 500.0 - k["z_mm"].get<double>()});
    const double sag = golden["baseline"]["rider_state"]["rear_travel_mm"];

    const Folder folder;
    for (const auto& one : golden["cases"].items()) {
        const std::string& name = one.key();
        const json& expected = one.value();
        CAPTURE(name);
        const json& part = expected["new"];
        const json text = {
            {"restand_case", 1},
            {"end", "rear"},
            {"map", {{"pairs", pairs}}},
            {"baseline",
             {{"unit",
               {{"eye_to_eye_mm", 310},
                {"gas_force_n", 150},
                {"spring", {{"rate_n_per_mm", 95}, {"free_length_mm", 160}, {"installed_length_mm", 150}}}}},
              {"ride_height_mm", {{"topped_out", 500.0}, {"rider", 500.0 - sag}}}}},
            {"new_unit",
             {{"eye_to_eye_mm",
               {{"min", part["L0min"]},
                {"max", part["L0max"]},
                {"now", part["L0min"]},
                {"mm_per_turn", part["length_pitch"]}}},
              {"travel_mm", part["stroke"]},
              {"gas_force_n", part["Fg"]},
              {"spring",
               {{"rate_n_per_mm", part["k"]},
                {"free_length_mm", part["free"]},
                {"block_length_mm", part["solid"]},
                {"installed_length_now_mm", part["free"]},
                {"collar_mm_per_turn", part["collar_pitch"]}}}}}};
        const bool coil_bind = name.starts_with("R4"), loose = name.starts_with("R3");
        const json r = solved(folder, text.dump(), coil_bind ? 3 : 0);

        // `answer` can be set, so where the preload would be negative the golden numbers are those wanted.
        const std::string answer = loose ? "/wanted" : "/answer";
        const double mm01 = 0.01;
        CHECK(std::fabs(at(r, (answer + "/eye_to_eye_mm").c_str()) - expected["L0_new_mm"].get<double>()) <
              mm01);
        CHECK(std::fabs(at(r, (answer + "/preload_mm").c_str()) - expected["preload_new_mm"].get<double>()) <
              mm01);
        CHECK(std::fabs(at(r, (answer + "/installed_length_mm").c_str()) -
                        expected["installed_spring_len_mm"].get<double>()) < mm01);
        CHECK(std::fabs(at(r, (answer + "/eye_to_eye_turns").c_str()) * part["length_pitch"].get<double>() -
                        expected["length_adjust_from_min_mm"].get<double>()) < mm01);
        CHECK(std::fabs(at(r, "/residual_mm/rider")) < mm01);
        if (!loose)
            CHECK(std::fabs(at(r, "/predicted/block_margin_mm") -
                            expected["coil_bind_margin_mm"].get<double>()) < mm01);
        // Topped out against the full equilibrium, at the axle.
        const double drop =
            expected["verified_by_full_equilibrium"]["axle_z_at_new_topout_relative_to_old_topout_mm"];
        if (!loose) CHECK(std::fabs(at(r, "/residual_mm/topped_out") + drop) < mm01);
        if (loose) {
            const json& compromise = expected["compromise_zero_preload"];
            CHECK(std::fabs(at(r, "/answer/eye_to_eye_mm") - compromise["L0_new_mm"].get<double>()) < mm01);
            CHECK(std::fabs(at(r, "/answer/preload_mm")) < 1e-9);
        }

        // The golden flags; one of them has another name here.
        json codes = json::array();
        for (const json& limit : r["limits"]) codes.push_back(limit["code"]);
        json flags = json::array();
        for (const json& flag : expected["flags"])
            flags.push_back(flag == "coil_bind_before_full_stroke" ? json("coil_bind_before_full_travel")
                                                                   : flag);
        CHECK(codes == flags);
        for (const json& limit : r["limits"]) CHECK(limit["message"].get<std::string>().size() > 10);
    }
}

// Fork by hand: two legs of 9.5 N/mm, 15 mm preload; height read upright, leverage 0.91; 40 mm sag at the
// axle is 40/0.91 = 43.956044 mm of fork. New springs 10 N/mm, same length and position:
//   p' = 9.5·(15 + 43.956044)/10 − 43.956044 = 12.052198,  installed 250 − 12.052198 = 237.947802
TEST_CASE("solve: a front end, with its position in the yokes") {
    const Folder folder;
    const json r = solved(folder, R"({ "restand_case": 1, "end": "front", "map": { "leverage": 0.91 },
      "baseline": { "unit": { "fork_length_mm": 740, "fork_position_mm": 6,
          "spring": { "rate_n_per_mm": 9.5, "free_length_mm": 255, "installed_length_mm": 240 } },
          "ride_height_mm": { "topped_out": 620, "rider": 580 } },
      "new_unit": { "fork_length_mm": 743, "fork_position_mm": { "min": 0, "max": 15, "now": 4 }, "travel_mm": 120,
          "spring": { "rate_n_per_mm": 10, "free_length_mm": 250, "installed_length_now_mm": 240,
                      "collar_mm_per_turn": 1 } } })");
    // 3 mm more fork goes through the yokes: 6 + 3.
    CHECK(std::fabs(at(r, "/answer/fork_position_mm") - 9.0) < 1e-6);
    CHECK(std::fabs(at(r, "/answer/preload_mm") - 12.052198) < 1e-6);
    CHECK(std::fabs(at(r, "/answer/installed_length_mm") - 237.947802) < 1e-6);
    CHECK(r["answer"]["eye_to_eye_turns"].is_null());
}

// By hand from the case above the golden ones: with h_r and h_t read to u each,
// l' = 310 exactly follows L_old, and dp'/dx_r = k_old/k_new − 1 = −0.05, dx_r = (dh_t − dh_r)/2.05:
//   u(p') = 0.05·√(0.8² + 1.0²)/2.05 = 0.0312348;  95 % = 1.959964·u (GUM, all inputs with infinite dof)
TEST_CASE("solve: uncertainty of the installed length follows from that of the heights") {
    const Folder folder;
    const std::string text =
        changed(issue_case, "\"end\": \"rear\",",
                R"("end": "rear", "uncertainty": { "baseline.ride_height_mm.topped_out": 0.8,
                                        "baseline.ride_height_mm.rider": 1.0 },)");
    const json r = solved(folder, text);
    CHECK(std::fabs(at(r, "/uncertainty/installed_length_mm/standard") - 0.0312348) < 1e-5);
    CHECK(std::fabs(at(r, "/uncertainty/installed_length_mm/expanded_95") - 1.959964 * 0.0312348) < 2e-5);
    CHECK(r["uncertainty"]["installed_length_mm"]["from"][0]["field"] == "baseline.ride_height_mm.rider");
    CHECK(std::fabs(at(r, "/uncertainty/installed_length_mm/from/0/share") - 1.0 / 1.64) < 1e-4);
}

TEST_CASE("solve: what cannot be held exits with 3 and says which limit is in the way") {
    const Folder folder;
    // A block length of 90 leaves 148.94 − 66 − 90 < 0.
    const json r =
        solved(folder, changed(issue_case, "\"block_length_mm\": 72", "\"block_length_mm\": 90"), 3);
    CHECK(r["status"] == "no_solution");
    CHECK(r["held"] == false);
    CHECK(r["limits"][0]["code"] == "coil_bind_before_full_travel");
    CHECK(r["answer"]["eye_to_eye_mm"].is_number());
}

TEST_CASE("solve: a baseline off the map has no solution and says so in both forms") {
    const Folder folder;
    const std::string text = changed(issue_case, R"({ "leverage": 2.05 })",
                                     R"({ "pairs": [[305, 489], [308, 495.5], [311, 502], [316, 512]] })");
    const json r = solved(folder, text, 3);
    CHECK(r["status"] == "no_solution");
    CHECK(r["limits"][0]["code"] == "off_the_map");
    const Ran page = run(folder, "solve --text case.json");
    CHECK(page.code == 3);
    CHECK(has(page.out, "DO NOT FIT IT SO"));
    CHECK(has(page.out, "off the map"));
}

TEST_CASE("solve: '-' reads standard input and gives the same bytes") {
    const Folder folder;
    write_bytes(folder("case.json"), issue_case);
    const Ran from_file = run(folder, "solve case.json"), from_input = run(folder, "solve - <case.json");
    CHECK(from_input.code == 0);
    CHECK(from_input.out == from_file.out);
}

TEST_CASE("solve: --text is a page in the order of doing") {
    const Folder folder;
    write_bytes(folder("case.json"), issue_case);
    const Ran page = run(folder, "solve case.json --text");
    CHECK(page.code == 0);
    const std::size_t length = page.out.find("Length adjuster: "), collar = page.out.find("Collar: "),
                      spring = page.out.find("Set spring to "), rider = page.out.find("Rider "),
                      caution = page.out.find("not approval to ride");
    CHECK(length < collar);
    CHECK(collar < spring);
    CHECK(spring < rider);
    CHECK(rider < caution);
    CHECK(caution != std::string::npos);
    // 310.0 is 4 turns from 305 exactly; the preload of 6.064 lies 0.186 from ½ turn out and 0.189 from ¾.
    CHECK(has(page.out, "4 turns out, eye to eye 310.0"));
    CHECK(has(page.out, "½ turn out"));
}

TEST_CASE("solve: the demo's swap is answered and held") {
    const Folder folder;
    const Ran ran = run(folder, "solve '" RESTAND_SOURCE_DIR "/demo/swap.json'");
    CHECK(ran.code == 0);
    CHECK(json::parse(ran.out)["held"] == true);
}
