// Events of a day, and the fields of the event and part forms.

#include <fmt/format.h>

#include "app/app_state.h"
#include "app/views/season_wording.h"
#include "app/views/wording.h"
#include "core/codec/body_json.h"

namespace restand {

namespace {
std::string* text_of(EventBody& body, EventField field) {
    switch (field) {
        case EventField::day:
            return &body.day;
        case EventField::circuit:
            return &body.circuit;
        case EventField::session:
            return &body.session;
        case EventField::weather:
            return &body.weather;
        case EventField::tyre:
            return &body.tyre;
        case EventField::words:
            return &body.words;
        default:
            return nullptr;
    }
}

std::optional<double>* number_of(EventBody& body, EventField field) {
    switch (field) {
        case EventField::distance:
            return &body.distance_km;
        case EventField::running:
            return &body.running_h;
        case EventField::air:
            return &body.air_c;
        case EventField::track:
            return &body.track_c;
        default:
            return nullptr;
    }
}

std::optional<double> number_of(const PartBody& body, PartField field) {
    switch (field) {
        case PartField::limit_km:
            return body.limit_km;
        case PartField::limit_h:
            return body.limit_h;
        case PartField::used_km:
            return body.used_km;
        case PartField::used_h:
            return body.used_h;
        case PartField::name:
            break;
    }
    return std::nullopt;
}

void set_number(PartBody& body, PartField field, double v) {
    if (field == PartField::limit_km) body.limit_km = v;
    if (field == PartField::limit_h) body.limit_h = v;
    if (field == PartField::used_km) body.used_km = v;
    if (field == PartField::used_h) body.used_h = v;
}

double typed_number(const std::string& text) {
    const auto typed = read_typed(text, Unit::one);
    return typed ? typed_value(*typed) : 0;
}
}  // namespace

std::string standing_season_text(const AppState& state, const Field& field) {
    if (field.of == Field::Of::find) return state.season.query.text;
    if (field.of == Field::Of::job) return standing_job_text(state, field.job);
    if (field.of == Field::Of::device) return state.meeting.own_name;
    if (field.of == Field::Of::folder) return state.meeting.folder;
    if (field.of == Field::Of::event && state.season.event) {
        EventBody body = state.season.event->body;
        if (const std::string* text = text_of(body, field.event)) return *text;
        const auto* number = number_of(body, field.event);
        return number && *number ? wording::plain(**number, Unit::one) : "";
    }
    if (field.of == Field::Of::part && state.season.part) {
        if (field.part == PartField::name) return state.season.part->body.name;
        const auto number = number_of(state.season.part->body, field.part);
        return number ? wording::plain(*number, Unit::one) : "";
    }
    return {};
}

void keep_season_field(AppState& state, const Field& field, const std::string& text) {
    if (field.of == Field::Of::find) return act_on(state, act::FindWords{text});
    if (field.of == Field::Of::job) {
        const Job* job = shown_job(state);
        return act_on(state, act::SetJobText{state.bike, job ? job->id : Id{}, field.job, text});
    }
    if (field.of == Field::Of::folder) {
        state.meeting.folder = text;
        return send(state, task::Places{text});
    }
    if (field.of == Field::Of::device) {
        const Device* device = state.ledger.device(state.device);
        state.meeting.own_name = text;
        return append(state, {.said = "This device is called " + text + "."},
                      {encode(DeviceBody{text, fmt::format("{:016x}", state.device), {}}, {}, {}, state.who,
                              device ? device->heads : std::vector<Id>{})});
    }
    if (field.of == Field::Of::event && state.season.event) {
        EventBody& body = state.season.event->body;
        if (std::string* slot = text_of(body, field.event)) *slot = text;
        if (auto* slot = number_of(body, field.event))
            *slot = text.empty() ? std::nullopt : std::optional(typed_number(text));
    }
    if (field.of == Field::Of::part && state.season.part) {
        PartBody& body = state.season.part->body;
        if (field.part == PartField::name)
            body.name = text;
        else
            set_number(body, field.part, typed_number(text));
    }
}

namespace {
EventBody blank_event(const AppState& state, const Id& bike) {
    EventBody body;
    body.day = wording::iso_day(state.now_ms, state.utc_offset_min);
    // The circuit of the last few days is the likely one today.
    for (const Fact* f : state.ledger.facts_of(bike))
        if (const auto* last = std::get_if<EventBody>(&f->body);
            last && f->entry.clock.ms > state.now_ms - 4 * 86'400'000LL)
            body.circuit = last->circuit;
    return body;
}
}  // namespace

bool half_written(const AppState& state, const Id& bike) {
    const auto& form = state.season.event;
    if (!form || form->bike != bike) return false;
    EventBody blank = blank_event(state, bike);
    blank.day = form->body.day;
    return form->body != blank;
}

void act_on(AppState& state, const act::StartEvent& start) {
    if (!leave_pad(state)) return;
    state.bike = start.bike;
    state.notice.reset();
    visit(state, Screen::event);
    if (state.season.event && state.season.event->bike == start.bike) return;  // half written: go on
    state.season.event = EventForm{start.bike, blank_event(state, start.bike)};
}

void act_on(AppState& state, const act::DropEvent&) {
    if (state.pad) act_on(state, act::CloseTag{});
    state.season.event.reset();
    act_on(state, act::Back{});
}

void act_on(AppState& state, const act::SaveEvent&) {
    if (!leave_pad(state) || !state.season.event || on_its_way(state, Pending::Then::show_history)) return;
    const EventForm form = *state.season.event;
    if (form.body == EventBody{.day = form.body.day,
                               .circuit = {},
                               .session = {},
                               .weather = {},
                               .tyre = {},
                               .words = {},
                               .distance_km = {},
                               .running_h = {},
                               .air_c = {},
                               .track_c = {}})
        return say(state, "Nothing to save yet: a circuit, a session or a word is enough.");
    append(state, {.then = Pending::Then::show_history, .said = "Saved.", .undo = true},
           {encode(form.body, form.bike, {}, state.who)});
    state.season.event.reset();
}

}  // namespace restand
