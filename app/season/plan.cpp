// The restore plan: begin it, complete its steps, end it.

#include <fmt/format.h>

#include "app/app_state.h"
#include "app/season/plan_view.h"
#include "app/views/season_wording.h"
#include "core/codec/body_json.h"

namespace restand {

void act_on(AppState& state, const act::ShowPlan& show) {
    if (!leave_pad(state)) return;
    const Entry* target = moment_of(state, show.target);
    const RestorePlan* open = state.ledger.open_plan(show.bike);
    if (!target && !open) return;
    state.bike = show.bike;
    if (target) {
        state.season.target = target->id;
        send(state, task::Find{target->id});
    } else {
        send(state, task::Find{open->target});
    }
    state.notice.reset();
    visit(state, Screen::plan);
}

void act_on(AppState& state, const act::BeginPlan& begin) {
    if (!state.pending.empty() || state.ledger.open_plan(state.bike) || state.season.target.nil()) return;
    if (!somebody_named(state, begin)) return;
    append(state, {}, {encode(PlanBody{state.season.target}, state.bike, {}, state.who)});
}

void act_on(AppState& state, const act::CompleteStep& tick) {
    if (!leave_pad(state)) return;
    if (!state.pending.empty()) return defer(state, tick);
    const PlanShown* shown = plan_shown(state);
    if (!shown || !shown->open) return;
    const PlanAction* it = shown->plan.find(tick.key);
    if (!it) return;
    // That the slack is right is read, not said.
    if (it->doing == Doing::measure || it->doing == Doing::set_slack)
        return act_on(state, act::OpenTag{{.of = Field::Of::plan, .point = it->point, .end = it->end}});
    append(state, {.said = "Done: " + wording::action(*it, state.ledger.units()), .undo = true},
           {encode(PlanStepBody{it->key, done(*it)}, state.bike, shown->open->id, state.who)});
}

void act_on(AppState& state, const act::EndPlan& end) {
    if (!leave_pad(state)) return;
    const RestorePlan* plan = state.ledger.open_plan(state.bike);
    const PlanShown* shown = plan_shown(state);
    if (!plan || !state.pending.empty()) return;
    const bool missed = shown && !heights_left(*shown) && shown->plan.verdict() == Verdict::not_restored;
    append(state,
           {.then = Pending::Then::show_bike,
            .said = missed        ? "The way back is left, not restored. The heights stay as measured."
                    : end.reached ? "The way back is done."
                                  : "The way back is left; what was done stays.",
            .undo = true},
           {encode(PlanEndBody{end.reached, missed}, state.bike, plan->id, state.who)});
}

}  // namespace restand
