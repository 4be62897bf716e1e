// A swap in a case of format 2: answered from whatever was read, as the app answers it.

#include <cmath>
#include <random>
#include <regex>

#include "app/sentences.h"
#include "core/casefile/ledger_swap.h"
#include "core/codec/body_json.h"
#include "platform/bike_file.h"
#include "platform/terminal/swap_result.h"
#include "tests/terminal/program.h"

using namespace restand;
using namespace restand::test;
using nlohmann::json;

namespace {

constexpr double exact = 1e-9;

json value(const char* end, const char* point, double number, const char* unit = "_mm") {
    return {{"end", end}, {"point", point}, {"value" + std::string(unit), number}};
}
json rear(const char* point, double number, const char* unit = "_mm") {
    return value("rear", point, number, unit);
}

// Two shocks alike, read with the usual instruments; ratio 2.05.
json alike() {
    const json spring = {rear("eye_to_eye", 310), rear("spring_rate", 95, "_n_per_mm"),
                         rear("spring_free_length", 160), rear("spring_installed_length", 150)};
    json before = spring, fresh = spring;
    for (const json& height : {rear("ride_height_topped_out", 500), rear("ride_height_static", 490),
                               rear("ride_height_rider", 466)})
        before.push_back(height);
    for (const json& adjuster :
         {rear("eye_to_eye_min", 300), rear("eye_to_eye_max", 320),
          rear("length_mm_per_turn", 1, "_mm_per_turn"), rear("collar_mm_per_turn", 1.5, "_mm_per_turn")})
        fresh.push_back(adjuster);
    return {{"restand_case", 2},
            {"bike", {{"name", "No. 27"}, {"rear", {{"leverage", 2.05}}}}},
            {"swap", {{"parts", {"shock"}}, {"before", before}, {"new_part", fresh}}}};
}

void drop(json& list, const std::string& point) {
    for (std::size_t i = 0; i < list.size(); ++i)
        if (list[i]["point"] == point) list.erase(i--);
}

void set_and_checked(json& c, double static_, double rider) {
    c["swap"]["set"] = {rear("eye_to_eye", 310), rear("spring_installed_length", 150)};
    c["swap"]["check"] = {rear("ride_height_topped_out", 500), rear("ride_height_static", static_),
                          rear("ride_height_rider", rider)};
}

template <class Change>
std::string refused_with(Change change) {
    json c = alike();
    change(c);
    return refused(c);
}

}  // namespace

TEST_CASE("swap case: shocks alike, gas read on the old one only: leave it, and read the gas first") {
    const Folder folder;
    json c = alike();
    c["swap"]["before"].push_back(rear("gas_force", 250, "_n"));
    const json r = solved(folder, c.dump());
    CHECK(r["held"] == true);
    CHECK(r["verdict"].is_null());
    REQUIRE(r["ends"].size() == 1);
    const json& end = r["ends"][0];
    CHECK(end["end"] == "rear");
    const json& set = end["detent"]["answer"];
    CHECK(std::fabs(set["eye_to_eye_turns"].get<double>()) < exact);
    CHECK(std::fabs(set["collar_turns"].get<double>()) < exact);
    CHECK(std::fabs(set["installed_length_mm"].get<double>() - 150) < exact);
    REQUIRE(end["assumed"].size() == 1);
    CHECK(end["assumed"][0]["what"] == "new_part.gas_force_n");
    CHECK(end["assumed"][0]["value"] == 250.0);
    CHECK(end["assumed"][0]["because"] == "not_given");
    CHECK(end["assumed"][0]["plus_minus"].get<double>() == doctest::Approx(225));
    CHECK(end["assumed"][0]["beside"] == "before.gas_force_n");
    // A damper without gas would stand lower by 2.05·250/95 = 5.395 mm (statics, no source needed).
    const json& rider = end["uncertainty"]["residual_mm"]["rider"];
    CHECK(rider["expanded_95"].get<double>() > 2.05 * 250 / 95);
    CHECK(rider["from"][0]["field"] == "new_part.gas_force_n");
    CHECK(rider["from"][0]["origin"] == "assumed");
    // Of the gas alone 225/√3·2.05/95 (rectangular).
    const double u = rider["standard"].get<double>(), share = rider["from"][0]["share"].get<double>();
    CHECK(u * std::sqrt(share) == doctest::Approx(225 / std::sqrt(3) * 2.05 / 95).epsilon(1e-6));
    const Ran page = run(folder, "solve case.json --text");
    CHECK(page.code == 0);
    CHECK(has(page.out, "new_part.gas_force_n: 250.0 ± 225.0"));
    CHECK(has(page.out, "Length adjuster: leave as it is"));
    CHECK(has(page.out, "Collar: leave as it is"));
    CHECK(has(run(folder, "check case.json").out, "case of a swap on No. 27, 16 readings, whole"));
}

