#include "app/workshop/bike_view.h"

#include <fmt/format.h>

#include "app/season/baselines_view.h"
#include "app/views/season_wording.h"
#include "app/views/view_parts.h"
#include "app/views/wording.h"
#include "app/workshop/bikes_view.h"
#include "core/ledger/chassis.h"
#include "core/ledger/readiness.h"

namespace restand {

namespace {
// Two devices said different things of it.
void rival_rows(const AppState& state, const Bike& bike, const Baseline* last, std::vector<Row>& rows) {
    if (!bike.rivals.empty())
        rows.push_back(row::Note{
            "Two devices described this bike differently. Edit it and save to settle it.", Ink::stop, true});
    if (last)
        if (const auto rivals = rivals_of(state.ledger, *last); rivals.size() > 1) {
            rows.push_back(
                row::Note{"Two devices each kept a baseline on the same one. Look at both; one stands.",
                          Ink::stop, true});
            rows.push_back(row::Button{"rivals", "See both side by side", "",
                                       act::OpenBoth{rivals[0]->id, rivals[1]->id}});
            for (const Baseline* rival : rivals)
                rows.push_back(
                    row::Button{"keep:" + to_text(rival->id), "Let this one stand: " + rival->body.reason,
                                who_and_when(state, rival->by, rival->clock.ms), act::KeepThis{rival->id}});
        }
}

void key_rows(const AppState& state, const Bike& bike, const SetUp& now, const Baseline* last,
              const Swap* open, std::vector<Row>& rows) {
    const auto button = [&rows](const char* id, const char* label, std::string detail, Action tap) {
        rows.push_back(row::Button{id, label, std::move(detail), std::move(tap)});
    };
    const bool half = half_written(state, bike.id);
    if (new_chain_due(state.ledger, now))
        button("change", "Change a setting", "read the new chain", act::StartChange{bike.id});
    else if (!last)
        button("change", "Read it as it stands", "the first baseline",
               now.stored(End::rear, Point::ride_height_topped_out)
                   ? Action(act::StartChange{bike.id})
                   : Action(act::StartReading{bike.id, End::rear, Point::ride_height_topped_out}));
    else
        button("change", "Change a setting", "or read the heights", act::StartChange{bike.id});
    const std::size_t tried = tried_on(state, bike.id);
    button("attitude", "Attitude", tried ? wording::tried(tried) : "rake, trail, heights",
           act::ShowAttitude{bike.id});
    button("chain", "Chain and gearing", "slack, sprockets, axle", act::ShowChain{bike.id});
    button("history", "Time line", "and the way back", act::Go{Screen::history, bike.id});
    const std::size_t jobs = open_jobs(state.ledger, bike.id).size();
    button("jobs", "Jobs", jobs ? fmt::format("{} to do", jobs) : "may it go out?",
           act::Go{Screen::jobs, bike.id});
    button("session", "A session", half ? "one is half written" : "what the rider said",
           act::StartEvent{bike.id});
    button("baselines", "Baselines",
           last ? "last " + wording::day(last->clock.ms, state.utc_offset_min) : "none yet",
           act::Go{Screen::baselines, bike.id});
    button("trend", "Trends", "what wears", act::Go{Screen::trend, bike.id});
    button("parts", "Service", "hours and kilometres", act::Go{Screen::parts, bike.id});
    button("springs", "Which spring?", "for the sag wanted", act::ShowSprings{bike.id, End::rear});
    button("edit", "Its numbers", bike_typed(state) == &bike ? "typed, not saved yet" : "geometry, linkage",
           act::EditBike{bike.id});
    if (open)
        button("abandon", "Set this swap aside", "then another can begin", act::AbandonSwap{open->id});
    else
        button("swap:several", "Another swap", "any part, or several", act::ChooseParts{bike.id});
    if (state.ledger.open_plan(bike.id))
        rows.push_back(
            row::Button{"way", "Go on with the way back", "", act::ShowPlan{bike.id, {}}, true, true});
}
}  // namespace

PageView bike_view(const AppState& state) {
    const Bike* bike = state.ledger.bike(state.bike);
    if (!bike) return bikes_view(state);
    PageView page = blank_page(state, bike->body.name);
    const Baseline* last = state.ledger.newest_baseline(bike->id);
    const SetUp now = setup_now(state.ledger, bike->id), stands = expected_now(state.ledger, *bike, now);
    if (last && is_as_kept(now, *last)) {
        draw_baseline(state, *bike, *last, page);
    } else {
        draw_setup(*bike, stands, page);
        page.drawing.caption =
            now.values.empty() ? "schematic: nothing measured yet" : "as it stands · " + page.drawing.caption;
    }
    if (PageTable table = changed_table(state, stands, last); !table.lines.empty())
        page.table = std::move(table);
    page.panel.wide = true;
    auto& rows = page.panel.rows;
    if (!bike->body.note.empty()) rows.push_back(row::Note{bike->body.note, Ink::ink, false, true});
    if (bike->body.archived) {
        rows.push_back(row::Note{"Archived. Nothing is lost."});
        page.primary = {"Bring it back", act::ArchiveBike{bike->id, false}, ""};
        rows.push_back(row::Button{"baselines", "Baselines", "", act::Go{Screen::baselines, bike->id}});
        return page;
    }
    rival_rows(state, *bike, last, rows);
    coil_warning_rows(state, now, rows);
    const Swap* open = state.ledger.open_swap(bike->id);
    if (open) {
        page.primary = {fmt::format("Resume: {}, {}", wording::parts(open->parts), wording::step(open->step)),
                        act::ResumeSwap{open->id}, ""};
    } else {
        page.primary = {"Swap the shock", act::StartSwap{bike->id, {SwapPart::shock}}, ""};
    }
    key_rows(state, *bike, now, last, open, rows);
    return page;
}

}  // namespace restand
