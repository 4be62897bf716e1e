// Case files with a top-out spring and with a progressive spring.

#include <cmath>

#include "tests/terminal/bike_case_kit.h"

using namespace restand::test;
using nlohmann::json;

namespace {

json case_with(const char* top_out) {
    json c = json::parse(issue_case);
    c["new_unit"]["eye_to_eye_mm"]["max"] = 330;
    c["new_unit"]["top_out_spring"] = json::parse(top_out);
    return c;
}

json solved(const Folder& folder, const json& c) {
    return restand::test::solved(folder, c.dump());
}

}  // namespace

// By hand (statics, no source needed), from solve_test.cpp: without top-out spring the answer is 310 mm, preload
// 6.063415 mm. A top-out spring of 80 N/mm over 12 mm pushes 960 N at most; gas and spring push 420 + 606 N, so
// the unit stands at its stop, and so it does as found. Only the static height is within its reach:
//   420 + 100·(6.063415 + x) − 80·(12 − x) = 1549.512195, x = 8.239837, 500 − 2.05·x = 483.108333
TEST_CASE("top-out spring: a weak one is pressed to its stop and moves the static height alone, as by hand") {
    const Folder folder;
    const json r = solved(folder, case_with(R"({ "rate_n_per_mm": 80, "reach_mm": 12 })"));
    const auto near = [&](const char* at, double by_hand) {
        CAPTURE(at);
        CHECK(std::fabs(r.at(json::json_pointer(at)).get<double>() - by_hand) < 1e-6);  // six digits by hand
    };
    near("/answer/eye_to_eye_mm", 310.0);
    near("/answer/preload_mm", 6.063415);
    near("/answer/eye_to_eye_turns", 4.0);
    near("/predicted/ride_height_mm/topped_out", 500.0);
    near("/predicted/ride_height_mm/static", 483.108333);
    near("/predicted/ride_height_mm/rider", 469.8);
}

// The same with 150 N/mm over 10 mm: 150·10 = 1500 N hold it x_t = 10 − 1026.341463/150 = 3.157724 mm off its
// stop. Read unloaded and past the reach nothing else differs: 310 mm, preload 6.063415 mm, installed
// 148.936585 mm. As found, preload 7 mm: 10 − 1120/150 = 2.533333 mm off it.
//   length adjuster  310 + 3.157724 − (305 + 2.533333) = 5.624391 mm, 4.499513 turns of 1.25 out
//   collar           148 + 2.533333 − (148.936585 + 3.157724) = −1.560976 mm, −1.040650 turns of 1.5
//   to block         148.936585 + 3.157724 − 66 − 72 = 14.094309 mm
TEST_CASE("top-out spring: a strong one keeps the answer that is read, and takes other turns, as by hand") {
    const Folder folder;
    const json r = solved(folder, case_with(R"({ "rate_n_per_mm": 150, "reach_mm": 10 })"));
    const auto near = [&](const char* at, double by_hand) {
        CAPTURE(at);
        CHECK(std::fabs(r.at(json::json_pointer(at)).get<double>() - by_hand) < 2e-6);  // six digits by hand
    };
    near("/answer/eye_to_eye_mm", 310.0);
    near("/answer/preload_mm", 6.063415);
    near("/answer/installed_length_mm", 148.936585);
    near("/answer/eye_to_eye_turns", 4.499513);
    near("/answer/collar_turns", -1.040650);
    near("/predicted/block_margin_mm", 14.094309);
    near("/predicted/ride_height_mm/topped_out", 500.0);
    near("/predicted/ride_height_mm/rider", 469.8);
    CHECK(r["held"] == true);
    // Half a step of each adjuster at the axle: 2.05·(1.25/8 + 1.5/8) = 0.70 mm.
    CHECK(std::fabs(r["detent"]["residual_mm"]["rider"].get<double>()) < 0.71);
}

