// The restore plan: the steps in order, each marked when it is done.

#include <fmt/format.h>

#include <algorithm>

#include "app/views/view.h"
#include "app/views/view_parts.h"
#include "app/views/wording.h"

namespace restand {

namespace {
std::string detail_of(const PlanAction& a) {
    std::string text;
    if (a.from && a.doing != Doing::measure) text = "now " + wording::reading(a.from->reading);
    if (a.solved)
        text += fmt::format("{}computed: another part is fitted than then", text.empty() ? "" : " · ");
    return text;
}

void done_rows(const AppState& state, const RestorePlan& plan, std::vector<Row>& rows) {
    if (plan.steps.empty()) return;
    rows.push_back(row::Heading{"Done"});
    for (const PlanStep& tick : plan.steps) {
        std::string label;
        for (const SetValue& v : tick.values)
            label += fmt::format("{}{}: {} {}", label.empty() ? "" : " · ", wording::end(v.end),
                                 wording::label(v.reading.point), wording::reading(v.reading));
        rows.push_back(row::PlanStep{.id = "done:" + tick.action,
                                     .label = label.empty() ? tick.action : label,
                                     .detail = who_and_when(state, tick.by, tick.at_ms),
                                     .done = true,
                                     .next = false,
                                     .tap = {}});
    }
}

bool measured_already(const RestorePlan* plan, const PlanAction& action) {
    return plan && std::any_of(plan->steps.begin(), plan->steps.end(),
                               [&](const PlanStep& t) { return t.action == action.key; });
}

void problem_rows(const AppState& state, const PlanActions& plan, std::vector<Row>& rows) {
    if (!plan.held)
        rows.push_back(
            row::Note{"With the parts now fitted it cannot stand quite as then:", Ink::stop, true});
    const UnitChoice units = state.ledger.units();
    for (const EndLimit& l : plan.limits)
        rows.push_back(row::Note{
            wording::limit(l.code, l.end, wording::length(l.bound, units), wording::length(l.beyond, units)),
            Ink::stop});
    for (const Error& e : plan.unsaid) rows.push_back(row::Note{wording::sentence(e), Ink::now, false, true});
    for (const LeftOut& l : plan.left_out)
        rows.push_back(row::Note{wording::left_out(l), Ink::ink, false, true});
}
}  // namespace

PageView plan_view(const AppState& state) {
    const auto shown = plan_shown(state);
    const Bike* bike = shown ? state.ledger.bike(shown->bike) : state.ledger.bike(state.bike);
    if (!bike) return bikes_view(state);
    if (!shown) {
        PageView waiting = blank_page(state, bike->body.name + " · way back");
        waiting.panel.title = "Looking it up";
        waiting.primary = {"To the bike", act::Go{Screen::bike, bike->id}, ""};
        return waiting;
    }
    const Fact* target = state.ledger.fact(shown->target);
    const std::string then = wording::day(target->entry.clock.ms, state.utc_offset_min);
    const bool never_was = target->entry.kind == "record";
    PageView page = blank_page(
        state, fmt::format("{} · {}", bike->body.name, never_was ? "the way there" : "back to " + then));
    draw_setup(*bike, shown->now, page, &shown->then);
    page.drawing.caption = "black: now · blue: " + then;
    auto& rows = page.panel.rows;
    std::vector<const PlanAction*> left;
    for (const PlanAction& a : shown->plan.actions)
        if (!(a.doing == Doing::measure && measured_already(shown->open, a))) left.push_back(&a);
    page.panel.title = left.empty() ? (never_was ? "It is set so" : "It stands as then")
                                    : fmt::format("{} to do, in this order", left.size());
    problem_rows(state, shown->plan, rows);
    for (const PlanAction* a : left)
        rows.push_back(row::PlanStep{
            .id = "do:" + a->key,
            .label = wording::action(*a, state.ledger.units()),
            .detail = detail_of(*a),
            .done = false,
            .next = shown->open && a == left.front(),
            .tap = shown->open ? std::optional<Action>(act::CompleteStep{a->key}) : std::nullopt});
    for (const PlanAction& a : shown->plan.refits)
        rows.push_back(row::Button{
            "refit:" + a.key, "Or refit the spring of then: " + wording::reading(a.brings.front().reading),
            shown->open ? "then its settings are those of then" : "begin, then choose",
            shown->open ? Action(act::CompleteStep{a.key}) : Action(), shown->open != nullptr});
    if (shown->open) done_rows(state, *shown->open, rows);
    page.panel.cautions.emplace_back(
        "Bike secured on stands; spring under load. Fasteners to the maker's manual, re-checked after the "
        "first run. "
        "Arithmetic on your readings, not approval to ride.");
    rows.push_back(row::Button{"sheet", "The sheet for the toolbox", "one page, PDF", act::SheetTo{""}});
    if (shown->open)
        rows.push_back(row::Button{"leave", "Leave it here", "what was done stays", act::EndPlan{false}});
    if (state.pad)
        page.primary = {"Keep it", act::PadNext{}, ""};
    else if (!shown->open)
        page.primary = left.empty() ? Primary{"To the bike", act::Go{Screen::bike, bike->id}, ""}
                                    : Primary{"Begin", act::BeginPlan{}, ""};
    else if (left.empty())
        page.primary = {"It is back: close the way", act::EndPlan{true}, ""};
    else
        page.primary = {left.front()->doing == Doing::measure
                            ? "Measure: " + wording::label(left.front()->point)
                            : "Done, next",
                        act::CompleteStep{left.front()->key}, ""};
    return page;
}

}  // namespace restand
