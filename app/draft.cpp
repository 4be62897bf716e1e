// Converts the unfinished work in the app state to a draft and back. What no longer fits the workshop is left
// out.

#include <utility>

#include "app/draft.h"
#include "app/draft_keys.h"
#include "app/pad/instruments.h"
#include "core/codec/body_json.h"
#include "core/ledger/known_spread.h"

namespace restand {

namespace {
std::optional<Pad> pad_of(const Draft::Pad& d) {
    const auto of = from_key<Field::Of>(d.of);
    const auto phase = from_key<Phase>(d.phase);
    const auto point = from_key<Point>(d.point);
    const auto bike = from_key<BikeField>(d.bike_field);
    const auto end = from_key<End>(d.end);
    const auto event = from_key<EventField>(d.event);
    const auto part = from_key<PartField>(d.part);
    const auto job = from_key<JobField>(d.job);
    if (!of || !phase || !point || !bike || !end || !event || !part || !job) return std::nullopt;
    Pad pad{.field = {*of, *phase, *point, *bike, *end, *event, *part, *job},
            .repeats = d.repeats,
            .entry = d.entry,
            .unit = d.unit,
            .where = d.where,
            .settled_anew = d.settled_anew,
            .question = {},
            .problem = {}};
    if (is_reading(pad.field) && !is_text(pad.field)) {
        pad.instrument = usual_instrument(pad.field.point);
        for (const Instrument& i : instruments(pad.field.point))
            if (i.name == d.instrument) pad.instrument = i;
    }
    // A gauge's next number must not be appended to half-typed text.
    pad.half_typed = !is_text(pad.field) && !pad.entry.empty();
    if (!fits(pad.unit, dimension_of(pad.field)) && !is_text(pad.field)) return std::nullopt;
    for (const Typed& t : pad.repeats)
        if (!is_text(pad.field) && !read_typed(t.text, t.unit)) return std::nullopt;
    return pad;
}

// A pad opens only on the screen whose field it fills in.
bool belongs(const AppState& state, const Field& field) {
    switch (field.of) {
        case Field::Of::reading:
            return state.screen == Screen::swap;
        case Field::Of::reason:
            return state.screen == Screen::swap || state.screen == Screen::change;
        case Field::Of::bike:
            return state.screen == Screen::bike_form && state.form;
        case Field::Of::person:
            return state.screen == Screen::people;
        case Field::Of::change:
            return state.screen == Screen::change;
        case Field::Of::shelf:
        case Field::Of::tried:  // tried values are not kept
            return false;
        case Field::Of::plan:
            return state.screen == Screen::plan;
        case Field::Of::event:
            return state.screen == Screen::event;
        case Field::Of::part:
            return state.screen == Screen::parts && state.season.part;
        case Field::Of::job:
            return state.screen == Screen::job;
        case Field::Of::where:
        case Field::Of::find:
        case Field::Of::device:
        case Field::Of::folder:
            return false;
    }
    return false;
}
}  // namespace

Draft draft_of(const AppState& state) {
    Draft d;
    d.screen = key(state.screen);
    d.came_from = key(state.trail.empty() ? Screen::bikes : state.trail.back());
    d.bike = state.bike, d.swap = state.swap, d.baseline = state.baseline, d.who = state.who;
    d.night = state.look.night;
    d.text_percent = state.look.text_percent;
    d.reason = state.reason;
    // A number that was opened but not edited is not unfinished, and its text is rounded.
    const bool looked_at = state.pad && state.pad->anew && state.pad->field.of == Field::Of::bike;
    if (state.pad && !looked_at) {
        Pad p = *state.pad;
        if (p.editing_where) p.where = std::exchange(p.entry, {});
        const auto text = [](std::string_view key) { return std::string(key); };
        d.pad = Draft::Pad{text(key(p.field.of)),
                           text(key(p.field.phase)),
                           text(facts(p.field.point).key),
                           text(key(p.field.bike)),
                           p.unit,
                           p.repeats,
                           p.entry,
                           p.where,
                           text(key(p.field.end)),
                           text(key(p.field.event)),
                           text(key(p.field.part)),
                           p.instrument.name,
                           p.settled_anew,
                           text(key(p.field.job))};
    }
    d.folder = state.meeting.folder;
    d.target = state.season.target;
    d.job = state.jobs.job;
    if (const auto& e = state.season.event) d.event = Draft::Half{e->bike, {}, body_json(e->body)};
    if (const auto& p = state.season.part) d.part = Draft::Half{p->bike, p->part, body_json(p->body)};
    if (state.form)
        d.form =
            Draft::Form{state.form->bike, body_json(state.form->body),
                        state.form->half_pair ? std::optional(state.form->half_pair->value) : std::nullopt};
    return d;
}

namespace {
void take_season(AppState& state, const Draft& d) {
    state.meeting.folder = d.folder;
    state.season.target = d.target;
    if (state.ledger.job(d.job)) state.jobs.job = d.job;
    if (d.event && state.ledger.bike(d.event->bike))
        if (auto body = body_from_json("event", d.event->body))
            state.season.event = EventForm{d.event->bike, std::get<EventBody>(*body)};
    if (d.part && state.ledger.bike(d.part->bike))
        if (auto body = body_from_json("part", d.part->body))
            state.season.part = PartForm{d.part->bike, d.part->about, std::get<PartBody>(*body)};
}

// Without its subject a screen falls back to the bikes.
bool has_subject(const AppState& state, Screen screen) {
    switch (screen) {
        case Screen::swap:
            return !state.swap.nil();
        case Screen::bike_form:
            return state.form.has_value();
        case Screen::baseline:
            return !state.baseline.nil();
        case Screen::event:
            return state.season.event.has_value();
        case Screen::bike:
        case Screen::baselines:
        case Screen::history:
        case Screen::change:
        case Screen::attitude:
        case Screen::chain:
        case Screen::choose:
        case Screen::which_spring:
        case Screen::trend:
        case Screen::parts:
        case Screen::jobs:
        case Screen::ready:
            return !state.bike.nil();
        case Screen::job:  // the one of the draft may be gone, or not be written yet
            return !state.bike.nil() && (shown_job(state) || state.jobs.job.nil());
        case Screen::plan:
            return !state.bike.nil() && (state.ledger.open_plan(state.bike) || !state.season.target.nil());
        case Screen::item:
        case Screen::moment:  // their entries are read from disk when they are opened
        case Screen::compare:
        case Screen::table:
            return false;
        case Screen::bikes:
        case Screen::people:
        case Screen::settings:
        case Screen::devices:
        case Screen::shelf:
        case Screen::keys:
            return true;
    }
    return false;
}
}  // namespace

void take_draft(AppState& state, const Draft& d) {
    if (state.ledger.person(d.who)) state.who = d.who;
    act_on(state, act::SetLook{d.night, d.text_percent});
    const auto screen = from_key<Screen>(d.screen);
    if (!screen) return;
    if (state.ledger.bike(d.bike)) state.bike = d.bike;
    if (state.ledger.baseline(d.baseline)) state.baseline = d.baseline;
    state.reason = d.reason, state.reason_of = state.bike;
    const Swap* swap = state.ledger.swap(d.swap);
    if (swap && swap->open()) state.swap = d.swap;
    if (d.form)
        if (auto body = body_from_json("bike", d.form->body))
            state.form =
                BikeForm{d.form->bike, std::get<BikeBody>(*body),
                         d.form->half_pair_mm ? std::optional(mm(*d.form->half_pair_mm)) : std::nullopt};
    take_season(state, d);
    const auto came_from = from_key<Screen>(d.came_from);
    state.trail = {came_from && has_subject(state, *came_from) ? *came_from : Screen::bikes};
    const bool there = has_subject(state, *screen);
    state.screen = there ? *screen : Screen::bikes;
    if (there && d.pad) state.pad = pad_of(*d.pad);
    // A draft of an earlier version lacks the reading's end; take it from the swap.
    if (const Swap* open = open_swap(state); state.pad && open && state.pad->field.of == Field::Of::reading)
        if (const auto ends = ends_of(*open); ends.size() == 1) state.pad->field.end = ends.front();
    if (state.pad && !belongs(state, state.pad->field)) state.pad.reset();
    if (state.pad && is_reading(state.pad->field))
        state.pad->spread = known_spread(state.ledger, state.who, state.pad->field.point);
    enter(state);
}

}  // namespace restand
