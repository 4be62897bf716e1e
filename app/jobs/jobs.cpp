// Jobs: every field is stored as it is entered.

#include "app/jobs/jobs.h"

#include <algorithm>

#include "app/app_state.h"
#include "app/views/job_wording.h"
#include "app/views/wording.h"
#include "core/codec/body_json.h"
#include "core/ledger/jobs.h"

namespace restand {

namespace {

std::string* text_of(JobBody& body, JobField field) {
    switch (field) {
        case JobField::what:
            return &body.what;
        case JobField::why:
            return &body.why;
        case JobField::part:
            return &body.part;
        case JobField::from:
            return &body.from;
        case JobField::ordered:
            return &body.ordered;
        case JobField::due:
            return &body.due;
        case JobField::planned:
        case JobField::taken:
            break;
    }
    return nullptr;
}

std::optional<double>& minutes_of(JobBody& body, JobField field) {
    return field == JobField::planned ? body.minutes_planned : body.minutes_taken;
}

std::optional<double> typed_minutes(const std::string& text) {
    const auto typed = read_typed(text, Unit::one);
    return typed ? std::optional(typed_value(*typed)) : std::nullopt;
}

void write(AppState& state, const Id& bike, const Job* job, const JobBody& body, Pending then) {
    then.undo = true;
    append(state, std::move(then),
           {encode(body, bike, job ? job->id : Id{}, state.who, job ? job->heads : std::vector<Id>{})});
}

// One edit at a time: the next one builds on what is then on disk.
template <class Edit>
void edit(AppState& state, const Id& id, const Action& again, std::string said, Edit change) {
    const Job* job = state.ledger.job(id);
    if (!job || !leave_pad(state)) return;
    if (!somebody_named(state, again)) return;
    if (!state.pending.empty()) return defer(state, again);
    JobBody body = job->body;
    change(body);
    if (body == job->body) return;
    write(state, job->bike, job, body, {.said = std::move(said)});
}

}  // namespace

const Job* shown_job(const AppState& state) {
    const Job* job = state.ledger.job(state.jobs.job);
    return job && job->bike == state.bike ? job : nullptr;
}

std::string standing_job_text(const AppState& state, JobField field) {
    const Job* job = shown_job(state);
    if (!job) return {};
    JobBody body = job->body;
    if (const std::string* text = text_of(body, field)) return *text;
    const auto minutes = minutes_of(body, field);
    return minutes ? wording::plain(*minutes, Unit::one) : "";
}

void act_on(AppState& state, const act::AddJob& add) {
    if (!leave_pad(state) || !state.ledger.bike(state.bike)) return;
    if (!somebody_named(state, add)) return;
    state.jobs.job = {};
    state.notice.reset();
    visit(state, Screen::job);
    open_pad(state, {.of = Field::Of::job, .job = JobField::what});
}

void act_on(AppState& state, const act::OpenJob& open) {
    const Job* job = state.ledger.job(open.job);
    if (!job || !leave_pad(state)) return;
    state.bike = job->bike;
    state.jobs.job = job->id;
    state.notice.reset();
    visit(state, Screen::job);
}

// A new job waits for nothing. An edit waits for the one before it: it supersedes that one.
void act_on(AppState& state, const act::SetJobText& set) {
    if (!somebody_named(state, set)) return;
    const Job* job = state.ledger.job(set.job);
    if (!state.ledger.bike(set.bike) || (!job && !set.job.nil())) return;
    const auto is_of_it = [&](const NewEntry& entry) { return entry.about == set.job; };
    const bool on_its_way = std::any_of(state.pending.begin(), state.pending.end(), [&](const Pending& p) {
        return std::any_of(p.entries.begin(), p.entries.end(), is_of_it);
    });
    if (job && on_its_way) return defer(state, set);
    JobBody body = job ? job->body : JobBody{};
    if (std::string* text = text_of(body, set.field)) {
        if (set.field == JobField::part && *text != set.text) body.arrived = false;
        *text = set.text;
    } else {
        const auto minutes = typed_minutes(set.text);
        if (minutes && *minutes < 0) return say(state, "Minutes are not negative.");
        minutes_of(body, set.field) = minutes;
    }
    if (body.what.empty()) return say(state, "A job needs a few words.");
    if (job && body == job->body) return;
    write(state, set.bike, job, body,
          {.then = job ? Pending::Then::nothing : Pending::Then::open_job,
           .field = Field{.of = Field::Of::job, .job = set.field},
           .said = job ? wording::label(set.field) + " saved" : "On the list."});
}

void act_on(AppState& state, const act::SetJobBefore& set) {
    edit(state, set.job, set,
         set.before ? "To be done before: " + wording::milestone(*set.before) + "." : "It may wait.",
         [&](JobBody& body) { body.before = set.before; });
}

void act_on(AppState& state, const act::SetJobWho& set) {
    const Person* person = state.ledger.person(set.person);
    edit(state, set.job, set, person ? person->name + " does it." : "Nobody has taken it.",
         [&](JobBody& body) { body.who = set.person; });
}

void act_on(AppState& state, const act::SetJobAfter& set) {
    const Job *job = state.ledger.job(set.job), *first = state.ledger.job(set.first);
    if (!job || !first || job->bike != first->bike) return;
    if (set.waits && waiting_for(state.ledger, *job).contains(set.first))
        return say(state, "They would wait for each other.");
    edit(state, set.job, set, (set.waits ? "First: " : "Need not be first: ") + first->body.what + ".",
         [&](JobBody& body) {
             std::erase(body.blocked_by, set.first);
             if (set.waits) body.blocked_by.push_back(set.first);
         });
}

void act_on(AppState& state, const act::SetJobArrived& set) {
    edit(state, set.job, set, set.arrived ? "The part is here." : "The part is waited for.",
         [&](JobBody& body) { body.arrived = set.arrived; });
}

void act_on(AppState& state, const act::SetJobDone& set) {
    const Job* job = state.ledger.job(set.job);
    edit(state, set.job, set, (set.done ? "Done: " : "Open again: ") + (job ? job->body.what : "") + ".",
         [&](JobBody& body) { body.done = set.done, body.dropped = false; });
}

void act_on(AppState& state, const act::SetJobDropped& set) {
    edit(state, set.job, set, set.dropped ? "It need not be done." : "It is to be done again.",
         [&](JobBody& body) { body.dropped = set.dropped; });
}

namespace {
bool is_same(const Job& job, const JobBody& body) {
    return job.body.what == body.what && job.body.why == body.why && !job.body.dropped;
}
}  // namespace

std::vector<JobBody> not_on_list(const Ledger& ledger, const Id& bike, std::vector<JobBody> jobs) {
    const auto there = ledger.jobs(bike);
    std::erase_if(jobs, [&](const JobBody& body) {
        return std::any_of(there.begin(), there.end(),
                           [&](const Job* job) { return is_same(*job, body) && !job->body.done; });
    });
    return jobs;
}

std::vector<JobBody> rechecks_left(const Ledger& ledger, const Swap& swap) {
    const auto there = ledger.jobs(swap.bike);
    std::vector<JobBody> jobs;
    for (const SwapPart part : swap.parts) {
        JobBody body{.what = wording::recheck(part),
                     .why = wording::part(part) + " swapped",
                     .before = Milestone::scrutineering};
        // One that was done before this swap was for an earlier one.
        if (std::none_of(there.begin(), there.end(), [&](const Job* job) {
                return is_same(*job, body) && (!job->body.done || job->at > swap.started);
            }))
            jobs.push_back(std::move(body));
    }
    return jobs;
}

namespace {
void add_all(AppState& state, const Id& bike, std::vector<JobBody> jobs, const Action& again) {
    if (!leave_pad(state) || !state.ledger.bike(bike)) return;
    if (!somebody_named(state, again)) return;
    if (!state.pending.empty()) return defer(state, again);
    jobs = not_on_list(state.ledger, bike, std::move(jobs));
    if (jobs.empty()) return say(state, "All of them are on the list.");
    std::vector<NewEntry> entries;
    for (const JobBody& job : jobs) entries.push_back(encode(job, bike, {}, state.who));
    append(state, {.said = wording::how_many(jobs.size(), "job", "jobs") + " on the list.", .undo = true},
           std::move(entries));
}
}  // namespace

void act_on(AppState& state, const act::AddUsualJobs& add) {
    add_all(state, add.bike, wording::usual_jobs(), add);
}

// In the order to do them, each before what it is needed for: which waits for which is left out, because the
// new ones have no ids yet. What is done there is to be done here.
void act_on(AppState& state, const act::TakeJobsOf& take) {
    std::vector<JobBody> jobs;
    const auto add = [&](const JobBody& body, const std::optional<Milestone>& before) {
        jobs.push_back({.what = body.what,
                        .why = body.why,
                        .before = before,
                        .minutes_planned = body.minutes_taken ? body.minutes_taken : body.minutes_planned});
    };
    for (const OpenJob& open : open_jobs(state.ledger, take.from)) add(open.job->body, open.needed);
    for (const Job* job : state.ledger.jobs(take.from))
        if (job->body.done) add(job->body, job->body.before);
    add_all(state, take.to, std::move(jobs), take);
}

void act_on(AppState& state, const act::AddRechecks& add) {
    const Swap* swap = state.ledger.swap(add.swap);
    if (swap) add_all(state, swap->bike, rechecks_left(state.ledger, *swap), add);
}

void act_on(AppState& state, const act::ShowDoneJobs& show) {
    state.jobs.done_shown = show.shown;
}

void act_on(AppState& state, const act::PutRight& put) {
    put.by.apply(state);
    if (state.screen != Screen::ready) state.jobs.led_to = state.screen;
}

void act_on(AppState& state, const act::ReadyFor& ready) {
    state.jobs.milestone = ready.milestone;
}

}  // namespace restand