TEST_CASE("swap case: format 1 takes a gas force that is left out as none, format 2 as unknown") {
    const Folder folder;
    json one = json::parse(issue_case);
    one["baseline"]["unit"].erase("gas_force_n");
    one["new_unit"].erase("gas_force_n");
    CHECK(solved(folder, one.dump())["assumed"][0]["value"] == 0.0);
    const json end = solved(folder, alike().dump())["ends"][0];
    REQUIRE(end["assumed"].size() == 2);
    for (const json& gas : end["assumed"]) {
        CHECK(gas["value"] == 225.0);  // core/ledger/swap_inputs.h: from none to 450 N
        CHECK(gas["plus_minus"].get<double>() == doctest::Approx(225));
    }
}

TEST_CASE("swap case: what the set-up has need not be read again, and its heights become sags") {
    const Folder folder;
    json c = alike();
    c["swap"]["before"] = {rear("ride_height_rider", 470)};
    c["set_up"] = alike()["swap"]["before"];
    const json end = solved(folder, c.dump())["ends"][0];
    // 34 mm of rider sag and 10 of free sag, under today's mark.
    CHECK(end["before"]["ride_height_mm"]["topped_out"] == doctest::Approx(504));
    CHECK(end["before"]["ride_height_mm"]["static"] == doctest::Approx(494));
    for (const json& from : end["uncertainty"]["eye_to_eye_mm"]["from"]) CHECK(from["origin"] == "carried");
    // A height that was computed is none.
    for (json& v : c["set_up"])
        if (v["point"] == "ride_height_topped_out") v["where"] = "computed";
    const json less = solved(folder, c.dump())["ends"][0];
    CHECK(less["before"]["ride_height_mm"]["topped_out"].is_null());
    CHECK(less["before"]["rider_sag_mm"].is_null());
    CHECK(less["residual_mm"]["topped_out"].is_number());
}

TEST_CASE("swap case: of what nobody read no number is printed, and the example of the reference is solved") {
    const Folder folder;
    const std::string page = run(folder, "help case").out;
    const std::size_t from = page.find("{ \"restand_case\": 2,");
    REQUIRE(from != std::string::npos);
    const std::string example = page.substr(from, page.find("```", from) - from);
    const json end = solved(folder, example)["ends"][0];
    CHECK(end["before"]["ride_height_mm"]["static"].is_null());
    CHECK(end["predicted"]["ride_height_mm"]["static"].is_null());
    CHECK(end["predicted"]["free_sag_mm"].is_null());
    CHECK(end["predicted"]["ride_height_mm"]["rider"] == doctest::Approx(466));
    CHECK(end["answer"]["eye_to_eye_mm"].is_null());
    CHECK(end["answer"]["installed_length_mm"].is_null());
    // By hand: 95·(10 + x) = 100·(p + x) at x = 34/2.05.
    CHECK(end["answer"]["preload_mm"] == doctest::Approx(0.95 * (10 + 34 / 2.05) - 34 / 2.05));
    const Ran text = run(folder, "solve case.json --text");
    CHECK(has(text.out, "Set spring to a preload of"));
    CHECK(!has(text.out, "Eye to eye"));
    // No height at all: what becomes of them is told.
    json c = alike();
    for (const char* point : {"ride_height_topped_out", "ride_height_static", "ride_height_rider"})
        drop(c["swap"]["before"], point);
    const json none = solved(folder, c.dump())["ends"][0];
    for (const auto& [state, height] : none["predicted"]["ride_height_mm"].items()) {
        CHECK(height.is_null());
        CHECK(none["residual_mm"][state].is_number());
    }
    CHECK(has(run(folder, "solve case.json --text").out, "not read"));
}

namespace {
// Each height read four times, the bike settled anew: read once, no verdict at 2 mm is possible.
json read_often(json c) {
    for (const char* step : {"before", "check"})
        for (json& v : c["swap"][step]) {
            if (!v["point"].get<std::string>().starts_with("ride_height") || !v.contains("value_mm"))
                continue;
            const std::string text = restand::print_fixed(v["value_mm"].get<double>(), 4);
            v["repeats"] = json::array();
            for (int i = 0; i < 4; ++i) v["repeats"].push_back({{"text", text}, {"unit", "mm"}});
            v["settled_anew"] = true;
            v.erase("value_mm");
        }
    return c;
}
}  // namespace

