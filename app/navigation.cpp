// The current screen, the screen behind it, and Undo.

#include <optional>

#include "app/app_state.h"
#include "app/views/wording.h"

namespace restand {

namespace {
bool is_side_page(Screen screen) {
    return screen == Screen::people || screen == Screen::settings || screen == Screen::devices ||
           screen == Screen::shelf || screen == Screen::item;
}
bool is_of_bike(Screen screen) {
    return screen == Screen::bike || screen == Screen::baselines || screen == Screen::history ||
           screen == Screen::trend || screen == Screen::parts || screen == Screen::attitude ||
           screen == Screen::chain;
}

// The screen that the title's arrow leads to.
Screen behind(const AppState& state) {
    switch (state.screen) {
        case Screen::bikes:
        case Screen::bike:
            return Screen::bikes;
        case Screen::people:
        case Screen::settings:
        case Screen::devices:
        case Screen::shelf:
            return state.came_from;
        case Screen::item:
            return Screen::shelf;
        case Screen::table:
            return Screen::devices;
        case Screen::baseline:
            return Screen::baselines;
        case Screen::bike_form:
            return state.form && !state.form->bike.nil() ? Screen::bike : Screen::bikes;
        case Screen::event:
        case Screen::moment:
        case Screen::compare:
            return Screen::history;
        case Screen::swap:
        case Screen::baselines:
        case Screen::history:
        case Screen::change:
        case Screen::plan:
        case Screen::trend:
        case Screen::parts:
        case Screen::attitude:
        case Screen::chain:
        case Screen::choose:
        case Screen::which_spring:
            return Screen::bike;
    }
    return Screen::bikes;
}

Length chain_pitch(const AppState& state) {
    const Bike* bike = state.ledger.bike(state.bike);
    return bike ? bike->body.mechanism.pitch() : usual_chain_pitch;
}

}  // namespace

void enter(AppState& state) {
    Season& season = state.season;
    switch (state.screen) {
        case Screen::baselines:
            return send(state, task::Baselines{state.bike});
        case Screen::history:
            season.query =
                HistoryQuery{.bike = state.bike, .text = {}, .part = {}, .kinds = {}, .before = {}};
            season.asked = true;
            return send(state, task::History{season.query});
        case Screen::trend:
        case Screen::parts:
            season.watched = false;
            return send(state,
                        task::Watch{state.bike, season.what, season.end, season.point, chain_pitch(state)});
        case Screen::plan:
            if (const RestorePlan* open = state.ledger.open_plan(state.bike))
                return send(state, task::Find{open->target});
            if (!season.target.nil()) return send(state, task::Find{season.target});
            return;
        case Screen::devices:
            send(state, task::Copies{});
            send(state, task::Rejected{});
            return send(state, task::Places{state.meeting.folder});
        default:
            return;
    }
}
void act_on(AppState& state, const act::Go& go) {
    if (!leave_pad(state)) return;
    state.notice.reset();
    if (is_side_page(go.screen) && !is_side_page(state.screen)) state.came_from = state.screen;
    if (is_of_bike(go.screen) && !go.id.nil()) state.bike = go.id;
    if (go.screen == Screen::baseline) state.baseline = go.id;
    state.screen = go.screen;
    enter(state);
}

void act_on(AppState& state, const act::Back&) {
    if (state.pad) return act_on(state, act::CloseTag{});
    state.notice.reset();
    // Going back leaves the form; unsaved input is dropped, as the screen says.
    if (state.screen == Screen::event) state.season.event.reset();
    if (state.screen == Screen::parts && state.season.part) {
        state.season.part.reset();
        return;
    }
    const Screen to = behind(state);
    if (state.screen == Screen::bike_form) state.form.reset();
    state.screen = to;
    // The timeline keeps its position; baselines are read again.
    if (to == Screen::baselines) enter(state);
}

namespace {
// What Undo takes back, in words. Undo covers all bikes, so the text names the bike.
std::string taken_back(const AppState& state, const Fact& fact) {
    const Bike* bike = state.ledger.bike(fact.entry.bike);
    const std::string of = bike ? " (" + bike->body.name + ")" : "";
    if (const auto* r = std::get_if<ReadingBody>(&fact.body))
        return "Taken back: " + wording::label(r->reading.point) + " " + wording::reading(r->reading) + of;
    if (std::holds_alternative<BaselineBody>(fact.body)) return "Taken back: the kept baseline" + of;
    if (const auto* c = std::get_if<ChangeBody>(&fact.body); c && !c->values.empty())
        return "Taken back: " + wording::label(c->values[0].reading.point) + " " +
               wording::reading(c->values[0].reading) + of;
    if (std::holds_alternative<SwapEndBody>(fact.body)) return "Taken back: the end of the swap" + of;
    return "Taken back: " + wording::moment(fact.entry.kind) + of;
}
}  // namespace

void act_on(AppState& state, const act::Undo& again) {
    if (!leave_pad(state)) return;
    state.notice.reset();
    if (!state.pending.empty()) return defer(state, again);
    const auto last = state.ledger.last_undoable(state.session, state.device);
    const auto undo = last ? state.ledger.undo_of(last->entry.id, state.who) : std::nullopt;
    if (!undo) return say(state, "Nothing to undo since you opened Restand.");
    const bool ends =
        std::holds_alternative<SwapEndBody>(last->body) || std::holds_alternative<BaselineBody>(last->body);
    if (ends && !last->entry.about.nil() && state.ledger.open_swap(last->entry.bike))
        return say(state,
                   "Another swap is open on this bike. Finish it or set it aside, then Undo brings the last "
                   "one back.",
                   true);
    append(state, {.said = taken_back(state, *last)}, {*undo});
}

void act_on(AppState& state, const act::Ask& ask) {
    state.asked = ask.row;
}

void act_on(AppState& state, const act::DismissNotice&) {
    state.notice.reset();
}

}  // namespace restand
