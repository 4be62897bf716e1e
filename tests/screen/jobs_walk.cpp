// Jobs and 'May it go out?' by taps: a job from any page in three taps and its words; each item leads to where it
// is put right, and is gone then.

#include <fmt/format.h>

#include <algorithm>

#include "app/views/job_wording.h"
#include "core/ledger/readiness.h"
#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

const Job* newest_job(Driver& driver) {
    const auto jobs = driver.state().ledger.jobs(driver.state().bike);
    return jobs.empty() ? nullptr : jobs.back();
}

std::vector<std::string> first_cells(Driver& driver) {
    std::vector<std::string> cells;
    for (const PageTable::Line& line : driver.page().table->lines)
        if (line.cells.size() > 1) cells.push_back(line.cells[0]);
    return cells;
}

// The line on 'May it go out?' about this rule; "" if there is none.
std::string item_of(Driver& driver, ReadyRule rule) {
    for (const PageTable::Line& line : driver.page().table->lines)
        if (line.id.starts_with("item:") && line.id.ends_with(":" + std::string(restand::key(rule))))
            return line.id;
    return "";
}

std::size_t item_count(Driver& driver) {
    const auto& lines = driver.page().table->lines;
    return static_cast<std::size_t>(
        std::count_if(lines.begin(), lines.end(),
                      [](const PageTable::Line& line) { return line.id.starts_with("item:"); }));
}

bool lists(Driver& driver, const std::string& text) {
    const auto& lines = driver.page().table->lines;
    return std::any_of(lines.begin(), lines.end(),
                       [&](const PageTable::Line& line) { return line.cells[0] == text; });
}

void look_at(Driver& driver, Milestone milestone) {
    go(driver, act::Go{Screen::ready, driver.state().bike});
    driver.tap("for:" + std::string(key(milestone)));
}

}  // namespace

TEST_CASE("jobs: from any page of a bike a job takes two taps and its words, and one leads back") {
    DemoHand driver;
    for (const Action& page :
         {Action(act::Go{Screen::bike, driver.state().bike}),
          Action(act::Go{Screen::history, driver.state().bike}), Action(act::ShowChain{driver.state().bike}),
          Action(act::StartChange{driver.state().bike})}) {
        go(driver, page);
        const Screen from = driver.state().screen;
        const std::size_t before = driver.state().ledger.jobs(driver.state().bike).size();
        const int taps = driver.taps();
        driver.tap("title:job");
        REQUIRE(driver.state().pad.has_value());
        driver.session().act(act::PadText{"The hose rubs here"});
        driver.look();
        driver.tap("primary");
        CHECK(driver.taps() - taps == 2);
        CHECK(driver.state().ledger.jobs(driver.state().bike).size() == before + 1);
        REQUIRE(newest_job(driver));
        CHECK(newest_job(driver)->body.what == "The hose rubs here");
        CHECK(driver.state().screen == Screen::job);
        driver.tap("title:back");
        CHECK(driver.state().screen == from);
    }
    // Closed and opened again, all of them are there.
    const auto count = driver.state().ledger.jobs(driver.state().bike).size();
    const Id bike = driver.state().bike;
    driver.start();
    CHECK(driver.state().ledger.jobs(bike).size() == count);
}

TEST_CASE("jobs: what is typed of a job is stored field by field; Undo takes the last one back") {
    for (const Viewport& viewport : walk_viewports) {
        Driver driver(viewport);
        begin_bike(driver);
        driver.tap("jobs");
        CHECK(driver.shows("Nothing is to be done on this bike."));
        driver.tap("primary");
        driver.keys("change the tank");
        driver.tap("primary");
        driver.tap("before:start_up");
        driver.tap("row:job:planned");
        driver.keys("45");
        driver.tap("primary");
        driver.tap("row:job:part");
        driver.keys("tank seal");
        driver.tap("primary");
        driver.tap("who:" + to_text(driver.state().who));
        const JobBody& body = newest_job(driver)->body;
        CHECK(body.what == "Change the tank");
        CHECK(body.before == Milestone::start_up);
        CHECK(body.minutes_planned == 45.0);
        CHECK(body.part == "Tank seal");
        CHECK(body.who == driver.state().who);
        go(driver, act::Undo{});
        CHECK(newest_job(driver)->body.who.nil());
        CHECK(newest_job(driver)->body.part == "Tank seal");
        // One that must be done first stands before it, though it waits for no milestone of its own.
        const Id tank = newest_job(driver)->id;
        driver.tap("title:job");
        driver.keys("drain it");
        driver.tap("primary");
        const Id drain = newest_job(driver)->id;
        go(driver, act::OpenJob{tank});
        driver.tap("first:" + to_text(drain));
        go(driver, act::Go{Screen::jobs, driver.state().bike});
        CHECK(first_cells(driver) == std::vector<std::string>{"Drain it", "Change the tank"});
        // The other way round is not offered.
        driver.tap("job:" + to_text(drain));
        CHECK(says(driver, "Needed before start-up: another job waits for it."));
        for (const Row& row : driver.page().panel.rows)
            if (const auto* key = std::get_if<row::Button>(&row)) CHECK(key->id != "first:" + to_text(tank));
        driver.tap("done");
        CHECK(newest_job(driver)->body.done);
        driver.tap("again");
        CHECK_FALSE(newest_job(driver)->body.done);
        driver.tap("done");
        go(driver, act::Go{Screen::jobs, driver.state().bike});
        CHECK(first_cells(driver) == std::vector<std::string>{"Change the tank"});
        driver.tap("jobs:all");
        CHECK(first_cells(driver) == std::vector<std::string>{"Change the tank", "Drain it"});
    }
}

