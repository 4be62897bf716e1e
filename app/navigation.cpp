// The current screen, the screen behind it, and Undo.

#include <algorithm>
#include <optional>

#include "app/app_state.h"
#include "app/pad/pad_undo.h"
#include "app/views/point_wording.h"
#include "app/views/season_wording.h"
#include "app/views/wording.h"
#include "core/codec/body_json.h"

namespace restand {

namespace {
// Opened from anywhere.
bool is_visited(Screen screen) {
    return screen == Screen::people || screen == Screen::settings || screen == Screen::devices ||
           screen == Screen::shelf || screen == Screen::item || screen == Screen::keys ||
           screen == Screen::bike_form || screen == Screen::compare || screen == Screen::plan ||
           screen == Screen::event || screen == Screen::job;
}
bool is_of_bike(Screen screen) {
    return screen == Screen::bike || screen == Screen::baselines || screen == Screen::history ||
           screen == Screen::trend || screen == Screen::parts || screen == Screen::attitude ||
           screen == Screen::chain || screen == Screen::jobs || screen == Screen::ready;
}

// The screen that the title's arrow leads to.
Screen screen_behind(const AppState& state) {
    if (is_visited(state.screen) && !state.trail.empty()) return state.trail.back();
    if (state.jobs.led_to == state.screen) return Screen::ready;
    switch (state.screen) {
        case Screen::bikes:
        case Screen::bike:
        case Screen::people:
        case Screen::settings:
        case Screen::devices:
        case Screen::shelf:
        case Screen::keys:
            return Screen::bikes;
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
        case Screen::jobs:
            return Screen::bike;
        case Screen::job:
        case Screen::ready:
            return Screen::jobs;
    }
    return Screen::bikes;
}

Length chain_pitch(const AppState& state) {
    const Bike* bike = state.ledger.bike(state.bike);
    return bike ? bike->body.mechanism.pitch() : usual_chain_pitch;
}

}  // namespace

bool is_about_bike(Screen screen) {
    return is_of_bike(screen) || screen == Screen::job || screen == Screen::swap ||
           screen == Screen::change || screen == Screen::plan || screen == Screen::baseline ||
           screen == Screen::moment || screen == Screen::compare || screen == Screen::choose ||
           screen == Screen::which_spring;
}

void enter(AppState& state) {
    Season& season = state.season;
    switch (state.screen) {
        case Screen::baselines:
            return send(state, task::Baselines{state.bike});
        case Screen::history:
            season.query =
                HistoryQuery{.bike = state.bike, .text = {}, .part = {}, .kinds = {}, .before = {}};
            return read_time_line(state);
        case Screen::trend:
        case Screen::parts:
        case Screen::ready:
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

void visit(AppState& state, Screen screen) {
    constexpr std::size_t longest = 16;
    auto& trail = state.trail;
    if (const auto before = std::find(trail.begin(), trail.end(), screen); before != trail.end()) {
        trail.erase(before, trail.end());
    } else if (screen != state.screen) {
        trail.push_back(state.screen);
        if (trail.size() > longest) trail.erase(trail.begin());
    }
    state.screen = screen;
}

void leave_visited(AppState& state, Screen otherwise) {
    state.screen = state.trail.empty() ? otherwise : state.trail.back();
    if (!state.trail.empty()) state.trail.pop_back();
}

void act_on(AppState& state, const act::Go& go) {
    if (!leave_pad(state)) return;
    state.notice.reset();
    state.jobs.led_to.reset();
    if (is_of_bike(go.screen) && !go.id.nil()) state.bike = go.id;
    if (go.screen == Screen::baseline) state.baseline = go.id;
    if (is_visited(go.screen)) {
        visit(state, go.screen);
    } else {
        state.trail.clear();
        state.screen = go.screen;
    }
    enter(state);
}

namespace {
// What was typed stays half written: of a new bike that has a name, and of one that is there.
void leave_form(AppState& state) {
    if (!state.form) return;
    const BikeForm& form = *state.form;
    if (form.bike.nil() && !form.body.name.empty())
        return say(state, "Not saved yet: " + form.body.name + ". 'Add a bike' goes on with it.");
    if (const Bike* bike = bike_typed(state))
        return say(state,
                   "Not saved yet: numbers of " + bike->body.name + ". 'Its numbers' goes on with them.");
    state.form.reset();
}
}  // namespace

void act_on(AppState& state, const act::Back&) {
    if (state.pad) return act_on(state, act::CloseTag{});
    state.notice.reset();
    // A half-written session stays as a draft. Other forms are left; their unsaved input is dropped.
    if (state.screen == Screen::parts && state.season.part) {
        state.season.part.reset();
        return;
    }
    const Screen to = screen_behind(state);
    state.jobs.led_to.reset();
    if (state.screen == Screen::bike_form) leave_form(state);
    if (is_visited(state.screen))
        leave_visited(state, to);
    else
        state.screen = to;
    // The time line keeps what was found (refresh_time_line); baselines are read again.
    const bool other_bike = to == Screen::history && state.season.query.bike != state.bike;
    const bool of_season = to == Screen::ready || to == Screen::parts || to == Screen::trend;
    if (to == Screen::baselines || of_season || other_bike) enter(state);
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
    if (const auto* job = std::get_if<JobBody>(&fact.body)) return "Taken back: " + job->what + of;
    if (std::holds_alternative<SwapEndBody>(fact.body)) return "Taken back: the end of the swap" + of;
    if (std::holds_alternative<BikeBody>(fact.body)) return "Taken back: the last change of its numbers" + of;
    return "Taken back: " + wording::moment(fact.entry.kind) + of;
}

// The entries that Undo takes back, as they stand.
std::vector<const Fact*> undone_by(const AppState& state, const act::Undo& undo) {
    std::vector<const Fact*> facts;
    for (const Id& id : undo.entries)
        if (const Fact* fact = state.ledger.fact(id); fact && !state.ledger.superseded(id))
            facts.push_back(fact);
    if (!undo.entries.empty()) return facts;
    if (const auto last = state.ledger.last_undoable(state.session, state.device))
        facts.push_back(state.ledger.fact(last->entry.id));
    return facts;
}
}  // namespace

// The newest thing: a number that is asked about, digits half typed, a row taken out of the bike's table, a
// setting that is tried; else what was written last.
void act_on(AppState& state, const act::Undo& undo) {
    state.notice.reset();
    if (undo.entries.empty() &&
        (undo_question(state) || undo_typing(state) || undo_pair(state) || undo_trial(state)))
        return;
    if (!state.pending.empty()) return defer(state, undo);
    const auto facts = undone_by(state, undo);
    if (facts.empty())
        return say(state, undo.entries.empty() ? "Nothing to undo since you opened Restand."
                                               : "Nothing to undo: it was changed since.");
    std::vector<NewEntry> back, taken;
    for (const Fact* fact : facts) {
        const bool ends = std::holds_alternative<SwapEndBody>(fact->body) ||
                          std::holds_alternative<BaselineBody>(fact->body);
        if (ends && !fact->entry.about.nil() && state.ledger.open_swap(fact->entry.bike))
            return say(state,
                       "Another swap is open on this bike. Finish it or set it aside, then Undo brings the "
                       "last one back.",
                       true);
        const auto superseded = [&](const Id& id) {
            return std::any_of(back.begin(), back.end(), [&](const NewEntry& entry) {
                return std::find(entry.supersedes.begin(), entry.supersedes.end(), id) !=
                       entry.supersedes.end();
            });
        };
        if (superseded(fact->entry.id)) continue;
        const auto entry = state.ledger.undo_of(fact->entry.id, state.who);
        if (!entry) return say(state, "Nothing to undo since you opened Restand.");
        // A baseline and the end of its swap go together.
        for (const Id& id : entry->supersedes)
            if (const Fact* old = state.ledger.fact(id); old && !state.ledger.superseded(id))
                taken.push_back(
                    {old->entry.kind, old->entry.bike, old->entry.about, old->entry.by, {}, old->entry.body});
        back.push_back(*entry);
    }
    append(state, {.said = taken_back(state, *facts.front()), .takes_back = std::move(taken)},
           std::move(back));
}

void act_on(AppState& state, const act::Redo& redo) {
    state.notice.reset();
    if (!state.pending.empty()) return defer(state, redo);
    if (state.undone.empty()) return say(state, "Nothing to bring back: no Undo since the last entry.");
    std::vector<NewEntry> again = std::move(state.undone.back());
    state.undone.pop_back();
    // A reading takes the place of what stands there now: an earlier Redo may have put it there.
    for (NewEntry& entry : again) {
        const auto body = body_from_json(entry.kind, entry.body);
        const auto* reading = body ? std::get_if<ReadingBody>(&*body) : nullptr;
        const Swap* swap = reading ? state.ledger.swap(entry.about) : nullptr;
        if (swap) entry.supersedes = swap->entries(read_at(*reading, swap->parts));
    }
    std::string said = "Back again: " + wording::said(again.front());
    append(state, {.said = std::move(said), .redoes = true}, std::move(again));
}

void act_on(AppState& state, const act::PutBack&) {
    if (!state.dropped || state.dropped->screen != state.screen || state.dropped->swap != state.swap)
        return state.notice.reset();
    if (!leave_pad(state)) return;
    state.notice.reset();
    state.pad = std::move(state.dropped->pad);
    state.dropped.reset();
}

void act_on(AppState& state, const act::Ask& ask) {
    state.asked = ask.row;
}

void act_on(AppState& state, const act::Tell& tell) {
    say(state, tell.text);
}

void act_on(AppState& state, const act::SortBy& by) {
    auto& sorting = state.sorting;
    const bool same = sorting && sorting->screen == state.screen && sorting->column == by.column;
    sorting = {state.screen, by.column, same && !sorting->falling};
}

void act_on(AppState& state, const act::DismissNotice&) {
    state.notice.reset();
}

}  // namespace restand
