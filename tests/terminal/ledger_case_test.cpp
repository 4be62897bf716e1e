// A bike of the workshop as a case file: out of one workshop, computed with, and into another.

#include <algorithm>
#include <cmath>
#include <regex>

#include "core/casefile/ledger_case.h"
#include "tests/terminal/program.h"

using namespace restand;
using namespace restand::test;
using nlohmann::json;

namespace {

json case_of(const Folder& folder, const std::string& bike) {
    const Ran ran = run(folder, "case '" + bike + "' --file w.restand");
    REQUIRE_MESSAGE(ran.code == 0, ran.err);
    return json::parse(ran.out);
}

json value(const char* end, const char* point, double mm) {
    return {{"end", end}, {"point", point}, {"value_mm", mm}};
}

void drop(json& c, const char* end, const char* point, const char* list = "set_up") {
    for (std::size_t i = 0; i < c[list].size(); ++i)
        if (c[list][i]["end"] == end && c[list][i]["point"] == point) c[list].erase(i--);
}

Ran with(const Folder& folder, const std::string& command, const json& c) {
    write_bytes(folder("case.json"), c.dump());
    return run(folder, command + " case.json");
}

}  // namespace

TEST_CASE("case: a bike goes to a file and into another workshop with every number, as typed") {
    const Folder folder;
    REQUIRE(run(folder, "--demo w.restand").code == 0);
    for (const char* bike : {"No. 8", "No. 27"}) {
        const json c = case_of(folder, bike);
        CHECK(c["restand_case"] == 2);
        CHECK(c["bike"]["name"] == bike);
        CHECK(c["set_up"].size() > 20);
        write_bytes(folder("bike.json"), c.dump());
        CHECK(has(run(folder, "check bike.json").out, "case of " + std::string(bike)));
        // Shown first, then written.
        CHECK(has(run(folder, "take bike.json --file other.restand").out, "nothing was written"));
        CHECK(!std::filesystem::exists(folder("other.restand")));
        REQUIRE(run(folder, "take bike.json --yes --file other.restand").code == 0);
        const Ran again = run(folder, "case '" + std::string(bike) + "' --file other.restand");
        REQUIRE(again.code == 0);
        CHECK((json::parse(again.out) == c));  // not decomposed: it would print both files
        std::filesystem::remove(folder("other.restand"));
    }
}

TEST_CASE("take: a bike of a name that is there gets a number behind it; the other stays as it is") {
    const Folder folder;
    REQUIRE(run(folder, "--demo w.restand").code == 0);
    write_bytes(folder("bike.json"), case_of(folder, "No. 8").dump());
    const Ran taken = run(folder, "take bike.json --yes --file w.restand");
    CHECK(has(taken.out, "No. 8 (2): taken"));
    const std::string bikes = run(folder, "bikes --file w.restand").out;
    CHECK(has(bikes, "No. 8 (2)"));
    CHECK(json::parse(run(folder, "case 'No. 8 (2)' --file w.restand").out)["set_up"] ==
          case_of(folder, "No. 8")["set_up"]);
}

