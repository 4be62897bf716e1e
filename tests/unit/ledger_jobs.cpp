// Jobs of a bike: their order against every order there is, what waits for what, two devices.

#include "core/ledger/jobs.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <numeric>
#include <tuple>

#include "tests/unit/ledger_kit.h"

using namespace restand;
using test::bike_id;
using test::fact;
using test::fold;
using test::id;

namespace {

JobBody job(const std::string& what, std::optional<Milestone> before = {}, std::vector<Id> first = {}) {
    JobBody body;
    body.what = what;
    body.before = before;
    body.blocked_by = std::move(first);
    return body;
}

std::vector<std::string> order(const Ledger& ledger) {
    std::vector<std::string> names;
    for (const OpenJob& open : open_jobs(ledger, bike_id)) names.push_back(open.job->body.what);
    return names;
}

using Names = std::vector<std::string>;

// The open jobs, and the ledger that they are of.
struct Opened {
    Ledger ledger;
    std::vector<OpenJob> jobs;
    explicit Opened(const std::vector<Fact>& facts) : ledger(fold(facts)), jobs(open_jobs(ledger, bike_id)) {}
    const OpenJob& operator[](std::size_t i) const { return jobs.at(i); }
};

}  // namespace

TEST_CASE("jobs: what is needed first comes first, and with it what it waits for") {
    const Ledger ledger =
        fold({fact({100, 1, job("polish"), bike_id}),
              fact({101, 2, job("number plates", Milestone::scrutineering), bike_id}),
              fact({102, 3, job("drain the tank"), bike_id}),
              fact({103, 4, job("change the tank", Milestone::start_up, {id(102)}), bike_id})});
    CHECK(order(ledger) == Names{"drain the tank", "change the tank", "number plates", "polish"});
    const auto jobs = open_jobs(ledger, bike_id);
    CHECK(jobs[0].needed == Milestone::start_up);  // by itself it could wait
    CHECK(jobs[0].can_begin());
    REQUIRE(jobs[1].waits_for.size() == 1);
    CHECK_FALSE(jobs[1].can_begin());
    CHECK_FALSE(jobs[3].needed.has_value());
    CHECK(open_jobs(ledger, id(11)).empty());  // of another bike
}

TEST_CASE("jobs: one whose part has not come stands behind those that can be begun") {
    JobBody waits = job("hose", Milestone::dyno), here = job("clamp", Milestone::dyno);
    waits.part = "hose, 19 mm";
    std::vector<Fact> facts{fact({100, 1, waits, bike_id}), fact({101, 2, here, bike_id})};
    CHECK(order(fold(facts)) == Names{"clamp", "hose"});
    CHECK_FALSE(Opened(facts)[1].can_begin());
    waits.arrived = true;
    facts.push_back(fact({102, 3, waits, bike_id, id(100), {id(100)}}));
    CHECK(order(fold(facts)) == Names{"hose", "clamp"});
    CHECK(Opened(facts)[0].can_begin());
}

TEST_CASE("jobs: done and dropped ones are no longer in the way") {
    JobBody first = job("first");
    std::vector<Fact> facts{fact({100, 1, first, bike_id}),
                            fact({101, 2, job("then", {}, {id(100)}), bike_id})};
    CHECK_FALSE(Opened(facts)[1].can_begin());
    for (bool JobBody::*closed : {&JobBody::done, &JobBody::dropped}) {
        JobBody over = first;
        over.*closed = true;
        auto later = facts;
        later.push_back(fact({102, 3, over, bike_id, id(100), {id(100)}}));
        CHECK(order(fold(later)) == Names{"then"});
        CHECK(Opened(later)[0].can_begin());
        CHECK(fold(later).jobs(bike_id).size() == 2);
    }
}

TEST_CASE(
    "jobs: nothing can be made to wait for itself; two devices that do it block neither, and it is said") {
    const std::vector<Fact> facts{fact({100, 1, job("a"), bike_id}),
                                  fact({101, 2, job("b", {}, {id(100)}), bike_id}),
                                  fact({102, 3, job("c", Milestone::dyno, {id(101)}), bike_id})};
    const Ledger ledger = fold(facts);
    const auto waiting = [&](int n) { return waiting_for(ledger, *ledger.job(id(n))); };
    CHECK(waiting(100) == std::set<Id>{id(100), id(101), id(102)});
    CHECK(waiting(102) == std::set<Id>{id(102)});
    // A closed one may be opened again.
    JobBody closed = job("b", {}, {id(100)});
    closed.done = true;
    auto later = facts;
    later.push_back(fact({104, 4, closed, bike_id, id(101), {id(101)}}));
    const Ledger with_closed = fold(later);
    CHECK(waiting_for(with_closed, *with_closed.job(id(100))).contains(id(102)));
    // Another device, which had not seen it, let 'a' wait for 'c'.
    auto merged = facts;
    merged.push_back(fact({103, 3, job("a", {}, {id(102)}), bike_id, id(100), {id(100)}}));
    const Opened opened(merged);
    const auto& jobs = opened.jobs;
    REQUIRE(jobs.size() == 3);
    for (const OpenJob& one : jobs) {
        CHECK(one.in_circle);
        CHECK(one.can_begin());
    }
}

