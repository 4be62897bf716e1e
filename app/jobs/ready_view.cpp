// May it go out? Each item leads to where it is put right.

#include <fmt/format.h>

#include "app/jobs/jobs_view.h"
#include "app/season/part_actions.h"
#include "app/views/job_wording.h"
#include "app/views/view_parts.h"
#include "app/views/wording.h"
#include "app/workshop/bikes_view.h"
#include "core/ledger/readiness.h"

namespace restand {

namespace {

Action put_right_by(const Bike& bike, const ReadyItem& item) {
    switch (item.rule) {
        case ReadyRule::open_job:
            return act::OpenJob{item.subject};
        case ReadyRule::open_swap:
            return act::ResumeSwap{item.subject};
        case ReadyRule::open_way:
            return act::ShowPlan{bike.id, {}};
        case ReadyRule::chain_short:
            return act::ShowChain{bike.id};
        case ReadyRule::chain_worn:
            return act::ChooseParts{bike.id};
        case ReadyRule::part_due:
            return act::StartPart{bike.id, item.subject};
        case ReadyRule::two_baselines:
            return act::Go{Screen::bike, bike.id};
        case ReadyRule::two_descriptions:
            return act::EditBike{bike.id};
        case ReadyRule::no_heights:
        case ReadyRule::heights_moved:
        case ReadyRule::heights_old:
            return act::StartReading{bike.id, *item.end, Point::ride_height_topped_out};
        case ReadyRule::chain_new:
            return act::StartReading{bike.id, End::rear, Point::chain_slack};
        case ReadyRule::not_verified:
            return act::StartReading{bike.id, End::rear, Point::ride_height_topped_out};
        case ReadyRule::coils_touch:
        case ReadyRule::beyond_adjuster:
            break;
    }
    return act::StartChange{bike.id};
}

}  // namespace

PageView ready_view(const AppState& state) {
    const Bike* bike = state.ledger.bike(state.bike);
    if (!bike) return bikes_view(state);
    PageView page = blank_page(state, bike->body.name + " · may it go out?");
    const auto open = open_jobs(state.ledger, bike->id);
    std::span<const PartUse> parts;
    if (state.season.watched) parts = state.season.parts;
    const auto items = ready_items(state.ledger, *bike, state.jobs.milestone, {open, parts, state.now_ms});
    using Kind = PageTable::Line::Kind;
    PageTable table;
    for (const Milestone milestone : all_milestones)
        table.keys.push_back({"for:" + std::string(key(milestone)), wording::milestone(milestone),
                              act::ReadyFor{milestone}, milestone == state.jobs.milestone});
    table.columns = {{wording::before(state.jobs.milestone), false, Ink::ink, true}, {"what to do"}};
    if (!state.season.watched)
        table.lines.push_back(
            {.cells = {"Looking through the season for parts beyond their limit …"}, .kind = Kind::note});
    else if (items.empty())
        table.lines.push_back(
            {.cells = {"Nothing that is written down speaks against it."}, .kind = Kind::note});
    std::optional<bool> jobs;  // the section that is headed
    for (std::size_t i = 0; i < items.size(); ++i) {
        const bool job = items[i].rule == ReadyRule::open_job;
        if (jobs != job)
            table.lines.push_back({.cells = {job ? "Jobs" : "The bike as it stands"}, .kind = Kind::section});
        jobs = job;
        table.lines.push_back(
            {.id = fmt::format("item:{}:{}", i, key(items[i].rule)),
             .cells = {wording::against(items[i], state.ledger.units()), wording::put_right(items[i], open)},
             .tap = act::PutRight{put_right_by(*bike, items[i])}});
    }
    table.foot = wording::only_recorded();
    page.table = std::move(table);
    if (items.empty())
        page.primary = {"To the bike", act::Go{Screen::bike, bike->id}, ""};
    else
        page.primary = {"Open the first of " + std::to_string(items.size()),
                        act::PutRight{put_right_by(*bike, items.front())}, ""};
    return page;
}

}  // namespace restand