TEST_CASE("case of the workshop: it stands at the heights that were read, without masses") {
    const Folder folder;
    REQUIRE(run(folder, "--demo w.restand").code == 0);
    const json c = case_of(folder, "No. 8");
    const Ran ran = with(folder, "stance", c);
    REQUIRE_MESSAGE(ran.code == 0, ran.err);
    const json stands = json::parse(ran.out);
    const auto read = [&](const char* end, const char* point) {
        for (const json& v : c["set_up"])
            if (v["end"] == end && v["point"] == point) {
                double sum = 0;
                for (const json& repeat : v["repeats"]) {
                    std::string text = repeat["text"];
                    std::replace(text.begin(), text.end(), ',', '.');
                    sum += std::stod(text);
                }
                return sum / static_cast<double>(v["repeats"].size());
            }
        FAIL(point);
        return 0.0;
    };
    const double ratio =
        c["bike"]["front"].contains("leverage")
            ? c["bike"]["front"]["leverage"].get<double>()
            : std::cos(c["bike"]["geometry"]["rake_deg"].get<double>() * 3.14159265358979 / 180);
    for (const auto& [who, height] :
         {std::pair{"bike_alone", "ride_height_static"}, {"with_rider", "ride_height_rider"}}) {
        const double sunk = read("front", "ride_height_topped_out") - read("front", height);
        CHECK(stands[who]["fork_travel_mm"].get<double>() == doctest::Approx(sunk / ratio).epsilon(1e-9));
        const double risen = read("rear", "ride_height_topped_out") - read("rear", height);
        CHECK(stands[who]["rear_travel_mm"].get<double>() == doctest::Approx(risen).epsilon(1e-6));
        CHECK(stands[who]["rear_load_n"].is_null());
        CHECK(stands[who]["mass_height_mm"].is_null());
    }
    const json at = stands["bike_alone"];
    CHECK(at["rake_deg"].get<double>() ==
          doctest::Approx(c["bike"]["geometry"]["rake_deg"].get<double>()).epsilon(0.01));
    CHECK(stands["squat"].is_null());
    for (const char* command : {"linkage", "chain", "stance --text", "linkage --text"})
        CHECK_MESSAGE(with(folder, command, c).code == 0, command);
}

TEST_CASE("case of the workshop: a swap of both ends at once is solved, and stands as before") {
    const Folder folder;
    REQUIRE(run(folder, "--demo w.restand").code == 0);
    json c = case_of(folder, "No. 8");
    c["new"] = {value("rear", "eye_to_eye", 312), value("front", "fork_position", 4)};
    c["new"].push_back({{"end", "rear"}, {"point", "spring_rate"}, {"value_n_per_mm", 92}});
    c["targets"] = json::array();
    for (const char* what : {"rear_height", "front_height"})
        for (const char* state : {"rider", "topped_out"})
            c["targets"].push_back(
                {{"what", what}, {"state", state}, {"must_hold", std::string(state) == "rider"}});
    c["targets"].push_back({{"what", "rake"}});
    c["adjusters"] = {{{"what", "shock_length"}, {"min", 295}, {"max", 330}},
                      {{"what", "shock_installed"}, {"min", 100}, {"max", 200}},
                      {{"what", "fork_position"}, {"min", 0}, {"max", 20}}};
    const Ran ran = with(folder, "solve", c);
    INFO(ran.err);
    REQUIRE_MESSAGE(ran.code == 0, ran.out);
    const json answer = json::parse(ran.out);
    for (const json& t : answer["targets"]) {
        INFO(t.dump());
        CHECK(std::fabs(t["setting"].get<double>() - t["value"].get<double>()) < 1e-6);
    }
}

TEST_CASE("case of the workshop: a fork length that only the new fork has moves nothing") {
    const Folder folder;
    REQUIRE(run(folder, "--demo w.restand").code == 0);
    json c = case_of(folder, "No. 8");
    for (const char* list : {"set_up", "described"})
        if (c.contains(list)) drop(c, "front", "fork_length", list);
    const Ran before = with(folder, "stance", c);
    REQUIRE_MESSAGE(before.code == 0, before.err);
    c["new"] = {value("front", "fork_length", 745)};
    const Ran after = with(folder, "stance", c);
    REQUIRE_MESSAGE(after.code == 0, after.err);
    const auto rake = [](const Ran& ran) {
        return json::parse(ran.out)["bike_alone"]["rake_deg"].get<double>();
    };
    CHECK(rake(after) == doctest::Approx(rake(before)).epsilon(1e-9));
}

