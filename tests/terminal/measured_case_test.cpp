// A case whose bike was weighed on scales, or whose linkage was measured as a table, by the real program.

#include <doctest/doctest.h>

#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>

#include "core/casefile/bike_json.h"
#include "tests/terminal/bike_case_kit.h"
#include "tests/unit/on_scales.h"

using namespace restand;
using namespace restand::test;
using nlohmann::json;

namespace {

// The demo bike with scales in place of its frame's mass and place: by exact statics
// (tests/unit/on_scales.h).
json weighed_case(double shock = 310, double fork = 600) {
    json c = demo_case();
    const auto read = read_bike_case(c.dump());
    REQUIRE(read.has_value());
    const auto held = pose_at(*LinkageMap::of(read->before.linkage), mm(shock), mm(600 - fork));
    const OnScales on = put_on_scales(read->before, *held, mm(420));
    json& masses = c["bike"]["masses"];
    masses.erase("sprung");
    masses["scales"] = {{"rear_kg", in_kilogram(on.rear)},
                        {"front_kg", in_kilogram(on.front)},
                        {"front_lifted_kg", in_kilogram(on.front_lifted)},
                        {"lift_mm", in_mm(on.lift)}};
    if (shock != 310) masses["scales"]["eye_to_eye_mm"] = shock;
    if (fork != 600) masses["scales"]["fork_length_mm"] = fork;
    return c;
}

void same_numbers(const json& a, const json& b, const std::string& where) {
    CAPTURE(where);
    if (a.is_number()) {
        // Solved anew from a mass that is off by rounding.
        CHECK(b.get<double>() == doctest::Approx(a.get<double>()).epsilon(1e-6));
        return;
    }
    if (a.is_structured() && a.size() == b.size())
        for (auto x = a.begin(), y = b.begin(); x != a.end(); ++x, ++y)
            same_numbers(*x, *y, where + "/" + (a.is_object() ? x.key() : ""));
    else
        CHECK(a == b);
}

}  // namespace

TEST_CASE("scales: a bike weighed on them stands, and is swapped on, as with its masses known") {
    const Folder folder;
    const json plain = json::parse(ran(folder, "stance", demo_case()).out);
    CHECK(plain["scales"].is_null());
    for (const json& c : {weighed_case(), weighed_case(285, 560)}) {
        const Ran stands = ran(folder, "stance", c);
        REQUIRE_MESSAGE(stands.code == 0, stands.err);
        const json out = json::parse(stands.out);
        for (const char* key : {"bike_alone", "with_rider", "squat"}) same_numbers(plain[key], out[key], key);
        CHECK(out["scales"]["kg"].get<double>() == doctest::Approx(147 + 5.5 + 14.5 + 15));
        CHECK(out["scales"]["sprung"]["kg"].get<double>() == doctest::Approx(147));
        CHECK(out["scales"]["sprung"]["at_mm"][0].get<double>() == doctest::Approx(170));
        CHECK(out["scales"]["sprung"]["at_mm"][1].get<double>() == doctest::Approx(120));
        // "new" has another shock length: that was not on the scales, and the frame's mass stays where it
        // was.
        same_numbers(json::parse(ran(folder, "solve", demo_case()).out),
                     json::parse(ran(folder, "solve", c).out), "");
        const std::string page = ran(folder, "stance --text", c).out;
        CHECK(has(page, "On the scales: 182.0 kg"));
        CHECK(has(page, "the frame 147.0 kg at [170, 120]"));
    }
    // What "new" itself says of the frame's mass counts.
    json lighter = weighed_case();
    lighter["new"]["masses"]["sprung"]["kg"] = 140;
    const json light = json::parse(ran(folder, "stance", lighter).out);
    CHECK(light["with_rider"]["rear_load_n"].get<double>() +
              light["with_rider"]["front_load_n"].get<double>() ==
          doctest::Approx((140 + 5.5 + 14.5 + 15 + 83) * 9.80665));
    json weighed_since = demo_case();
    weighed_since["new"]["masses"]["scales"] = weighed_case()["bike"]["masses"]["scales"];
    CHECK(ran(folder, "stance", weighed_since).code == 0);
}

