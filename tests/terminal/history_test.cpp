// history, compare, way: a season of one bike, told by the real program.

#include <algorithm>

#include "tests/terminal/program.h"

using namespace restand;
using namespace restand::test;

namespace {

struct Season {
    Id bike, first, second;
};
BaselineValue value(End end, Point point, const std::string& text, Unit unit = Unit::mm) {
    return {end, {test::reading(point, text, unit), {}, {}, {1'760'000'000'000, 0}, {}, false}};
}
Season make_season(const std::string& path) {
    Store store = test::open(path);
    Season s;
    const Id person = got(store.append(encode(PersonBody{"Ines"}))).id;
    s.bike = got(store.append(encode(test::bike("No. 27"), {}, {}, person))).id;
    BaselineBody body;
    body.reason = "round one";
    body.values = {value(End::rear, Point::eye_to_eye, "310"),
                   value(End::rear, Point::ride_height_topped_out, "500"),
                   value(End::front, Point::clicks_rebound_low, "12", Unit::click),
                   value(End::rear, Point::spring_free_length, "160")};
    s.first = got(store.append(encode(body, s.bike, {}, person))).id;
    body.reason = "round two";
    body.based_on = s.first;
    body.values[2] = value(End::front, Point::clicks_rebound_low, "9", Unit::click);
    s.second = got(store.append(encode(body, s.bike, {}, person))).id;
    EventBody event;
    event.day = "2026-03-14";
    event.circuit = "Northfield";
    event.words = "pushes wide at the hairpin";
    got(store.append(encode(event, s.bike, {}, person)));
    ChangeBody change{"softer", {{End::front, test::reading(Point::clicks_rebound_low, "15", Unit::click)}}};
    got(store.append(encode(change, s.bike, {}, person)));
    return s;
}

}  // namespace

TEST_CASE("history: newest first, found by words") {
    const Folder folder;
    make_season(folder("w.restand"));
    const Ran all = run(folder, "history 'No. 27' --file w.restand");
    CHECK_MESSAGE(all.code == 0, all.err);
    CHECK(std::count(all.out.begin(), all.out.end(), '\n') == 4);
    CHECK(all.out.find("15 clicks") < all.out.find("Northfield"));
    CHECK(all.out.find("Northfield") < all.out.find("round two"));
    CHECK(all.out.find("round two") < all.out.find("round one"));
    const Ran some = run(folder, "history 'No. 27' --words 'hair wide' --file w.restand");
    CHECK(std::count(some.out.begin(), some.out.end(), '\n') == 1);
    CHECK(has(some.out, "Northfield"));
    CHECK(has(run(folder, "history 'No. 27' --words snow --file w.restand").out, "Nothing found"));
    const auto parsed = nlohmann::json::parse(run(folder, "history 'No. 27' --json --file w.restand").out);
    REQUIRE(parsed.size() == 4);
    CHECK(parsed[0]["kind"] == "change");
    CHECK(parsed[1]["body"]["circuit"] == "Northfield");
    CHECK(run(folder, "history 'No. 3' --file w.restand").code == 2);
}

TEST_CASE("compare: what differs between two baselines, and against now") {
    const Folder folder;
    const Season s = make_season(folder("w.restand"));
    const std::string both = to_text(s.first) + " " + to_text(s.second);
    const Ran ran = run(folder, "compare " + both + " --file w.restand");
    CHECK_MESSAGE(ran.code == 0, ran.err);
    CHECK(has(ran.out, "clicks rebound low"));
    CHECK(has(ran.out, "12 clicks"));
    CHECK(has(ran.out, "9 clicks"));
    CHECK_FALSE(has(ran.out, "eye to eye"));
    const auto parsed =
        nlohmann::json::parse(run(folder, "compare --json " + both + " --file w.restand").out);
    REQUIRE(parsed["changed"].size() == 1);
    CHECK(parsed["changed"][0]["what"] == "clicks_rebound_low");
    CHECK(parsed["changed"][0]["end"] == "front");
    CHECK(parsed["changed"][0]["change"] == -3);
    CHECK(parsed["same"].size() >= 3);
    const Ran now = run(folder, "compare " + to_text(s.second) + " 'now:No. 27' --file w.restand");
    CHECK(has(now.out, "15 clicks"));
    CHECK(run(folder, "compare " + to_text(s.first) + " --file w.restand").code == 2);
    CHECK(run(folder, "compare ffffffff " + to_text(s.first) + " --file w.restand").code == 2);
}

TEST_CASE("compare: a value that was typed with its unit says it once, as it was typed") {
    const Folder folder;
    Season two;
    {
        Store store = test::open(folder("w.restand"));
        const Id bike = got(store.append(encode(test::bike("No. 27")))).id;
        BaselineBody body;
        body.reason = "typed with units";
        body.values = {value(End::rear, Point::spring_rate, "95", Unit::n_per_mm),
                       value(End::rear, Point::spring_free_length, "6 1/2 in", Unit::inch),
                       value(End::rear, Point::gas_force, "40 lb", Unit::lbf)};
        two.first = got(store.append(encode(body, bike))).id;
        body.values = {value(End::rear, Point::spring_rate, "560 lb/in", Unit::lbf_per_in),
                       value(End::rear, Point::spring_free_length, "160,5", Unit::mm),
                       value(End::rear, Point::gas_force, "180", Unit::newton)};
        two.second = got(store.append(encode(body, bike))).id;
    }
    const Ran ran =
        run(folder, "compare " + to_text(two.first) + " " + to_text(two.second) + " --file w.restand");
    CHECK_MESSAGE(ran.code == 0, ran.err);
    for (const char* part :
         {"95 N/mm  ", "-> 560 lb/in  ", "6 1/2 in  ", "-> 160,5 mm  ", "40 lb  ", "-> 180 N  "})
        CHECK_MESSAGE(has(ran.out, part), ran.out);
    CHECK(has(run(folder, "show " + to_text(two.first) + " --file w.restand").out, "40 lb "));
    CHECK_FALSE(has(run(folder, "show " + to_text(two.first) + " --file w.restand").out, "lb lbf"));
}

TEST_CASE("way: what to do to stand as then") {
    const Folder folder;
    const Season s = make_season(folder("w.restand"));
    const Ran ran = run(folder, "way 'No. 27' " + to_text(s.first) + " --file w.restand");
    CHECK_MESSAGE((ran.code == 0 || ran.code == 3), ran.err);
    CHECK(has(ran.out, "back to No. 27, baseline of"));
    CHECK(has(ran.out, "3 clicks in"));  // from 15 to 12, counted out from closed
    const auto parsed = nlohmann::json::parse(
        run(folder, "way --json 'No. 27' " + to_text(s.first) + " --file w.restand").out);
    const auto& actions = parsed["actions"];
    const auto clicks =
        std::find_if(actions.begin(), actions.end(), [](const auto& a) { return a["do"] == "set_clicks"; });
    REQUIRE(clicks != actions.end());
    CHECK((*clicks)["clicks"] == -3);
    CHECK((*clicks)["to"]["text"] == "12");
    CHECK(run(folder, "way 'No. 27' ffffffff --file w.restand").code == 2);
    CHECK(run(folder, "way 'No. 27' --file w.restand").code == 2);
}