// A fork of 45 deg to the ground is read along its tubes here, ratio 1; two legs of 9 N/mm. The old unit has a
// linear spring and no top-out spring: with rider it stands 40 mm in, 2·9·(20 + 40) = 1080 N, as read 60 mm
// below 700. New: top-out spring 100 N/mm over 15 mm, both legs of 10 N/mm.
//   read unloaded: 2·10·p_r = 100·(15 − x_t); with rider 2·10·(p_r + 40) = 1080, so p_r = 14, x_t = 12.2
//   position: the tube is as long as the other at the stop: the new one was read 700 at preload 20, 700 + 11 at
//   its stop. 711 − 12.2 − position = 690 as before, so the position is 8.8, not 10.
TEST_CASE("top-out spring: a fork's position in the yokes does not move with preload, as by hand") {
    const json c = json::parse(R"({ "restand_case": 1, "end": "front", "map": { "leverage": 1 },
      "baseline": { "unit": { "fork_position_mm": 10, "fork_length_mm": 700,
                    "spring": { "rate_n_per_mm": 9, "free_length_mm": 300, "installed_length_mm": 280 } },
                    "ride_height_mm": { "topped_out": 600, "rider": 560 } },
      "new_unit": { "fork_position_mm": { "now": 10, "min": 0, "max": 30 }, "fork_length_mm": 700, "travel_mm": 120,
                    "top_out_spring": { "rate_n_per_mm": 100, "reach_mm": 15 },
                    "spring": { "rate_n_per_mm": 10, "free_length_mm": 300, "installed_length_now_mm": 280 } } })");
    const Folder folder;
    const json r = solved(folder, c);
    CHECK(r["answer"]["preload_mm"].get<double>() == doctest::Approx(14.0).epsilon(1e-9));
    CHECK(r["answer"]["fork_position_mm"].get<double>() == doctest::Approx(8.8).epsilon(1e-9));
    CHECK(r["predicted"]["ride_height_mm"]["topped_out"].get<double>() == doctest::Approx(600).epsilon(1e-9));
}

// Progressive: 1200 N at 12 mm, then 120 N/mm. With gas 420: 2499.512195 − 420 = 2079.512195 N are at
// 12 + 879.512195/120 = 19.329268 mm; less 14.731707 mm of travel the preload is 4.597561 mm.
TEST_CASE("force table: preload works through it, as by hand; straight, it is the linear spring") {
    const Folder folder;
    json c = json::parse(issue_case);
    c["new_unit"]["spring"].erase("rate_n_per_mm");
    c["new_unit"]["spring"]["force_table"] = {{12, 1200}, {40, 4560}};
    const json r = solved(folder, c);
    CHECK(std::fabs(r["answer"]["preload_mm"].get<double>() - 4.597561) < 1e-6);
    // The wheel rate of the piece it stands on: 120/2.05².
    CHECK(std::fabs(r["predicted"]["wheel_rate_n_per_mm"].get<double>() - 28.554432) < 1e-6);
    c["new_unit"]["spring"]["force_table"] = {{0, 0}, {7, 700}, {30, 3000}};
    const json straight = solved(folder, c);
    CHECK(std::fabs(straight["answer"]["preload_mm"].get<double>() - 6.063415) < 1e-6);
}

