#include "app/jobs/jobs_view.h"

#include <fmt/format.h>

#include <algorithm>

#include "app/season/baselines_view.h"
#include "app/views/job_wording.h"
#include "app/views/season_wording.h"
#include "app/views/view_parts.h"
#include "app/views/wording.h"
#include "app/workshop/bikes_view.h"
#include "core/ledger/jobs.h"

namespace restand {

namespace {
using Kind = PageTable::Line::Kind;

std::string minutes(const JobBody& body) {
    if (body.minutes_taken) return fmt::format("{:.0f} min taken", *body.minutes_taken);
    return body.minutes_planned ? fmt::format("{:.0f} min", *body.minutes_planned) : "";
}

PageTable::Line job_line(const AppState& state, const OpenJob& open) {
    return {.id = "job:" + to_text(open.job->id),
            .cells = {open.job->body.what, wording::waits_for(open), name_of(state, open.job->body.who),
                      minutes(open.job->body)},
            .tap = act::OpenJob{open.job->id},
            .kind = open.can_begin() ? Kind::plain : Kind::quiet};
}

void open_lines(const AppState& state, const std::vector<OpenJob>& jobs, PageTable& table) {
    std::optional<std::optional<Milestone>> headed;
    for (const OpenJob& open : jobs) {
        if (headed != open.needed)
            table.lines.push_back({.cells = {wording::before(open.needed)}, .kind = Kind::section});
        headed = open.needed;
        table.lines.push_back(job_line(state, open));
    }
}

void closed_lines(const AppState& state, const Bike& bike, PageTable& table) {
    bool headed = false;
    const auto all = state.ledger.jobs(bike.id);
    for (auto it = all.rbegin(); it != all.rend(); ++it) {
        const Job& job = **it;
        if (is_open(job.body)) continue;
        if (!std::exchange(headed, true))
            table.lines.push_back({.cells = {"done, or dropped"}, .kind = Kind::section});
        table.lines.push_back(
            {.id = "job:" + to_text(job.id),
             .cells = {job.body.what,
                       (job.body.done ? "done · written " : "dropped · written ") +
                           wording::short_day(job.at.ms, state.now_ms, state.utc_offset_min),
                       name_of(state, job.by), minutes(job.body)},
             .tap = act::OpenJob{job.id},
             .kind = Kind::quiet});
    }
}
}  // namespace

PageView jobs_view(const AppState& state) {
    const Bike* bike = state.ledger.bike(state.bike);
    if (!bike) return bikes_view(state);
    PageView page = blank_page(state, bike->body.name + " · jobs");
    const auto jobs = open_jobs(state.ledger, bike->id);
    PageTable table;
    table.columns = {{"job", false, Ink::ink, true}, {"waits for"}, {"who"}, {"time"}};
    open_lines(state, jobs, table);
    if (jobs.empty())
        table.lines.push_back(
            {.cells = {"Nothing is to be done on this bike. 'The hose rubs here', a part "
                       "that has not come, a panel to trim: write it down when you see it."},
             .kind = Kind::note});
    if (state.jobs.done_shown) closed_lines(state, *bike, table);
    table.keys = {{"jobs:open", "To do", act::ShowDoneJobs{false}, !state.jobs.done_shown},
                  {"jobs:all", "Done, too", act::ShowDoneJobs{true}, state.jobs.done_shown},
                  {"ready", "May it go out?", act::Go{Screen::ready, bike->id}}};
    if (!not_on_list(state.ledger, bike->id, wording::usual_jobs()).empty())
        table.more.push_back({"usual", "The usual ones", act::AddUsualJobs{bike->id}});
    for (const Bike* other : state.ledger.bikes())
        if (jobs.empty() && other->id != bike->id && !state.ledger.jobs(other->id).empty())
            table.keys.push_back({"as-on:" + to_text(other->id), "As on " + other->body.name,
                                  act::TakeJobsOf{other->id, bike->id}});
    page.table = std::move(table);
    page.primary = {"A job", act::AddJob{}, ""};
    return page;
}

namespace {
Row field_row(const AppState& state, JobField field) {
    const Field f{.of = Field::Of::job, .job = field};
    row::ReadingRow row = form_row(state, f, wording::label(field), standing_job_text(state, field));
    if (saving(state, f)) row.mark = row::Mark::saving;
    return row;
}

// Ending a job stands apart from the primary: where 'Keep it' was tapped nothing is ended by a second tap.
void done_rows(const Job& job, const std::vector<OpenJob>& jobs, std::vector<Row>& rows) {
    if (!is_open(job.body)) {
        const Action again = job.body.done ? Action(act::SetJobDone{job.id, false})
                                           : Action(act::SetJobDropped{job.id, false});
        rows.push_back(row::Button{"again", "Open it again", "", again});
        return;
    }
    rows.push_back(row::Button{"done", "It is done", "", act::SetJobDone{job.id, true}});
    rows.push_back(row::Button{"drop", "It need not be done", "", act::SetJobDropped{job.id, true}});
    for (const OpenJob& open : jobs) {
        if (open.job->id != job.id) continue;
        if (open.needed != job.body.before)
            rows.push_back(
                row::Note{"Needed " + wording::before(open.needed) + ": another job waits for it."});
        if (const std::string waits = wording::waits_for(open); !waits.empty())
            rows.push_back(row::Note{"It waits · " + waits});
    }
}

void before_rows(const Job& job, std::vector<Row>& rows) {
    rows.push_back(row::Heading{"Must be done before"});
    for (const Milestone milestone : all_milestones)
        rows.push_back(row::Button{"before:" + std::string(key(milestone)), wording::milestone(milestone), "",
                                   act::SetJobBefore{job.id, milestone}, true, job.body.before == milestone});
    rows.push_back(
        row::Button{"before:none", "It may wait", "", act::SetJobBefore{job.id, {}}, true, !job.body.before});
}

void who_rows(const AppState& state, const Job& job, std::vector<Row>& rows) {
    rows.push_back(row::Heading{"Who does it"});
    for (const Person* person : state.ledger.people()) {
        const bool takes = job.body.who == person->id;
        rows.push_back(row::Button{"who:" + to_text(person->id), person->name, "",
                                   act::SetJobWho{job.id, takes ? Id{} : person->id}, true, takes});
    }
}

void first_rows(const AppState& state, const Job& job, const std::vector<OpenJob>& jobs,
                std::vector<Row>& rows) {
    bool headed = false;
    const std::set<Id> later = waiting_for(state.ledger, job);
    for (const OpenJob& other : jobs) {
        const Job& first = *other.job;
        const auto& by = job.body.blocked_by;
        const bool waits = std::find(by.begin(), by.end(), first.id) != by.end();
        if (first.id == job.id || (!waits && later.contains(first.id))) continue;
        if (!std::exchange(headed, true))
            rows.push_back(row::Heading{"Waits for: tick what must be done first"});
        rows.push_back(row::Button{"first:" + to_text(first.id), first.body.what, "",
                                   act::SetJobAfter{job.id, first.id, !waits}, true, waits});
    }
}
}  // namespace

PageView job_view(const AppState& state) {
    const Bike* bike = state.ledger.bike(state.bike);
    if (!bike) return bikes_view(state);
    PageView page = blank_page(state, bike->body.name + " · job");
    draw_setup(*bike, setup_now(state.ledger, bike->id), page);
    page.panel.wide = true;
    auto& rows = page.panel.rows;
    const Job* job = shown_job(state);
    page.panel.title = !job                ? "What is to be done"
                       : job->body.done    ? "Done"
                       : job->body.dropped ? "It need not be done"
                                           : "To be done";
    page.panel.list = "job";
    if (job && job->disputed)
        rows.push_back(
            row::Note{"Two devices said different things of it; this is the newer. The next change "
                      "settles it.",
                      Ink::stop, true});
    rows.push_back(field_row(state, JobField::what));
    if (!job) {
        page.primary = state.pad ? Primary{"Keep it", act::PadNext{}, ""}
                                 : Primary{"Write it down",
                                           act::OpenTag{{.of = Field::Of::job, .job = JobField::what}}, ""};
        return page;
    }
    const auto jobs = open_jobs(state.ledger, bike->id);
    done_rows(*job, jobs, rows);
    rows.push_back(field_row(state, JobField::why));
    before_rows(*job, rows);
    who_rows(state, *job, rows);
    rows.push_back(field_row(state, JobField::planned));
    rows.push_back(field_row(state, JobField::taken));
    rows.push_back(row::Heading{"Part"});
    for (const JobField field : {JobField::part, JobField::from, JobField::ordered, JobField::due})
        rows.push_back(field_row(state, field));
    if (!job->body.part.empty())
        rows.push_back(row::Button{"arrived", "The part is here", "",
                                   act::SetJobArrived{job->id, !job->body.arrived}, true, job->body.arrived});
    first_rows(state, *job, jobs, rows);
    page.primary = state.pad ? Primary{"Keep it", act::PadNext{}, ""} : Primary{"Back", act::Back{}, ""};
    return page;
}

}  // namespace restand
