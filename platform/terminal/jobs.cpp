#include "platform/terminal/jobs.h"

#include <algorithm>
#include <chrono>

#include "app/sentences.h"
#include "app/views/job_wording.h"
#include "app/views/season_wording.h"
#include "core/codec/body_json.h"
#include "core/ledger/readiness.h"
#include "platform/terminal/answer_fields.h"
#include "platform/terminal/list_json.h"
#include "platform/terminal/workshop.h"

namespace restand {
namespace {

using answer_fields::Json;
using answer_fields::number;
using answer_fields::printed;

Json text_or_null(const std::string& text) {
    return text.empty() ? Json(nullptr) : Json(text);
}

Json milestone_json(const std::optional<Milestone>& milestone) {
    return milestone ? Json(key(*milestone)) : Json(nullptr);
}

Json job_json(const Ledger& ledger, const Job& job) {
    const JobBody& b = job.body;
    const Person* who = ledger.person(b.who);
    Json out{{"id", to_text(job.id)},
             {"what", b.what},
             {"why", text_or_null(b.why)},
             {"before", milestone_json(b.before)},
             {"part", text_or_null(b.part)},
             {"from", text_or_null(b.from)},
             {"ordered", text_or_null(b.ordered)},
             {"due", text_or_null(b.due)},
             {"arrived", b.arrived},
             {"who", who ? Json(who->name) : Json(nullptr)},
             {"planned_min", number(b.minutes_planned)},
             {"taken_min", number(b.minutes_taken)},
             {"done", b.done},
             {"dropped", b.dropped}};
    out["blocked_by"] = Json::array();
    for (const Id& first : b.blocked_by) out["blocked_by"].push_back(to_text(first));
    return out;
}

std::string jobs_json(const Ledger& ledger, const Id& bike) {
    Json out{{"open", Json::array()}, {"closed", Json::array()}};
    for (const OpenJob& open : open_jobs(ledger, bike)) {
        Json one = job_json(ledger, *open.job);
        one["needed"] = milestone_json(open.needed);
        one["can_begin"] = open.can_begin();
        one["in_circle"] = open.in_circle;
        out["open"].push_back(std::move(one));
    }
    for (const Job* job : ledger.jobs(bike))
        if (!is_open(job->body)) out["closed"].push_back(job_json(ledger, *job));
    return printed(out);
}

// The use of the bike's watched parts, from its events.
Result<std::vector<PartUse>> parts_of(const Store& store, const Id& bike) {
    constexpr std::size_t rows = 500;
    std::vector<Fact> facts;
    for (Store::Walk walk; !walk.ended;) {
        const auto some = store.next_of_season(bike, walk, rows);
        if (!some) return some.error();
        for (const Entry& entry : *some)
            if (auto fact = decode(entry)) facts.push_back(std::move(*fact));
    }
    std::vector<const Fact*> all;
    for (const Fact& fact : facts) all.push_back(&fact);
    return part_use(all);
}

Result<Milestone> milestone_of(const Request& request) {
    const std::string_view word = request.milestone.value_or("shakedown");
    if (const auto milestone = milestone_from(word)) return *milestone;
    std::string names;
    for (const Milestone milestone : all_milestones)
        names += (names.empty() ? "one of " : ", ") + std::string(key(milestone));
    return Error{ErrorCode::wrong_type, "--before " + std::string(word), std::move(names)};
}

std::string ready_json(const std::vector<ReadyItem>& items, const std::vector<OpenJob>& open,
                       Milestone milestone, const UnitChoice& units) {
    Json out{{"before", key(milestone)}, {"items", Json::array()}, {"note", wording::only_recorded()}};
    for (const ReadyItem& item : items) {
        Json one{{"rule", key(item.rule)}, {"text", wording::against(item, units)}};
        one["subject"] = item.subject.nil() ? Json(nullptr) : Json(to_text(item.subject));
        one["end"] = item.end ? Json(wording::end(*item.end)) : Json(nullptr);
        one["amount"] = item.amount != 0 ? number(item.amount) : Json(nullptr);
        one["put_right"] = wording::put_right(item, open);
        out["items"].push_back(std::move(one));
    }
    return printed(out);
}

}  // namespace

int jobs(const Request& request, std::ostream& out, std::ostream& err) {
    Result<Workshop> workshop = open_workshop(request, err);
    if (!workshop) return complain(err, workshop.error());
    const Result<const Bike*> bike = bike_of(workshop->ledger, request.operands.front());
    if (!bike) return complain(err, bike.error());
    const Ledger& ledger = workshop->ledger;
    if (request.json) return out << jobs_json(ledger, (*bike)->id), exit_done;
    const auto open = open_jobs(ledger, (*bike)->id);
    if (open.empty()) out << "Nothing is to be done on " << plain_line((*bike)->body.name) << ".\n";
    for (const OpenJob& job : open)
        out << padded(wording::before(job.needed), 24) << padded(person_name(ledger, job.job->body.who), 16)
            << plain_line(job.job->body.what)
            << (job.can_begin() && !job.in_circle ? "" : "  [" + plain_line(wording::waits_for(job)) + "]")
            << "\n";
    return exit_done;
}

int ready(const Request& request, std::ostream& out, std::ostream& err) {
    const auto milestone = milestone_of(request);
    if (!milestone) return complain(err, milestone.error());
    Result<Workshop> workshop = open_workshop(request, err);
    if (!workshop) return complain(err, workshop.error());
    const Result<const Bike*> bike = bike_of(workshop->ledger, request.operands.front());
    if (!bike) return complain(err, bike.error());
    const Bike of = **bike;
    const auto parts = parts_of(workshop->store, of.id);
    if (!parts) return complain(err, parts.error());
    using namespace std::chrono;
    const auto now_ms = duration_cast<milliseconds>(system_clock::now().time_since_epoch()).count();
    const auto open = open_jobs(workshop->ledger, of.id);
    const auto items = ready_items(workshop->ledger, of, *milestone, {open, *parts, now_ms});
    const int code = items.empty() ? exit_done : exit_not_held;
    if (request.json) return out << ready_json(items, open, *milestone, workshop->ledger.units()), code;
    out << plain_line(of.body.name) << ", " << wording::before(*milestone) << ":\n";
    for (const ReadyItem& item : items)
        out << "  " << plain_line(wording::against(item, workshop->ledger.units())) << "  ("
            << plain_line(wording::put_right(item, open)) << ")\n";
    if (items.empty()) out << "  Nothing recorded speaks against it.\n";
    out << wording::only_recorded() << "\n";
    return code;
}

}  // namespace restand