TEST_CASE("jobs: words half typed are there after a start, on the page where they were typed") {
    DemoHand driver;
    driver.tap("title:job");
    driver.session().act(act::PadText{"The hose ru"});
    driver.look();
    driver.start();
    CHECK(driver.state().screen == Screen::job);
    REQUIRE(driver.state().pad.has_value());
    CHECK(driver.state().pad->entry == "The hose ru");
    driver.session().act(act::PadText{"bs"});
    driver.look();
    driver.tap("primary");
    CHECK(newest_job(driver)->body.what == "The hose rubs");
}

TEST_CASE("ready: each thing leads to where it is put right; done there, it is gone") {
    DemoHand driver;
    set_swap_aside(driver);
    // A job, done from the list.
    driver.tap("title:job");
    driver.session().act(act::PadText{"Wire the fan"});
    driver.look();
    driver.tap("primary");
    driver.tap("before:dyno");
    const Id fan = newest_job(driver)->id;
    look_at(driver, Milestone::start_up);
    CHECK_FALSE(lists(driver, "Wire the fan"));
    look_at(driver, Milestone::dyno);
    REQUIRE(lists(driver, "Wire the fan"));
    for (const PageTable::Line& line : driver.page().table->lines)
        if (line.cells[0] == "Wire the fan") {
            driver.tap(std::string(line.id));
            break;
        }
    REQUIRE(driver.state().screen == Screen::job);
    CHECK(driver.state().jobs.job == fan);
    driver.tap("done");
    driver.tap("title:back");
    REQUIRE(driver.state().screen == Screen::ready);
    CHECK_FALSE(lists(driver, "Wire the fan"));

    // A setting changed since the heights were read: they are read again there.
    go(driver, act::Nudge{End::rear, Point::eye_to_eye, 1.0});
    look_at(driver, Milestone::shakedown);
    REQUIRE_FALSE(item_of(driver, ReadyRule::heights_moved).empty());
    driver.tap(item_of(driver, ReadyRule::heights_moved));
    REQUIRE(driver.state().screen == Screen::change);
    REQUIRE(driver.state().pad.has_value());  // the first of them
    CHECK(driver.state().pad->field.point == Point::ride_height_topped_out);
    driver.tap("key:close");
    for (const Point height : ride_heights) {
        const Field field{.of = Field::Of::change, .point = height};
        const auto expected = expected_of(driver.state(), field);
        if (!expected) continue;
        go(driver, act::OpenTag{field});
        driver.session().act(act::PadText{fmt::format("{:.1f}", *expected)});
        driver.look();
        driver.tap("primary");
        if (driver.state().pad && !driver.state().pad->question.empty()) driver.tap("question:yes");
        if (driver.state().pad) driver.tap("key:close");
    }
    driver.tap("title:back");  // to the list
    REQUIRE(driver.state().screen == Screen::ready);
    CHECK(item_of(driver, ReadyRule::heights_moved).empty());
    driver.tap("title:back");
    CHECK(driver.state().screen == Screen::jobs);

    // An axle so far back that no slack is left.
    go(driver, act::Nudge{End::rear, Point::axle_position, 6.0});
    look_at(driver, Milestone::dyno);
    REQUIRE_FALSE(item_of(driver, ReadyRule::chain_short).empty());
    driver.tap(item_of(driver, ReadyRule::chain_short));
    CHECK(driver.state().screen == Screen::chain);
    go(driver, act::Nudge{End::rear, Point::axle_position, -6.0});
    look_at(driver, Milestone::dyno);
    CHECK(item_of(driver, ReadyRule::chain_short).empty());

    // An open swap.
    go(driver, act::StartSwap{driver.state().bike, {SwapPart::shock}});
    look_at(driver, Milestone::shakedown);
    REQUIRE_FALSE(item_of(driver, ReadyRule::open_swap).empty());
    driver.tap(item_of(driver, ReadyRule::open_swap));
    CHECK(driver.state().screen == Screen::swap);
    set_swap_aside(driver);
    look_at(driver, Milestone::shakedown);
    CHECK(item_of(driver, ReadyRule::open_swap).empty());
}

