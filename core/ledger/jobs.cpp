#include "core/ledger/jobs.h"

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/strong_components.hpp>
#include <set>
#include <tuple>

namespace restand {

namespace {

// The open jobs of a bike by number, and for each those that must be done first.
struct Numbered {
    std::vector<const Job*> jobs;
    std::vector<std::vector<std::size_t>> first;

    explicit Numbered(const std::vector<const Job*>& all) {
        std::map<Id, std::size_t> at;
        for (const Job* job : all)
            if (is_open(job->body)) at[job->id] = jobs.size(), jobs.push_back(job);
        first.resize(jobs.size());
        for (std::size_t i = 0; i < jobs.size(); ++i) {
            std::set<std::size_t> those;
            for (const Id& id : jobs[i]->body.blocked_by)
                if (const auto it = at.find(id); it != at.end()) those.insert(it->second);
            first[i].assign(those.begin(), those.end());
        }
    }
};

// Jobs that wait for each other in a circle have the same number.
std::vector<std::size_t> circles(const Numbered& numbered) {
    boost::adjacency_list<boost::vecS, boost::vecS, boost::directedS> graph(numbered.jobs.size());
    for (std::size_t i = 0; i < numbered.first.size(); ++i)
        for (const std::size_t before : numbered.first[i]) boost::add_edge(i, before, graph);
    std::vector<std::size_t> circle(numbered.jobs.size());
    if (!circle.empty()) boost::strong_components(graph, circle.data());
    return circle;
}

// Takes out what waits in a circle; true for the jobs of one.
std::vector<bool> cut_circles(Numbered& numbered) {
    const auto circle = circles(numbered);
    std::vector<bool> in_one(numbered.jobs.size());
    for (std::size_t i = 0; i < numbered.first.size(); ++i)
        in_one[i] =
            std::erase_if(numbered.first[i], [&](std::size_t j) { return circle[i] == circle[j]; }) > 0;
    return in_one;
}

// A job is needed as early as the earliest of those that wait for it.
std::vector<std::optional<Milestone>> needed_by(const Numbered& numbered) {
    std::vector<std::optional<Milestone>> needed(numbered.jobs.size());
    for (const Milestone milestone : all_milestones) {
        std::vector<std::size_t> reached;
        for (std::size_t i = 0; i < numbered.jobs.size(); ++i)
            if (!needed[i] && numbered.jobs[i]->body.before == milestone)
                needed[i] = milestone, reached.push_back(i);
        while (!reached.empty()) {
            const std::size_t job = reached.back();
            reached.pop_back();
            for (const std::size_t before : numbered.first[job])
                if (!needed[before]) needed[before] = milestone, reached.push_back(before);
        }
    }
    return needed;
}

}  // namespace

std::string_view key(Milestone milestone) {
    constexpr std::array<std::string_view, all_milestones.size()> keys = {
        "start_up", "dyno", "shakedown", "scrutineering", "wet_session", "season"};
    return keys[static_cast<std::size_t>(milestone)];
}

bool counts_for(Milestone earlier, Milestone later) {
    return earlier == later || (earlier < later && earlier != Milestone::wet_session);
}

std::optional<Milestone> milestone_from(std::string_view text) {
    const auto it = std::find_if(all_milestones.begin(), all_milestones.end(),
                                 [text](Milestone milestone) { return key(milestone) == text; });
    return it == all_milestones.end() ? std::nullopt : std::optional(*it);
}

std::vector<OpenJob> open_jobs(const Ledger& ledger, const Id& bike) {
    Numbered numbered(ledger.jobs(bike));
    const auto in_circle = cut_circles(numbered);
    const auto needed = needed_by(numbered);

    // Kahn's order; of the jobs that may come next the smallest rank.
    using Rank = std::tuple<bool, int, bool, std::size_t>;  // jobs are numbered by age
    const auto rank = [&](std::size_t i) {
        return Rank{!needed[i], needed[i] ? static_cast<int>(*needed[i]) : 0,
                    waits_for_part(numbered.jobs[i]->body), i};
    };
    std::vector<std::size_t> left(numbered.jobs.size());
    std::vector<std::vector<std::size_t>> waiting(numbered.jobs.size());
    std::set<Rank> next;
    for (std::size_t i = 0; i < numbered.jobs.size(); ++i) {
        left[i] = numbered.first[i].size();
        for (const std::size_t before : numbered.first[i]) waiting[before].push_back(i);
        if (left[i] == 0) next.insert(rank(i));
    }
    std::vector<OpenJob> ordered;
    while (!next.empty()) {
        const std::size_t i = std::get<3>(*next.begin());
        next.erase(next.begin());
        OpenJob open{numbered.jobs[i], needed[i], {}, in_circle[i]};
        for (const std::size_t before : numbered.first[i]) open.waits_for.push_back(numbered.jobs[before]);
        ordered.push_back(std::move(open));
        for (const std::size_t later : waiting[i])
            if (--left[later] == 0) next.insert(rank(later));
    }
    return ordered;
}

std::set<Id> waiting_for(const Ledger& ledger, const Job& job) {
    std::map<Id, std::vector<Id>> after;
    for (const Job* one : ledger.jobs(job.bike))
        for (const Id& first : one->body.blocked_by) after[first].push_back(one->id);
    std::set<Id> waiting;
    std::vector<Id> reached{job.id};
    while (!reached.empty()) {
        const Id at = reached.back();
        reached.pop_back();
        if (!waiting.insert(at).second) continue;
        if (const auto it = after.find(at); it != after.end())
            reached.insert(reached.end(), it->second.begin(), it->second.end());
    }
    return waiting;
}

}  // namespace restand