TEST_CASE("swap case: set and checked it has a verdict, and where turns help the correction") {
    const Folder folder;
    json c = alike();
    set_and_checked(c, 490, 466);
    json r = solved(folder, read_often(c).dump());
    CHECK(r["verdict"] == "restored");
    CHECK(r["ends"][0]["check"]["verdict"] == "restored");
    CHECK(r["ends"][0]["correction"].is_null());
    CHECK(r["ends"][0]["as_set"]["ride_height_mm"]["rider"] == doctest::Approx(466));
    // 6.15 mm low at 2.05, so 3 mm of preload, 2 turns in.
    set_and_checked(c, 490 - 6.15, 466 - 6.15);
    r = solved(folder, read_often(c).dump(), 3);
    CHECK(r["held"] == true);
    CHECK(r["verdict"] == "not_restored");
    CHECK(r["ends"][0]["check"]["turns_help"] == true);
    CHECK(r["ends"][0]["correction"]["answer"]["collar_turns"] == doctest::Approx(2));
    CHECK(has(run(folder, "solve case.json --text").out, "Collar: 2 turns in"));
    // Static is back, the rider's height is not: no turns.
    set_and_checked(c, 490, 460);
    r = solved(folder, read_often(c).dump(), 3);
    CHECK(r["ends"][0]["check"]["alone"] == "rider");
    CHECK(r["ends"][0]["check"]["turns_help"] == false);
    CHECK(r["ends"][0]["correction"].is_null());
    CHECK(has(run(folder, "solve case.json --text").out, "no setting does that"));
    // With the rider 8 kg heavier it is where it should be: 8·9.80665·0.6·2.05²/95 mm lower.
    set_and_checked(c, 490, 466 - 8 * 9.80665 * 0.6 * 2.05 * 2.05 / 95);
    c["swap"]["before"].push_back(rear("rider_mass", 76, "_kg"));
    c["swap"]["check"].push_back(value("front", "rider_mass", 84, "_kg"));  // of the whole bike
    r = solved(folder, read_often(c).dump());
    CHECK(r["verdict"] == "restored");
    CHECK(r["ends"][0]["check"]["load"]["rider_kg"] == doctest::Approx(8));
    // The damper 50 K warmer, a rod of 14 mm: 0.1706·(250 + 15.6) N more gas, at 20 °C before (Gay-Lussac).
    const double gas = 50 / 293.15 * (250 + 0.101325 * 49 * 3.14159265358979);
    set_and_checked(c, 490 + gas * 2.05 / 95, 466 + gas * 2.05 / 95);
    c["swap"]["before"].push_back(rear("gas_force", 250, "_n"));
    c["swap"]["before"].push_back(rear("damper_temperature", 20, "_c"));
    c["swap"]["new_part"].push_back(rear("gas_force", 250, "_n"));
    c["swap"]["check"].push_back(rear("damper_temperature", 70, "_c"));
    r = solved(folder, read_often(c).dump());
    CHECK(r["ends"][0]["check"]["load"]["damper_c"] == 70);
    const json& warm = r["ends"][0]["check"]["heights"][2];
    CHECK(warm["to_be_mm"].get<double>() == doctest::Approx(466 + gas * 2.05 / 95).epsilon(1e-6));
    // Checked, but what was set is not said.
    c["swap"].erase("set");
    r = solved(folder, read_often(c).dump());
    CHECK(r["verdict"].is_null());
    CHECK(has(r["ends"][0]["check"]["message"], "swap.set (rear eye_to_eye) is missing"));
}