TEST_CASE("scales: wrong input is refused by its field") {
    const Folder folder;
    const auto refused = [&](auto change, const char* says) {
        json c = weighed_case();
        change(c["bike"]["masses"]);
        const Ran r = ran(folder, "stance", c);
        CAPTURE(r.err);
        CHECK(r.code == 2);
        CHECK(has(r.err, says));
        CHECK(r.out.empty());
    };
    const std::string at = "bike.masses.scales";
    refused(
        [](json& m) {
            m["sprung"] = {{"kg", 147}, {"at_mm", {170, 120}}};
        },
        "bike.masses.scales contradicts sprung");
    refused([](json& m) { m.erase("scales"); }, "bike.masses.sprung is missing");
    refused([](json& m) { m["scales"] = 5; }, "bike.masses.scales: expected");
    for (const char* key : {"rear_kg", "front_kg", "front_lifted_kg", "lift_mm"}) {
        const std::string path = at + "." + key;
        refused([&](json& m) { m["scales"].erase(key); }, (path + " is missing").c_str());
        refused([&](json& m) { m["scales"][key] = 0; }, (path + ": 0 is out of range").c_str());
        refused([&](json& m) { m["scales"][key] = "90"; }, path.c_str());
    }
    refused([](json& m) { m["scales"]["lift"] = 400; }, "bike.masses.scales.lift: unknown key");
    refused([](json& m) { m["scales"]["lift_mm"] = 1700; },
            "bike.masses.scales.lift_mm: 1700 is out of range; allowed: 0 < lift < 14");
    refused([](json& m) { m["scales"]["lift_mm"] = 42; }, "above the ground");
    refused([](json& m) { std::swap(m["scales"]["front_kg"], m["scales"]["front_lifted_kg"]); },
            "bike.masses.scales.front_lifted_kg contradicts front_kg");
    refused([](json& m) { m["rear_wheel_kg"] = 200; }, "nothing is left for the frame");
    refused([](json& m) { m["scales"]["eye_to_eye_mm"] = 320; },
            "bike.masses.scales.eye_to_eye_mm: topped out it is 310.0 mm");
    refused([](json& m) { m["scales"]["fork_length_mm"] = 470; },
            "bike.masses.scales.fork_length_mm: pushed all the way in it is 480.0 mm");
}

namespace {

// Rise of the axle at six unit lengths by the demo bike's own points, from a start of 40 mm.
json table_of(const json& c) {
    const auto read = read_bike_case(c.dump());
    REQUIRE(read.has_value());
    const auto map = LinkageMap::of(read->before.linkage);
    json pairs = json::array();
    for (double unit = 310; unit >= 250; unit -= 12)
        pairs.push_back({unit, 40 - in_mm(read->before.arm * sin(*map->droop_at(mm(unit))))});
    return pairs;
}

}  // namespace

