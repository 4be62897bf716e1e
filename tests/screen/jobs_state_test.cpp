// Jobs while the disk is slow, after Undo, and on another bike: what is typed goes where it was meant.

#include "tests/screen/state_kit.h"

using namespace restand;
using namespace restand::test;

namespace {

std::vector<std::string> names(const AppState& state) {
    std::vector<std::string> all;
    for (const Job* job : state.ledger.jobs(state.bike)) all.push_back(job->body.what);
    return all;
}

// A workshop with its swap set aside, at the bike's page.
struct AtBike : Workshop {
    AtBike() {
        apply(state, act::AbandonSwap{state.swap});
        disk.answer_all();
    }
    void write_down(const char* what) {
        apply(state, act::AddJob{});
        type(what);
        apply(state, act::PadNext{});
    }
};

}  // namespace

TEST_CASE("jobs: two written quickly are two, whenever the disk answers") {
    AtBike w;
    w.write_down("a");
    apply(w.state, act::AddJob{});
    w.type("b");
    w.disk.answer();  // the first is on disk while the second is typed
    REQUIRE(w.state.pad.has_value());
    CHECK(w.state.jobs.job.nil());
    apply(w.state, act::PadNext{});
    w.disk.answer_all();
    CHECK(names(w.state) == std::vector<std::string>{"a", "b"});
    CHECK(shown_job(w.state)->body.what == "b");
}

TEST_CASE("jobs: the page of another job does not change when one that was written before is on disk") {
    AtBike w;
    w.write_down("a");
    w.disk.answer_all();
    const Id a = w.state.jobs.job;
    w.write_down("b");
    apply(w.state, act::OpenJob{a});
    w.disk.answer_all();
    CHECK(w.state.jobs.job == a);
    CHECK(names(w.state).size() == 2);
}

TEST_CASE("jobs: what is typed where a new job was taken back is a job again") {
    AtBike w;
    w.write_down("a");
    w.disk.answer_all();
    REQUIRE(w.state.notice);
    REQUIRE(w.state.notice->key);
    apply(w.state, Action(w.state.notice->key->tap));  // Undo
    w.disk.answer_all();
    CHECK(names(w.state).empty());
    apply(w.state, act::OpenTag{{.of = Field::Of::job, .job = JobField::what}});
    w.type("again");
    apply(w.state, act::PadNext{});
    w.disk.answer_all();
    CHECK(names(w.state) == std::vector<std::string>{"again"});
}

TEST_CASE("jobs: another part waited for has not come, and minutes are not negative") {
    AtBike w;
    w.write_down("wire the fan");
    w.disk.answer_all();
    const Id job = w.state.jobs.job, bike = w.state.bike;
    const auto now = [&](const Action& action) { apply(w.state, action), w.disk.answer_all(); };
    now(act::SetJobText{bike, job, JobField::part, "relay"});
    now(act::SetJobArrived{job, true});
    now(act::SetJobText{bike, job, JobField::planned, "40"});
    now(act::SetJobText{bike, job, JobField::planned, "-5"});
    CHECK(shown_job(w.state)->body.minutes_planned == 40.0);
    CHECK(shown_job(w.state)->body.arrived);
    now(act::SetJobText{bike, job, JobField::part, "hose"});
    CHECK_FALSE(shown_job(w.state)->body.arrived);
    // Two edits at once: the second is made of what the first left.
    apply(w.state, act::SetJobText{bike, job, JobField::why, "it came"});
    apply(w.state, act::SetJobText{bike, job, JobField::due, "Friday"});
    w.disk.answer_all();
    CHECK(shown_job(w.state)->body.why == "it came");
    CHECK(shown_job(w.state)->body.due == "Friday");
}

TEST_CASE("as it stands: the reason typed for one bike is not another's") {
    AtBike w;
    const Id one = w.state.bike;
    apply(w.state, act::AddBike{});
    w.type("No. 6");
    apply(w.state, act::PadNext{});
    w.type("2.1");
    apply(w.state, act::PadNext{});
    apply(w.state, act::SaveBike{});
    w.disk.answer_all();
    const Id other = w.state.bike;
    REQUIRE(other != one);
    const auto read_slack = [&](const Id& bike, const char* slack) {
        apply(w.state, act::StartChange{bike});
        apply(w.state, act::OpenTag{{.of = Field::Of::change, .point = Point::chain_slack}});
        w.type(slack);
        apply(w.state, act::PadNext{});
        if (w.state.pad && !w.state.pad->question.empty()) apply(w.state, act::ConfirmSame{true});
        w.disk.answer_all();
    };
    read_slack(one, "35");
    apply(w.state, act::OpenTag{{.of = Field::Of::reason}});
    w.type("as it came");
    apply(w.state, act::PadNext{});
    read_slack(other, "30");
    apply(w.state, act::KeepAsItStands{other});
    w.disk.answer_all();
    REQUIRE(w.state.ledger.newest_baseline(other));
    CHECK(w.state.ledger.newest_baseline(other)->body.reason.find("came") == std::string::npos);
    CHECK(w.state.ledger.newest_baseline(one) == nullptr);
}
