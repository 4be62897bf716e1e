// Changes of settings outside a swap, and the effect of a change on the ride heights.

#include <fmt/format.h>

#include <cmath>

#include "app/app_state.h"
#include "app/views/point_wording.h"
#include "app/views/season_wording.h"
#include "app/views/wording.h"
#include "core/codec/body_json.h"
#include "core/ledger/change_effect.h"
#include "core/ledger/chassis.h"
#include "core/ledger/fitted_unit.h"
#include "core/ledger/moved_by.h"

namespace restand {

namespace {
constexpr std::int64_t one_go_ms = 60'000;  // taps on one setting within a minute count as one change

// The last change that this person made here; the sum of the taps replaces it.
const Fact* same_go(const AppState& state, End end, Point point) {
    const Fact* newest = nullptr;
    for (const Fact* f : state.ledger.facts_of(state.bike)) {
        if (f->entry.kind != "change" && f->entry.kind != "tick") continue;
        if (state.ledger.superseded(f->entry.id)) continue;
        if (!newest || newest->entry.clock < f->entry.clock) newest = f;
    }
    // What a baseline was kept with stays as it was.
    if (const Baseline* last = state.ledger.newest_baseline(state.bike);
        newest && last && newest->entry.clock < last->clock)
        return nullptr;
    if (!newest || newest->entry.by != state.who ||
        std::abs(state.now_ms - newest->entry.clock.ms) > one_go_ms)
        return nullptr;
    const auto* change = std::get_if<ChangeBody>(&newest->body);
    const bool same = change && change->values.size() == 1 && change->values[0].end == end &&
                      change->values[0].reading.point == point;
    return same ? newest : nullptr;
}

// That the chain is then too short, where the change moves its slack or is its slack as read.
std::string effect_on_chain(const AppState& state, const Bike& bike, SetUp setup, const SetValue& value) {
    const Point point = value.reading.point;
    const bool read = point == Point::chain_slack;
    if (value.end != End::rear || !(read || moved_by(point, bike.body.how_read.stand()).slack)) return "";
    if (read)
        setup.at_slack.reset();
    else
        setup.before_change();
    setup.values[{value.end, point}].reading = value.reading;
    const auto chain = chain_of(bike.body, setup, setup_described(state, bike.id));
    if (!chain || !chain->too_short()) return "";
    return " · " + wording::chain_too_short(abs(chain->tight.excess), state.ledger.units());
}

// "rider +1.4 mm", where it can be computed.
std::string effect_on_heights(const AppState& state, End end, Point point, const SetValue& value) {
    const Bike* bike = state.ledger.bike(state.bike);
    if (!bike) return "";
    const SetUp before = setup_now(state.ledger, state.bike);
    SetUp after = before;
    after.values[{end, point}].reading = value.reading;
    const UnitChoice units = state.ledger.units();
    const auto apart = coils_apart(after, end);
    std::string warned = apart && *apart < mm(0) && is_of_preload(point)
                             ? " · " + wording::coils_touch(end, *apart, units)
                             : "";
    warned += effect_on_chain(state, *bike, before, value);
    const auto change = stance_change(bike->body, end, before, after);
    if (!change || is_only_read(point)) return warned;
    std::string text;
    const auto add = [&](const char* what, const std::optional<Length>& by) {
        if (by && std::fabs(by->value) >= 0.05)
            text += fmt::format(" · {} {}", what, wording::signed_value(by->value, units.length));
    };
    add("topped out", change->topped_out);
    add("static", change->static_);
    add("rider", change->rider);
    if (!text.empty()) text += " " + std::string(symbol(units.length));
    text += warned;
    if (change->ratio) text += fmt::format(" · gearing {:+.1f} %", 100 * (*change->ratio - 1));
    return text;
}

void append_change(AppState& state, const SetValue& value, std::vector<Id> supersedes) {
    const std::string effect = effect_on_heights(state, value.end, value.reading.point, value);
    append(state,
           {.field = Field{.of = Field::Of::change, .point = value.reading.point, .end = value.end},
            .said = fmt::format("{} {}{}", wording::label(value.reading.point, value.end),
                                wording::reading(value.reading), effect),
            .undo = true},
           {encode(ChangeBody{{}, {value}}, state.bike, {}, state.who, std::move(supersedes))});
}
}  // namespace

void act_on(AppState& state, const act::StartChange& start) {
    if (!leave_pad(state) || !state.ledger.bike(start.bike)) return;
    state.bike = start.bike;
    state.notice.reset();
    state.screen = Screen::change;
}

void act_on(AppState& state, const act::StartReading& start) {
    act_on(state, act::StartChange{start.bike});
    if (state.screen == Screen::change && state.bike == start.bike)
        act_on(state, act::OpenTag{{.of = Field::Of::change, .point = start.point, .end = start.end}});
}

bool may_keep_as_it_stands(const AppState& state, const Id& bike, const SetUp& now) {
    const Baseline* last = state.ledger.newest_baseline(bike);
    return !now.values.empty() && !(last && is_as_kept(now, *last)) && !state.ledger.open_swap(bike);
}

std::string reason_as_it_stands(const AppState& state, const Id& bike) {
    return state.reason.empty() || state.reason_of != bike ? wording::as_it_stands() : state.reason;
}

void act_on(AppState& state, const act::KeepAsItStands& again) {
    if (!state.ledger.bike(again.bike) || !leave_pad(state)) return;
    if (!somebody_named(state, again)) return;
    if (!state.pending.empty()) return defer(state, again);  // the last reading must be on disk first
    const SetUp now = setup_now(state.ledger, again.bike);
    if (!may_keep_as_it_stands(state, again.bike, now)) return;
    BaselineBody body = baseline_of(now, reason_as_it_stands(state, again.bike));
    if (const std::string without = wording::heights_not_read(now); !without.empty())
        body.reason += " · " + without;
    put_expected_slack(state, again.bike, body);
    append(state, {.then = Pending::Then::show_kept, .said = "Kept as the bike's baseline.", .undo = true},
           {encode(body, again.bike, {}, state.who)});
}

void act_on(AppState& state, const act::Nudge& nudge) {
    if (!leave_pad(state)) return;
    if (!somebody_named(state, nudge)) return;
    if (!state.pending.empty()) return defer(state, nudge);
    const Field field{.of = Field::Of::change, .point = nudge.point, .end = nudge.end};
    const auto stands = last_stored(state, field);
    if (!stands) return act_on(state, act::OpenTag{field});
    Reading reading = stands->reading;
    const Unit unit = reading.repeats.back().unit;
    const double value = measured(reading).value + nudge.by;
    // Rounded to 0.01 mm, because half turns add up.
    const bool fine = dimension_of(unit) == Dimension::length && unit == Unit::mm;
    reading.repeats = {Typed{fine ? fmt::format("{:.2f}", value) : wording::plain(value, unit), unit}};
    if (!validate(reading)) return say(state, "It is at its end.");
    std::vector<Id> replaced;
    if (const Fact* last = same_go(state, nudge.end, nudge.point)) replaced = {last->entry.id};
    append_change(state, {nudge.end, std::move(reading)}, std::move(replaced));
}

void keep_outside_swap(AppState& state, const Field& field, const Reading& reading) {
    if (field.of == Field::Of::tried) return keep_tried(state, field.end, reading);
    if (field.of == Field::Of::change) return append_change(state, {field.end, reading}, {});
    const RestorePlan* plan = state.ledger.open_plan(state.bike);
    if (!plan) return;
    const std::string key = action_key(Doing::measure, field.end, field.point);
    append(state,
           {.field = field,
            .said = wording::label(field.point) + " " + wording::reading(reading) + " saved",
            .undo = true},
           {encode(PlanStepBody{key, {{field.end, reading}}}, state.bike, plan->id, state.who)});
}

}  // namespace restand