TEST_CASE("linkage table: its own fits, moved points are found, a slip in the table says measure again") {
    const Folder folder;
    json c = demo_case();
    CHECK(json::parse(ran(folder, "linkage", c).out)["table"].is_null());
    c["bike"]["linkage_table"] = {{"pairs", table_of(c)}};
    const json own = json::parse(ran(folder, "linkage", c).out)["table"];
    CHECK(own["agreement"] == "agrees");
    CHECK(own["worst_mm"].get<double>() < 1e-9);
    CHECK(own["pairs"].size() == 6);

    json off = c;
    off["bike"]["linkage"]["pivot_to_rod_mm"] = 61;
    off["bike"]["linkage"]["unit_frame_mm"] = {-10.5, 178};
    const json found = json::parse(ran(folder, "linkage", off).out)["table"];
    CHECK(found["agreement"] == "points");
    CHECK(found["worst_mm"].get<double>() > 1.5);
    CHECK(found["best"]["worst_mm"].get<double>() < 0.3);
    CHECK(found["best"]["rms_mm"].get<double>() < found["rms_mm"].get<double>());
    CHECK(found["best"]["farthest_mm"].get<double>() < 3);
    const double lever = found["best"]["points"]["pivot_to_rod_mm"],
                 by = found["best"]["moved"]["pivot_to_rod_mm"];
    CHECK(lever == doctest::Approx(61 + by));
    // The points that fit best, typed in, fit as they promise.
    json fitted = off;
    for (const auto& [key, value] : found["best"]["points"].items())
        (key == "arm_mm" ? fitted["bike"][key] : fitted["bike"]["linkage"][key]) = value;
    CHECK(json::parse(ran(folder, "linkage", fitted).out)["table"]["worst_mm"].get<double>() ==
          doctest::Approx(found["best"]["worst_mm"].get<double>()));
    const std::string page = ran(folder, "linkage --text", off).out;
    CHECK(has(page, "Against the table: worst miss"));
    CHECK(has(page, "Points that fit best"));
    CHECK(has(page, "unit_frame_mm"));
    // The table of travel stays as it was.
    CHECK(ran(folder, "linkage --csv", off).out.starts_with("wheel_travel_mm,"));
    CHECK_FALSE(has(ran(folder, "linkage --csv", off).out, "miss"));

    json panel = c;
    panel["bike"]["linkage_table"]["pairs"][2][1] =
        panel["bike"]["linkage_table"]["pairs"][2][1].get<double>() + 10;
    CHECK(json::parse(ran(folder, "linkage", panel).out)["table"]["agreement"] == "contradict");
    CHECK(has(ran(folder, "linkage --text", panel).out, "MEASURE AGAIN"));
    // Read to 10 mm only, the same table is no contradiction.
    panel["bike"]["linkage_table"]["pair_u_mm"] = 10;
    CHECK(json::parse(ran(folder, "linkage", panel).out)["table"]["agreement"] == "agrees");
    // A linkage part in "new" is not the one the table was measured with.
    json swapped = c;
    swapped["new"]["linkage"]["rod_mm"] = 116;
    CHECK(json::parse(ran(folder, "linkage", swapped).out)["table"]["worst_mm"].get<double>() < 1e-9);
}

TEST_CASE("linkage table: wrong input is refused by its field") {
    const Folder folder;
    const json pairs = table_of(demo_case());
    const auto refused = [&](auto change, int code, const char* says) {
        json c = demo_case();
        c["bike"]["linkage_table"] = {{"pairs", pairs}};
        change(c["bike"]["linkage_table"]);
        const Ran r = ran(folder, "linkage", c);
        CAPTURE(r.err);
        CHECK(r.code == code);
        CHECK(has(code == 3 ? r.out : r.err, says));
        CHECK((code == 3 ? r.err : r.out).empty());
    };
    refused([](json& t) { t.erase("pairs"); }, 2, "bike.linkage_table.pairs is missing");
    refused([](json& t) { t["pairs"] = 3; }, 2, "bike.linkage_table.pairs: expected a list");
    refused([](json& t) { t["pairs"][1] = {300}; }, 2, "bike.linkage_table.pairs[2]: expected two numbers");
    refused([](json& t) { t["pairs"][1][1] = "x"; }, 2, "bike.linkage_table.pairs[2][2]");
    refused(
        [](json& t) {
            t["pairs"] = {{300, 1}, {290, 5}};
        },
        2, "bike.linkage_table.pairs: 2 pairs is out of range");
    refused(
        [](json& t) {
            t["pairs"] = {{300, 1}, {300, 2}, {300, 3}};
        },
        2, "all are at the same unit length");
    refused(
        [](json& t) {
            t["pairs"] = {{300, 40}, {290, 20}, {280, 1}};
        },
        2, "a shorter unit lifts the axle");
    refused([](json& t) { t["point_u_mm"] = 0; }, 2, "bike.linkage_table.point_u_mm: 0 is out of range");
    refused([](json& t) { t["pair_u_mm"] = -1; }, 2, "bike.linkage_table.pair_u_mm");
    refused([](json& t) { t["pair_mm"] = 1; }, 2, "bike.linkage_table.pair_mm: unknown key");
    refused(
        [](json& t) {
            t["pairs"].insert(t["pairs"].begin(), json{900, -500});
        },
        3, "bike.linkage_table.pairs[1]");
}