TEST_CASE("swap case: what is wrong is named by its place in the file") {
    const auto push = [](const char* list, json v) {
        return [list, v](json& c) { c["swap"][list].push_back(v); };
    };
    CHECK(has(refused_with([](json& c) { c["swap"].erase("parts"); }), "swap.parts is missing"));
    CHECK(has(refused_with([](json& c) { c["swap"]["parts"] = json::array(); }), "swap.parts is missing"));
    CHECK(has(refused_with([](json& c) { c["swap"]["parts"] = {"shook"}; }),
              "swap.parts[1]: out of range; allowed: shock"));
    CHECK(has(refused_with([](json& c) {
                  c["swap"]["parts"] = {"shock", "shock"};
              }),
              "swap.parts[2] is given twice"));
    CHECK(has(refused_with([](json& c) { c["swap"]["parts"] = "shock"; }), "swap.parts: expected a list"));
    CHECK(
        has(refused_with([](json& c) { c["swap"]["checks"] = json::array(); }), "swap.checks: unknown key"));
    CHECK(has(refused_with([](json& c) { c["swap"] = 7; }), "swap: expected"));
    CHECK(has(refused_with(push("before", rear("eye_to_eye", 311))), "swap.before[8] is given twice"));
    CHECK(has(refused_with(push("before", rear("eye_to_ear", 311))), "swap.before[8].point"));
    CHECK(has(refused_with(push("before", rear("gas_force", 100))), "swap.before[8]"));
    CHECK(has(refused_with([](json& c) { c["swap"]["before"][0]["value_mn"] = 1; }),
              "swap.before[1].value_mn: unknown key"));
    CHECK(has(refused_with([](json& c) { c["swap"]["before"][0]["value_mm"] = -5; }), "swap.before[1]."));
    // A reading of the wrong step or end would count for nothing.
    CHECK(has(refused_with(push("set", rear("gas_force", 100, "_n"))), "swap.set[1] contradicts swap.parts"));
    CHECK(has(refused_with(push("before", value("front", "spring_rate", 9, "_n_per_mm"))),
              "swap.before[8] contradicts swap.parts"));
    CHECK(has(refused_with([](json& c) { c["targets"] = json::array(); }), "swap contradicts targets"));
    CHECK(has(refused_with([](json& c) { c["bike"]["geometry"]["swingarm_mm"] = 5; }),
              "bike.geometry.swingarm_mm: out of range"));
    CHECK(has(refused_with([](json& c) { c["bike"]["rear"]["leverage"] = 20; }), "bike.rear.leverage"));
    CHECK(has(refused_with([](json& c) { c["bike"]["rear"].erase("leverage"); }),
              "bike.rear.leverage is missing"));
    CHECK(has(refused_with([](json& c) {
                  for (const char* list : {"before", "new_part"}) drop(c["swap"][list], "eye_to_eye");
              }),
              "swap.before (rear eye_to_eye) is missing"));
    CHECK(has(refused_with([](json& c) {
                  for (json& v : c["swap"]["before"])
                      if (v["point"] == "ride_height_rider") v["value_mm"] = 495;
              }),
              "swap.before (rear ride_height_rider)"));
    CHECK(has(refused_with([](json& c) {
                  c["swap"]["parts"] = {"shock", "chain"};
              }),
              "bike (front_sprocket) is missing"));
    // What no command but `solve` reads is strict in all of them, and a bike is taken without its swap.
    const Folder folder;
    json c = alike();
    c["swap"]["parts"] = {"shook"};
    write_bytes(folder("case.json"), c.dump());
    for (const char* command : {"check", "take", "stance"})
        CHECK(run(folder, command + std::string(" case.json")).code == 2);
    write_bytes(folder("case.json"), alike().dump());
    CHECK(run(folder, "take case.json --yes --file w.restand").code == 0);
    CHECK(run(folder, "solve case.json --csv").code == 2);
}

TEST_CASE("swap case: every part and every key of the result is named in the reference") {
    const Folder folder;
    json c = alike();
    set_and_checked(c, 480, 456);
    const std::string page = run(folder, "help case").out;
    const auto named = [&](const std::string& key) {
        return std::regex_search(page, std::regex("(^|[^a-z0-9_])" + key + "($|[^a-z0-9_])"));
    };
    for (int i = 0; i < swap_part_count; ++i) CHECK(named(std::string(key(static_cast<SwapPart>(i)))));
    std::size_t keys = 0;
    const auto walk = [&](const auto& self, const json& node) -> void {
        for (const auto& one : node.items()) {
            const std::string& key = one.key();
            const json& member = one.value();
            if (node.is_object()) {
                INFO(key);
                CHECK(named(key));
                ++keys;
            }
            if (member.is_structured()) self(self, member);
        }
    };
    walk(walk, solved(folder, c.dump(), 3));
    CHECK(keys > 150);
}

TEST_CASE("swap case: spoiled cases are each refused with a place or answered") {
    json c = alike();
    set_and_checked(c, 480, 456);
    const std::string whole = c.dump();
    std::mt19937_64 draw(31);
    int answered = 0, refused_ = 0;
    for (int i = 0; i < 2'000; ++i) {
        std::string text = whole;
        const std::size_t digit =
            std::min(text.find_first_of("0123456789", draw() % text.size()), text.size() - 1);
        if (i % 2)
            text.replace(digit, 1 + draw() % 3, std::to_string(draw() % 400));
        else
            text.erase(draw() % text.size(), 1 + draw() % 6);
        CAPTURE(text);
        const auto read = read_ledger_swap(text);
        const auto result = read ? restand::solved(*read) : read.error();
        if (!result) {
            ++refused_;
            CHECK(!result.error().subject.empty());
            CHECK(result.error().subject.find("new_unit") == std::string::npos);
            CHECK(result.error().subject.find("baseline.") == std::string::npos);
            CHECK(!sentence(result.error()).empty());
            continue;
        }
        ++answered;
        CHECK(json::accept(swap_json(**result)));
        CHECK(!swap_page(**result).empty());
    }
    CHECK(answered > 300);
    CHECK(refused_ > 300);
}