TEST_CASE("ready: a swap kept without a check is named until the bike is read and kept again") {
    Driver driver(tablet);
    begin_bike(driver);
    set_new_shock(driver, "312");
    go(driver, act::GoToStep{Step6::keep});
    driver.tap("primary");
    const auto newest = [&] { return driver.state().ledger.newest_baseline(driver.state().bike); };
    REQUIRE(newest());
    CHECK(newest()->body.judged == Judged::not_checked);
    look_at(driver, Milestone::shakedown);
    REQUIRE_FALSE(item_of(driver, ReadyRule::not_verified).empty());
    driver.tap(item_of(driver, ReadyRule::not_verified));
    driver.tap("key:close");
    read_all(driver, {{"change:rear:ride_height_topped_out", "500"},
                      {"change:rear:ride_height_static", "490"},
                      {"change:rear:ride_height_rider", "466"}});
    driver.tap("keep-as-it-stands");
    CHECK(newest()->body.judged == Judged::not_said);
    look_at(driver, Milestone::shakedown);
    CHECK(item_of(driver, ReadyRule::not_verified).empty());
}

TEST_CASE("ready: nothing said of a bike that was never read; what the list is stands below it") {
    Driver driver(tablet);
    begin_bike(driver);
    driver.tap("jobs");
    driver.tap("ready");
    CHECK(driver.page().table->columns[0].name == "before shakedown");
    CHECK(item_count(driver) == 2);  // the heights of both ends
    CHECK(driver.page().table->foot.ends_with("The licensed person and the event's rules decide."));
    driver.tap(item_of(driver, ReadyRule::no_heights));
    CHECK(driver.state().screen == Screen::change);
}

TEST_CASE(
    "jobs: the usual preparation and another bike's list are taken with one tap, what is there is not "
    "doubled") {
    DemoHand driver;
    const Id from = driver.state().bike;
    const std::size_t of_it = driver.state().ledger.jobs(from).size();
    REQUIRE(of_it > 3);
    const Id to = bike_named(driver, "No. 64")->id;
    for (const Job* job : driver.state().ledger.jobs(to)) go(driver, act::SetJobDone{job->id, true});
    go(driver, act::Go{Screen::jobs, to});
    const std::size_t before = driver.state().ledger.jobs(to).size();
    driver.tap("as-on:" + to_text(from));
    CHECK(driver.state().ledger.jobs(to).size() == before + of_it);
    for (const Job* job : driver.state().ledger.jobs(to)) {
        const bool own = job->body.done;
        CHECK((own || (job->body.who.nil() && job->body.blocked_by.empty())));
    }
    // The notice's Undo takes all of them back, and they can be taken again.
    driver.tap("notice:key");
    CHECK(driver.state().ledger.jobs(to).size() == before);
    driver.tap("usual");
    const std::size_t with_usual = driver.state().ledger.jobs(to).size();
    CHECK(with_usual == before + wording::usual_jobs().size());
    go(driver, act::AddUsualJobs{to});
    CHECK(driver.state().ledger.jobs(to).size() == with_usual);
}

TEST_CASE(
    "jobs: a kept swap offers what its parts need after the first run, and they count for scrutineering") {
    Driver driver(tablet);
    begin_bike(driver);
    set_new_shock(driver, "310");
    go(driver, act::GoToStep{Step6::keep});
    driver.tap("primary");
    REQUIRE(driver.state().screen == Screen::baseline);
    driver.tap("rechecks");
    REQUIRE(newest_job(driver));
    CHECK(newest_job(driver)->body.why == "shock swapped");
    for (const PageTable::Key& key : driver.page().table->keys) CHECK(key.id != "rechecks");
    look_at(driver, Milestone::shakedown);
    CHECK(item_of(driver, ReadyRule::open_job).empty());
    look_at(driver, Milestone::scrutineering);
    CHECK_FALSE(item_of(driver, ReadyRule::open_job).empty());
}