TEST_CASE("top-out spring and force table: what is left out, doubled or impossible is named") {
    json c = case_with(R"({ "rate_n_per_mm": 80 })");
    CHECK(has(refused(c), "new_unit.top_out_spring.reach_mm"));
    c = case_with(R"({ "rate_n_per_mm": 0, "reach_mm": 12 })");
    CHECK(has(refused(c), "new_unit.top_out_spring.rate_n_per_mm"));
    c = case_with(R"({ "rate_n_per_mm": 80, "reach_mm": 66 })");
    CHECK(has(refused(c), "new_unit.top_out_spring.reach_mm contradicts travel_mm"));
    c = case_with(R"({ "rate_n_per_mm": 80, "reach_mm": 12 })");
    c["new_unit"]["spring"].erase("installed_length_now_mm");
    c["new_unit"]["spring"].erase("collar_mm_per_turn");
    CHECK(has(refused(c), "new_unit.spring.installed_length_now_mm"));
    c = json::parse(issue_case);
    c["new_unit"]["spring"]["force_table"] = {{12, 1200}, {40, 4560}};
    CHECK(has(refused(c), "new_unit.spring.force_table contradicts rate_n_per_mm"));
    c["new_unit"]["spring"].erase("rate_n_per_mm");
    c["new_unit"]["helper_spring"] = {{"rate_n_per_mm", 30}, {"free_length_mm", 30}};
    CHECK(has(refused(c), "new_unit.spring.force_table contradicts helper_spring"));
    c["new_unit"].erase("helper_spring");
    for (const json& bad :
         {json{{12, 1200}, {12, 1300}}, json{{12, 1200}, {20, 1200}}, json{{0, 100}, {20, 1200}}}) {
        c["new_unit"]["spring"]["force_table"] = bad;
        CHECK(has(refused(c), "new_unit.spring.force_table"));
    }
    c["new_unit"]["spring"]["force_table"] = json::array();
    CHECK(has(refused(c), "new_unit.spring.force_table"));
}

// Lengths are read unloaded, so a bike whose wheel and arm weigh nothing hangs where it hung without the top-out
// spring; with rider, past its reach, the shock is as long and pushes as hard. The wheel's weight draws it out.
TEST_CASE("top-out spring: the whole bike is read unloaded, and past the reach it stands the same") {
    const Folder folder;
    json c = demo_case();
    c.erase("new");
    c["targets"] = {{{"what", "rear_height"}, {"state", "topped_out"}, {"weight", 0}},
                    {{"what", "rear_height"}, {"state", "rider"}},
                    {{"what", "front_height"}, {"state", "topped_out"}, {"weight", 0}},
                    {{"what", "front_height"}, {"state", "rider"}},
                    {{"what", "stand_slack"}, {"weight", 0}},
                    {{"what", "rear_height"}, {"state", "static"}, {"weight", 0}}};
    c["adjusters"] = {{{"what", "shock_length"}, {"min", 300}, {"max", 330}},
                      {{"what", "fork_position"}, {"min", 0}, {"max", 12}}};
    const auto found = [&](bool weightless, bool top_out) {
        json now = c;
        if (weightless) {
            now["bike"]["masses"]["rear_wheel_kg"] = 0;
            now["bike"]["masses"]["arm"]["kg"] = 0;
            now["bike"]["masses"]["front_unsprung_kg"] = 0;
        }
        if (top_out) {
            now["bike"]["shock"]["top_out_spring"] = {{"rate_n_per_mm", 200}, {"reach_mm", 12}};
            now["bike"]["fork"]["top_out_spring"] = {{"rate_n_per_mm", 50}, {"reach_mm", 20}};
        }
        const Ran r = ran(folder, "solve", now);
        REQUIRE_MESSAGE(r.code == 0, (r.err + r.out));
        const json result = json::parse(r.out);
        std::vector<double> values;
        for (const json& target : result["targets"]) values.push_back(target["found"]);
        return values;
    };
    const auto plain = found(true, false), sprung = found(true, true);
    for (const std::size_t same : {0, 1, 2, 3, 4}) {
        CAPTURE(same);
        CHECK(std::fabs(sprung[same] - plain[same]) < 1e-6);
    }
    CHECK(sprung[5] < plain[5] - 0.5);  // without rider it is still in reach, and stands lower
    // The slack was read with the wheel hanging as it does, so the chain is another; the read slack stays.
    const auto drawn = found(false, true), stopped = found(false, false);
    CHECK(drawn[0] > stopped[0] + 1.0);
    CHECK(drawn[2] > stopped[2] + 1.0);
    CHECK(std::fabs(drawn[4] - 38) < 1e-6);
}
