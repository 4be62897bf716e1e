#include "app/season/plan_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "app/season/baselines_view.h"
#include "app/views/check_rows.h"
#include "app/views/point_wording.h"
#include "app/views/season_wording.h"
#include "app/views/view_parts.h"
#include "app/views/wording.h"
#include "app/workshop/bikes_view.h"

namespace restand {

namespace {
std::string action_detail(const PlanAction& a, const SetUp& stands) {
    std::string text;
    if (const StoredReading* is = stands.stored(a.end, a.point); is && a.doing != Doing::measure)
        text = (is_computed(is->reading) ? "expected now " : "now ") + wording::reading(is->reading);
    if (a.solved)
        text += fmt::format("{}{}", text.empty() ? "" : " · ",
                            a.as_read ? "from the heights read with these parts"
                                      : "computed: another part is fitted than then");
    return text;
}

// What was set, or what was measured.
void done_rows(const AppState& state, const RestorePlan& plan, bool measured, std::vector<Row>& rows) {
    bool headed = false;
    for (const PlanStep& tick : plan.steps) {
        if (is_measuring(tick.action) != measured) continue;
        if (!std::exchange(headed, true)) rows.push_back(row::Heading{measured ? "Measured" : "Done"});
        std::string label;
        for (const SetValue& v : tick.values)
            label += fmt::format("{}{} {}", label.empty() ? "" : " · ",
                                 wording::label(v.reading.point, v.end), wording::reading(v.reading));
        rows.push_back(row::PlanStep{.id = "done:" + tick.action,
                                     .label = label.empty() ? tick.action : label,
                                     .detail = who_and_when(state, tick.by, tick.at_ms),
                                     .done = true,
                                     .next = false,
                                     .tap = {}});
    }
}

Field field_of_height(End end, const HeightCheck& height) {
    return {.of = Field::Of::plan, .point = height_point(height.state), .end = end};
}

// The heights measured on the way, judged as after a swap. They are as then because everything is set so:
// where they are not, something else is another one. `left`: some heights are still to be read.
void check_rows(const AppState& state, const BikeBody& bike, const PlanActions& plan, const SetUp& stands,
                bool left, std::vector<Row>& rows) {
    const auto verdict = plan.verdict();
    if (!verdict) return;
    if (left)
        rows.push_back(
            row::Note{"Read so far. Whether it stands as then is said when the last height is in."});
    else
        verdict_row(*verdict, rows);
    for (const auto& [end, check] : plan.checks) {
        if (plan.checks.size() > 1)
            rows.push_back(
                row::Heading{wording::heading(end) + (left ? "" : ": " + wording::verdict(check.verdict))});
        if (!left) pattern_rows(state, check, rows);
        if (!left && check.turns_help())
            rows.push_back(row::Note{
                fmt::format("{}, so it should stand as {}. First: same fuel, rider, tank and mark as "
                            "then? Then read again what was set.",
                            plan.parts_of_then ? "All is set as then"
                                               : "All is set as computed for the parts now fitted",
                            plan.held ? "then" : "near to then as they allow"),
                Ink::now, true});
        height_rows(state, check, bike.setup(end).tolerance, rows);
        if (!left)
            untold_rows(
                state, check, bike.setup(end).tolerance,
                [&, at = end](Point height) { return stands.stored(at, height); }, rows);
        for (const HeightCheck& h : check.heights) {
            if (h.verdict == Verdict::restored) continue;
            const Field height = field_of_height(end, h);
            rows.push_back(row::Button{fmt::format("again:{}:{}", key(end), facts(height.point).key),
                                       "Measure again: " + wording::label(height.point), "",
                                       act::OpenTag{height}});
        }
    }
}

std::string panel_title(const PlanActions& plan, std::size_t left, bool never_was) {
    if (left > 0) return fmt::format("{} to do, in this order", left);
    const auto verdict = plan.verdict();
    if (!verdict && !plan.parts_of_then) return "It is set for the parts now in";
    if (!verdict) return never_was ? "It is set so" : "It is set as then";
    if (*verdict == Verdict::restored) return never_was ? "It stands so" : "It stands as then";
    if (*verdict == Verdict::not_restored)
        return never_was ? "It does not stand so" : "It does not stand as then";
    return "These readings cannot tell";
}

bool measured_already(const RestorePlan* plan, const PlanAction& action) {
    return plan && std::any_of(plan->steps.begin(), plan->steps.end(),
                               [&](const PlanStep& t) { return t.action == action.key; });
}

void problem_rows(const AppState& state, const PlanActions& plan, std::vector<Row>& rows) {
    if (!plan.held)
        rows.push_back(row::Note{fmt::format("With the parts now fitted it cannot stand quite as then{}",
                                             plan.limits.empty() && plan.unsaid.empty() ? "." : ":"),
                                 Ink::stop, true});
    const UnitChoice units = state.ledger.units();
    for (const EndLimit& l : plan.limits) rows.push_back(row::Note{wording::limit(l, units), Ink::stop});
    for (const Error& e : plan.unsaid) rows.push_back(row::Note{wording::sentence(e), Ink::now, false, true});
    for (const LeftOut& l : plan.left_out)
        rows.push_back(row::Note{wording::left_out(l), Ink::ink, false, true});
}
// Of a way that did not lead there, or cannot be said to.
std::string closing(Verdict verdict, bool never_was) {
    if (verdict == Verdict::cannot_tell) return "Close it: these readings cannot tell";
    return never_was ? "Close it: it does not stand so" : "Close it: it does not stand as then";
}

// Everything is set, and measured where it was moved. What is not as then is measured again first.
Primary last_step(const BikeBody& bike, const PlanActions& plan, bool never_was) {
    const Verdict verdict = plan.verdict().value_or(Verdict::restored);
    for (const auto& [end, check] : plan.checks)
        for (const HeightCheck& h : check.heights) {
            const bool lost = verdict == Verdict::cannot_tell && lost_before(h, bike.setup(end).tolerance);
            if (verdict == Verdict::restored || h.verdict != verdict || lost) continue;
            const Field height = field_of_height(end, h);
            return {"Measure again: " + wording::label(height.point, end), act::OpenTag{height}, ""};
        }
    if (verdict != Verdict::restored) return {closing(verdict, never_was), act::EndPlan{false}, ""};
    return {never_was ? "It is set: close the way" : "It is back: close the way", act::EndPlan{true}, ""};
}

// Ends the way before it is restored.
row::Button leave_row(const PlanActions& plan, bool unread, bool never_was) {
    const auto verdict = unread ? std::nullopt : plan.verdict();
    const bool told = verdict && *verdict != Verdict::restored;
    return {"leave", told ? closing(*verdict, never_was) : "Leave it here", "what was done stays",
            act::EndPlan{false}};
}

// What is left to do, and the other way where a spring could be refitted.
void step_rows(const AppState& state, const PlanShown& shown, const std::vector<const PlanAction*>& left,
               std::vector<Row>& rows) {
    for (const PlanAction* a : left)
        rows.push_back(row::PlanStep{
            .id = "do:" + a->key,
            .label = wording::action(*a, state.ledger.units()),
            .detail = action_detail(*a, shown.stands),
            .done = false,
            .next = shown.open && a == left.front(),
            .tap = shown.open ? std::optional<Action>(act::CompleteStep{a->key}) : std::nullopt});
    for (const PlanAction& a : shown.plan.refits)
        rows.push_back(row::Button{
            "refit:" + a.key, "Or refit the spring of then: " + wording::reading(a.brings.front().reading),
            shown.open ? "then its settings are those of then" : "begin, then choose",
            shown.open ? Action(act::CompleteStep{a.key}) : Action(), shown.open != nullptr});
}

Primary plan_primary(const AppState& state, const BikeBody& bike, const PlanShown& shown,
                     const std::vector<const PlanAction*>& left, bool never_was) {
    if (state.pad) return {"Keep it", act::PadNext{}, ""};
    if (!shown.open)
        return left.empty() && shown.plan.refits.empty()
                   ? Primary{"To the bike", act::Go{Screen::bike, shown.bike}, ""}
                   : Primary{"Begin", act::BeginPlan{}, ""};
    if (left.empty()) return last_step(bike, shown.plan, never_was);
    const PlanAction& next = *left.front();
    const bool reads = next.doing == Doing::measure || next.doing == Doing::set_slack;
    return {reads ? "Measure: " + wording::label(next.point) : "Done, next", act::CompleteStep{next.key}, ""};
}
}  // namespace

bool heights_left(const PlanShown& shown) {
    return std::any_of(shown.plan.actions.begin(), shown.plan.actions.end(), [&shown](const PlanAction& a) {
        return a.doing == Doing::measure && is_ride_height(a.point) && !measured_already(shown.open, a);
    });
}

PageView plan_view(const AppState& state) {
    const PlanShown* shown = plan_shown(state);
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
    if (state.pad) {
        draw_measured(state, *bike, shown->stands, page);
    } else {
        draw_setup(*bike, shown->stands, page, &shown->then);
        page.drawing.caption = wording::pen(page.night) + ": now · blue: " + then;
    }
    auto& rows = page.panel.rows;
    std::vector<const PlanAction*> left;
    for (const PlanAction& a : shown->plan.actions)
        if (!(a.doing == Doing::measure && measured_already(shown->open, a))) left.push_back(&a);
    page.panel.title = panel_title(shown->plan, left.size(), never_was);
    const bool unread = heights_left(*shown);
    if (shown->open) check_rows(state, bike->body, shown->plan, shown->stands, unread, rows);
    problem_rows(state, shown->plan, rows);
    step_rows(state, *shown, left, rows);
    // A verdict stands above the steps.
    const bool told = !unread && shown->plan.verdict();
    if (shown->open && !left.empty() && !told) page.panel.in_sight = "do:" + left.front()->key;
    if (shown->open)
        for (const bool measured : {true, false}) done_rows(state, *shown->open, measured, rows);
    page.panel.cautions.emplace_back(
        "Bike secured on stands; spring under load. Fasteners to the maker's manual, re-checked after the "
        "first run. "
        "Arithmetic on your readings, not approval to ride.");
    rows.push_back(row::Button{"sheet", "The sheet for the toolbox", "one page, PDF", act::SheetTo{""}});
    if (shown->open) rows.push_back(leave_row(shown->plan, unread, never_was));
    page.primary = plan_primary(state, bike->body, *shown, left, never_was);
    return page;
}

}  // namespace restand