TEST_CASE("case of the workshop: another tyre counts although the old one's circumference is known") {
    const Folder folder;
    REQUIRE(run(folder, "--demo w.restand").code == 0);
    json c = case_of(folder, "No. 8");
    const auto tyre = [](const char* marking) -> json {
        return {{"end", "rear"}, {"point", "tyre"}, {"repeats", {{{"text", marking}, {"unit", "1"}}}}};
    };
    for (const char* list : {"set_up", "described"}) {
        if (!c.contains(list)) continue;
        drop(c, "rear", "tyre", list);
        drop(c, "rear", "rolling_circumference", list);
        c[list].push_back(tyre("180/55-17"));
        c[list].push_back(value("rear", "rolling_circumference", 1950));
    }
    const auto pivot = [&] {
        const Ran ran = with(folder, "stance", c);
        REQUIRE_MESSAGE(ran.code == 0, ran.err);
        return json::parse(ran.out)["bike_alone"]["pivot_height_mm"].get<double>();
    };
    const double before = pivot();
    c["new"] = {tyre("180/55-17")};
    CHECK(pivot() == doctest::Approx(before).epsilon(1e-9));
    // 180·0.05 mm more radius (machine/tyre_size.h).
    c["new"] = {tyre("180/60-17")};
    CHECK(pivot() - before > 4);
    // Its own circumference counts, once it is known: 1950 + 2π·9 mm.
    const double by_marking = pivot();
    c["new"].push_back(value("rear", "rolling_circumference", 1950 + 2 * 3.14159265358979 * 9));
    CHECK(pivot() == doctest::Approx(by_marking).epsilon(1e-6));
}

TEST_CASE("case of the workshop: what is wrong is named by its place in the file") {
    const Folder folder;
    REQUIRE(run(folder, "--demo w.restand").code == 0);
    const json good = case_of(folder, "No. 8");
    const auto refused = [&](auto change, const std::string& command = "stance") {
        json c = good;
        change(c);
        const Ran ran = with(folder, command, c);
        CHECK(ran.code == 2);
        return ran.err;
    };
    CHECK(has(refused([&](json& c) { drop(c, "rear", "spring_rate"); }),
              "set_up (rear spring_rate) is missing"));
    CHECK(
        has(refused([](json& c) { c["bike"]["mechanism"].erase("linkage"); }), "bike (linkage) is missing"));
    CHECK(has(refused([](json& c) { c["bike"]["geometry"]["rak_deg"] = 24; }),
              "bike.geometry.rak_deg: unknown key"));
    // Keys behind one that states nothing.
    CHECK(has(refused([](json& c) {
                  c["bike"]["archived"] = false;
                  c["bike"]["geometry"]["rak_deg"] = 24;
              }),
              "bike.geometry.rak_deg: unknown key"));
    CHECK(has(refused([](json& c) {
                  c["set_up"][0]["a_note"] = "";
                  c["set_up"][0]["poind"] = "eye_to_eye";
              }),
              "set_up[1].poind: unknown key"));
    CHECK(has(refused([](json& c) { c["setup"] = json::array(); }), "setup: unknown key"));
    CHECK(has(refused([](json& c) { c["set_up"][0]["point"] = "eye_to_ear"; }), "set_up[1].point"));
    CHECK(has(refused([](json& c) { c["set_up"].push_back(c["set_up"][0]); }), "given twice"));
    CHECK(has(refused([](json& c) { c["set_up"] = 5; }), "set_up: expected a list"));
    CHECK(has(refused([](json& c) { c["set_up"][0]["repeats"][0]["text"] = "3oo"; }), "set_up[1]."));
    // The number beside the repeats says again what they say, or is refused.
    CHECK(has(refused([](json& c) { c["set_up"][0]["value_mm"] = 1; }), "set_up[1].value_mm"));
    CHECK(has(refused([](json& c) { c["restand_case"] = 3; }), "newer"));
    CHECK(has(refused([](json& c) { c.erase("bike"); }), "bike"));
    CHECK(has(refused([](json& c) { c["bike"]["geometry"]["swingarm_mm"] = -5; }),
              "bike.geometry.swingarm_mm: out of range; allowed: 200"));
    CHECK(has(refused([](json& c) { c["bike"]["front"]["leverage"] = 0; }), "out of range"));
    CHECK(has(refused([](json& c) { c["bike"]["geometry"] = 7; }), "bike.geometry"));
    CHECK(has(refused([](json& c) { c["note"] = 5; }, "check"), "note: expected a text"));
    // What a bike lacks for a computation does not keep it from being handed over.
    json bare = good;
    bare["bike"].erase("mechanism");
    CHECK(with(folder, "check", bare).code == 0);
    CHECK(with(folder, "take --yes --file other.restand", bare).code == 0);
}

