// jobs, ready: what is to be done on a bike and what speaks against taking it out, told by the real program.

#include "tests/terminal/program.h"

using namespace restand;
using namespace restand::test;

namespace {

// A bike with a baseline, a job that waits for another, one that is done, and an escape sequence in a name.
void make(const std::string& path) {
    Store store = test::open(path);
    const Id person = got(store.append(encode(PersonBody{"Ines"}))).id;
    const Id bike = got(store.append(encode(test::bike("No. 27"), {}, {}, person))).id;
    BaselineBody body;
    body.judged = Judged::not_restored;
    for (const End end : {End::rear, End::front})
        body.values.push_back(
            {end,
             {test::reading(Point::ride_height_rider, "500"), {}, {}, {4'000'000'000'000, 0}, {}, false}});
    got(store.append(encode(body, bike, {}, person)));
    JobBody drain{.what = "drain the tank", .minutes_planned = 20.0};
    const Id first = got(store.append(encode(drain, bike, {}, person))).id;
    JobBody tank{
        .what = "change the tank", .before = Milestone::start_up, .blocked_by = {first}, .who = person};
    got(store.append(encode(tank, bike, {}, person)));
    JobBody done{.what = "lead the hose", .done = true};
    got(store.append(encode(done, bike, {}, person)));
    JobBody late{.what = "polish \033[31mit"};
    got(store.append(encode(late, bike, {}, person)));
}

}  // namespace

TEST_CASE(
    "jobs: first what is needed first, with who and what it waits for; nothing a terminal would act on") {
    const Folder folder;
    make(folder("w.restand"));
    const Ran by_name = run(folder, "jobs 'No. 27' --file w.restand");
    CHECK_MESSAGE(by_name.code == 0, by_name.err);
    CHECK(by_name.out.find("drain the tank") < by_name.out.find("change the tank"));
    CHECK(by_name.out.find("change the tank") < by_name.out.find("polish"));
    CHECK(has(by_name.out, "before start-up"));
    CHECK(has(by_name.out, "[after: drain the tank]"));
    CHECK_FALSE(has(by_name.out, "lead the hose"));
    CHECK_FALSE(has(by_name.out, "\033"));

    const auto json = nlohmann::json::parse(run(folder, "jobs 'No. 27' --json --file w.restand").out);
    REQUIRE(json["open"].size() == 3);
    REQUIRE(json["closed"].size() == 1);
    CHECK(json["open"][0]["needed"] == "start_up");  // for the sake of the one that waits for it
    CHECK(json["open"][0]["before"].is_null());
    CHECK(json["open"][0]["planned_min"] == 20.0);
    CHECK(json["open"][1]["blocked_by"][0] == json["open"][0]["id"]);
    CHECK(json["open"][1]["can_begin"] == false);
    CHECK(json["open"][1]["who"] == "Ines");
    CHECK(json["open"][2]["what"] == "polish \033[31mit");
}

TEST_CASE("ready: what speaks against it for what the bike is got ready for, and 3 where something does") {
    const Folder folder;
    make(folder("w.restand"));
    const Ran start = run(folder, "ready 'No. 27' --before start_up --file w.restand");
    CHECK(start.code == 3);
    CHECK(has(start.out, "drain the tank"));
    CHECK_FALSE(has(start.out, "without being found restored"));
    CHECK(has(start.out, "The licensed person and the event's rules decide."));
    const auto json = nlohmann::json::parse(run(folder, "ready 'No. 27' --json --file w.restand").out);
    CHECK(json["before"] == "shakedown");
    REQUIRE_MESSAGE(json["items"].size() == 3, json.dump(1));
    CHECK(json["items"][2]["rule"] == "not_verified");
    CHECK(json["items"][1]["put_right"] == "after: drain the tank");
    const Ran wrong = run(folder, "ready 'No. 27' --before lunch --file w.restand");
    CHECK(wrong.code == 2);
    CHECK(has(wrong.err, "scrutineering"));
}