TEST_CASE("jobs: two devices' words for one job both stand until the next edit, in any order of arrival") {
    std::vector<Fact> facts{fact({100, 1, job("a"), bike_id}),
                            fact({101, 2, job("one says"), bike_id, id(100), {id(100)}}),
                            fact({102, 3, job("the other says"), bike_id, id(100), {id(100)}})};
    for (int turn = 0; turn < 6; ++turn) {
        const Ledger ledger = fold(facts);
        REQUIRE(ledger.job(id(100)));
        CHECK(ledger.job(id(100))->body.what == "the other says");
        CHECK(ledger.job(id(100))->disputed);
        CHECK(ledger.job(id(100))->heads.size() == 2);
        std::next_permutation(facts.begin(), facts.end(),
                              [](const Fact& a, const Fact& b) { return a.entry.id < b.entry.id; });
    }
    facts.push_back(fact({103, 4, job("settled"), bike_id, id(100), {id(101), id(102)}}));
    CHECK_FALSE(fold(facts).job(id(100))->disputed);
}

namespace {

// How a row of jobs reads, the smaller the better: needed, then waiting for a part, then age.
using Rank = std::tuple<int, bool, int>;

// Milestones of a job and of all that waits for it, found by walking from each.
int needed(const std::vector<JobBody>& jobs, int i) {
    int earliest = jobs[i].before ? static_cast<int>(*jobs[i].before) : 99;
    for (int later = 0; later < static_cast<int>(jobs.size()); ++later)
        for (const Id& first : jobs[later].blocked_by)
            if (first == id(100 + i)) earliest = std::min(earliest, needed(jobs, later));
    return earliest;
}

bool may_stand_so(const std::vector<JobBody>& jobs, const std::vector<int>& row) {
    std::vector<bool> seen(jobs.size());
    for (const int i : row) {
        for (const Id& first : jobs[i].blocked_by)
            if (!seen[static_cast<std::size_t>(first.bytes[15] - 100)]) return false;
        seen[static_cast<std::size_t>(i)] = true;
    }
    return true;
}

}  // namespace

TEST_CASE("jobs: over 2 000 random boards the order is the best of all orders that are allowed") {
    std::mt19937 random(18);
    std::size_t blocked = 0;
    for (int board = 0; board < 2000; ++board) {
        CAPTURE(board);
        const int count = 1 + static_cast<int>(random() % 6);
        std::vector<JobBody> jobs;
        for (int i = 0; i < count; ++i) {
            JobBody one = job("job " + std::to_string(i));
            if (random() % 2) one.before = all_milestones[random() % all_milestones.size()];
            if (random() % 3 == 0) one.part = "part";
            jobs.push_back(one);
        }
        // Along a hidden order, so that none waits for itself.
        std::vector<int> hidden(jobs.size());
        std::iota(hidden.begin(), hidden.end(), 0);
        std::shuffle(hidden.begin(), hidden.end(), random);
        for (std::size_t late = 1; late < hidden.size(); ++late)
            for (std::size_t early = 0; early < late; ++early)
                if (random() % 3 == 0) {
                    jobs[hidden[late]].blocked_by.push_back(id(100 + hidden[early]));
                    ++blocked;
                }
        std::vector<Fact> facts;
        for (int i = 0; i < count; ++i) facts.push_back(fact({100 + i, 1 + i, jobs[i], bike_id}));

        std::vector<int> row(jobs.size()), best;
        std::iota(row.begin(), row.end(), 0);
        std::vector<Rank> best_ranks;
        do {
            if (!may_stand_so(jobs, row)) continue;
            std::vector<Rank> ranks;
            for (const int i : row) ranks.emplace_back(needed(jobs, i), !jobs[i].part.empty(), i);
            if (best.empty() || ranks < best_ranks) best = row, best_ranks = ranks;
        } while (std::next_permutation(row.begin(), row.end()));

        const Opened opened(facts);
        const auto& open = opened.jobs;
        REQUIRE(open.size() == best.size());
        for (std::size_t i = 0; i < best.size(); ++i) {
            CHECK(open[i].job->id == id(100 + best[i]));
            const int milestone = open[i].needed ? static_cast<int>(*open[i].needed) : 99;
            CHECK(milestone == needed(jobs, best[i]));
        }
    }
    CHECK(blocked > 1000);
}
