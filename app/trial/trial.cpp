// Attitude and chain: settings tried before they are set on the bike.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "app/app_state.h"
#include "app/views/point_wording.h"
#include "app/views/season_wording.h"
#include "app/views/wording.h"
#include "core/codec/body_json.h"
#include "core/ledger/described.h"

namespace restand {

SetUp setup_tried(const AppState& state, const Id& bike) {
    SetUp setup = setup_now(state.ledger, bike);
    setup.before_change();
    forget_what_rolled(setup, state.trial.tried);
    for (const SetValue& v : state.trial.tried) {
        StoredReading& stored = setup.values[{v.end, v.reading.point}];
        stored = StoredReading{v.reading, {}, {}, {}, {}, false};
    }
    return setup;
}

SetUp setup_described(const AppState& state, const Id& bike) {
    auto described = setup_described(state.ledger, bike);
    return described ? std::move(*described) : setup_now(state.ledger, bike);
}

std::size_t tried_on(const AppState& state, const Id& bike) {
    return state.trial.tried_on == bike ? state.trial.tried.size() : 0;
}

void keep_tried(AppState& state, End end, Reading reading) {
    auto& tried = state.trial.tried;
    std::erase_if(tried, [&](const SetValue& v) { return v.end == end && v.reading.point == reading.point; });
    const SetUp now = setup_now(state.ledger, state.bike);
    const StoredReading* stands = now.stored(end, reading.point);
    const bool text = is_text(reading.point);
    if (stands && !text && std::fabs(measured(stands->reading).value - measured(reading).value) < 1e-9)
        return;
    tried.push_back({end, std::move(reading)});
}

bool undo_trial(AppState& state) {
    const bool on_page = state.screen == Screen::attitude || state.screen == Screen::chain;
    auto& tried = state.trial.tried;
    if (!on_page || state.trial.tried_on != state.bike || tried.empty()) return false;
    const SetValue& last = tried.back();
    say(state, "No longer tried: " + wording::label(last.reading.point, last.end) + " " +
                   wording::reading(last.reading) + ".");
    tried.pop_back();
    return true;
}

namespace {
// To the hundredth, because half turns add up; as short as a person would type it.
std::string hundredths(double mm) {
    std::string text = fmt::format("{:.2f}", mm);
    while (text.ends_with('0')) text.pop_back();
    if (text.ends_with('.')) text.pop_back();
    return text;
}

void try_value(AppState& state, End end, Point point, double canonical) {
    const SetUp now = setup_now(state.ledger, state.bike);
    const StoredReading* stands = now.stored(end, point);
    if (!stands) return act_on(state, act::OpenTag{{.of = Field::Of::tried, .point = point, .end = end}});
    Reading reading = stands->reading;
    const Unit unit = reading.repeats.back().unit;
    const bool fine = dimension_of(unit) == Dimension::length && unit == Unit::mm;
    reading.repeats = {Typed{fine ? hundredths(canonical) : wording::plain(canonical, unit), unit}};
    if (!validate(reading)) return say(state, "It is at its end.");
    keep_tried(state, end, std::move(reading));
}

void show(AppState& state, const Id& bike, Screen screen) {
    if (!leave_pad(state) || !state.ledger.bike(bike)) return;
    if (Trial& trial = state.trial; trial.tried_on != bike)
        trial = {.tried_on = bike, .looked_at = trial.looked_at, .at_kmh = trial.at_kmh};
    state.bike = bike;
    state.notice.reset();
    state.screen = screen;
    // Geometry belongs to the baseline, and the chain's length to its slack: both are read from disk.
    send(state, task::Baselines{bike});
}
}  // namespace

void act_on(AppState& state, const act::ShowAttitude& of) {
    show(state, of.bike, Screen::attitude);
}

void act_on(AppState& state, const act::ShowChain& of) {
    show(state, of.bike, Screen::chain);
}

void act_on(AppState& state, const act::Try& step) {
    if (!leave_pad(state)) return;
    const SetUp setup = setup_tried(state, state.bike);
    const StoredReading* stored = setup.stored(step.end, step.point);
    try_value(state, step.end, step.point, stored ? measured(stored->reading).value + step.by : step.by);
}

void act_on(AppState& state, const act::TryTo& to) {
    // A drag that outlives its page tries nothing.
    const bool on_page = state.screen == Screen::attitude || state.screen == Screen::chain;
    if (on_page && leave_pad(state)) try_value(state, to.end, to.point, to.value);
}

void act_on(AppState& state, const act::TryGear& gear) {
    if (!leave_pad(state)) return;
    try_value(state, End::rear, Point::sprocket_front, gear.front);
    try_value(state, End::rear, Point::sprocket_rear, gear.rear);
    try_value(state, End::rear, Point::chain_links, gear.links);
    try_value(state, End::rear, Point::axle_position, gear.axle);
}

void act_on(AppState& state, const act::TryNothing&) {
    if (!leave_pad(state)) return;
    state.trial.tried.clear();
}

void act_on(AppState& state, const act::KeepTried& tap) {
    if (!leave_pad(state) || !state.pending.empty() || state.trial.tried.empty()) return;
    if (!somebody_named(state, tap)) return;
    const Bike* bike = state.ledger.bike(state.bike);
    if (bike && cannot_be_set(bike->body, setup_tried(state, bike->id)))
        return say(state, "What is tried cannot be set. Look at 'Attitude'.", true);
    const ChangeBody change{{}, std::exchange(state.trial.tried, {})};
    append(state,
           {.then = Pending::Then::show_bike,
            .said = "Written down as set: " + wording::said(change) + ".",
            .undo = true},
           {encode(change, state.bike, {}, state.who)});
}

void act_on(AppState& state, const act::KeepAsTarget& tap) {
    if (!leave_pad(state) || !state.pending.empty() || state.trial.tried.empty()) return;
    if (!somebody_named(state, tap)) return;
    append(state,
           {.then = Pending::Then::show_history,
            .said = "A target on the time line. Nothing was changed on the bike.",
            .undo = true},
           {encode(RecordBody{wording::iso_day(state.now_ms, state.utc_offset_min), "base setting, typed",
                              std::exchange(state.trial.tried, {})},
                   state.bike, {}, state.who)});
}

void act_on(AppState& state, const act::LookAt& at) {
    state.trial.looked_at = at.state;
}

void act_on(AppState& state, const act::OverTravel& over) {
    state.trial.over_travel = over.plot;
}

void act_on(AppState& state, const act::WantRatio& want) {
    const SetUp setup = setup_tried(state, state.bike);
    const StoredReading *front = setup.stored(End::rear, Point::sprocket_front),
                        *rear = setup.stored(End::rear, Point::sprocket_rear);
    if (!front || !rear) return;
    const double is = measured(rear->reading).value / measured(front->reading).value;
    state.trial.wanted_ratio = std::clamp(state.trial.wanted_ratio.value_or(is) + want.by, 1.0, 6.0);
}

void act_on(AppState& state, const act::WantSlack& want) {
    state.trial.wanted_slack = std::clamp(state.trial.wanted_slack + want.by, 5.0, 80.0);
}

void act_on(AppState& state, const act::ShowGears& show) {
    if (leave_pad(state)) state.trial.gears = show.shown;
}

void act_on(AppState& state, const act::AtSpeed& speed) {
    state.trial.at_kmh = std::clamp(state.trial.at_kmh + speed.by, 5.0, 400.0);
}

}  // namespace restand