TEST_CASE("case of the workshop: what a computation misses is named by its place in the file") {
    const Folder folder;
    REQUIRE(run(folder, "--demo w.restand").code == 0);
    const json good = case_of(folder, "No. 8");
    const auto without = [&](const char* command, auto change) {
        json c = good;
        if (!c.contains("described")) c["described"] = c["set_up"];
        change(c);
        const Ran ran = with(folder, command, c);
        CHECK(ran.code == 2);
        return ran.err;
    };
    const auto drop_in_both = [](json& c, const char* end, const char* point) {
        drop(c, end, point);
        drop(c, end, point, "described");
    };
    CHECK(has(without("linkage", [&](json& c) { drop_in_both(c, "rear", "travel"); }),
              "set_up (rear travel) is missing"));
    CHECK(has(without("chain", [&](json& c) { drop_in_both(c, "rear", "chain_links"); }),
              "set_up (rear chain_links) is missing"));
    CHECK(has(without("chain", [](json& c) { c["bike"]["mechanism"].erase("front_sprocket"); }),
              "bike (front_sprocket) is missing"));
    CHECK(has(without("chain",
                      [&](json& c) {
                          for (const char* list : {"set_up", "described"}) {
                              drop(c, "rear", "chain_links", list);
                              c[list].push_back({{"end", "rear"}, {"point", "chain_links"}, {"value", 90}});
                          }
                      }),
              "set_up (rear chain_links)"));
    CHECK(has(without("stance",
                      [](json& c) {
                          c["new"] = {{{"end", "rear"}, {"point", "chain_links"}, {"value", 210}}};
                      }),
              "new (rear chain_links)"));
    CHECK(has(without("chain", [&](json& c) { drop_in_both(c, "rear", "chain_slack"); }),
              "set_up (rear chain_slack) is missing"));
    CHECK(has(without("stance", [](json& c) { drop(c, "front", "ride_height_static", "described"); }),
              "described (front ride_height_static) is missing"));
    CHECK(has(without("solve",
                      [&](json& c) {
                          drop_in_both(c, "front", "ride_height_rider");
                          c["targets"] = {{{"what", "rake"}}};
                          c["adjusters"] = {{{"what", "fork_position"}, {"min", 0}, {"max", 20}}};
                      }),
              "set_up (ride_height_rider) is missing"));
}

TEST_CASE(
    "case of the workshop: the travel is shown even where heights by strut cannot be compared with it") {
    const Folder folder;
    REQUIRE(run(folder, "--demo w.restand").code == 0);
    json c = case_of(folder, "No. 8");
    const auto table = [&](const json& pairs) {
        c["bike"]["rear"]["pairs_mm"] = pairs;
        const Ran ran = with(folder, "linkage", c);
        REQUIRE_MESSAGE(ran.code == 0, ran.err);
        const json linkage = json::parse(ran.out);
        CHECK(linkage["rows"].size() > 5);
        return linkage["table"];
    };
    CHECK(table({{300, 480}, {310, 500}}).is_null());
    const json refused = table({{100, 300}, {300, 480}, {310, 500}});
    REQUIRE(refused.is_object());
    CHECK(has(refused["message"], "bike.rear.pairs_mm[1]"));
    const Ran page = with(folder, "linkage --text", c);
    CHECK(page.code == 0);
    CHECK(has(page.out, "bike.rear.pairs_mm[1]"));
}

TEST_CASE("check: a case that asks something is called whole once, after all of it is read") {
    const Folder folder;
    REQUIRE(run(folder, "--demo w.restand").code == 0);
    json c = case_of(folder, "No. 8");
    c["targets"] = {{{"what", "rake"}}};
    c["adjusters"] = {{{"what", "fork_position"}, {"min", 0}, {"max", 20}}};
    const std::string said = with(folder, "check", c).out;
    const auto whole = said.find("whole");
    CHECK(whole != std::string::npos);
    CHECK(said.find("whole", whole + 1) == std::string::npos);
    c["targets"][0]["what"] = "rakke";
    const Ran refused = with(folder, "check", c);
    CHECK(refused.code == 2);
    CHECK(!has(refused.out, "whole"));
    // A file that is not there is no table without its --bike.
    CHECK(has(run(folder, "take missing.json").err, "missing.json was not found"));
}
