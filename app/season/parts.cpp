// Trends, and parts with a service limit.

#include <fmt/format.h>

#include "app/app_state.h"
#include "app/season/part_actions.h"
#include "core/codec/body_json.h"

namespace restand {

void act_on(AppState& state, const act::ShowTrend& show) {
    if (!leave_pad(state)) return;
    state.season.what = show.what;
    state.season.end = show.end;
    state.season.point = show.point;
    act_on(state, act::Go{Screen::trend, show.bike});
}

void act_on(AppState& state, const act::StartPart& start) {
    if (!leave_pad(state)) return;
    PartForm form{start.bike, start.part, {}};
    for (const PartUse& use : state.season.parts)
        if (use.part == start.part)
            form.body = PartBody{use.name, use.limit_km, use.limit_h, use.km, use.hours, false};
    state.season.part = form;
    state.bike = start.bike;
    state.screen = Screen::parts;
    if (start.part.nil()) open_pad(state, {.of = Field::Of::part, .part = PartField::name});
}

namespace {
// The entry that says how the part stands; nil: a new part.
Id newest_entry_of(const AppState& state, const Id& part) {
    for (const PartUse& use : state.season.parts)
        if (use.part == part) return use.head;
    return {};
}

void write_part(AppState& state, const Id& bike, const Id& part, const PartBody& body, std::string said) {
    const Id head = newest_entry_of(state, part);
    append(state, {.then = Pending::Then::show_parts, .said = std::move(said), .undo = true},
           {encode(body, bike, part, state.who, head.nil() ? std::vector<Id>{} : std::vector{head})});
}

std::optional<PartBody> body_of(const AppState& state, const Id& part) {
    for (const PartUse& use : state.season.parts)
        if (use.part == part) return PartBody{use.name, use.limit_km, use.limit_h, use.km, use.hours, false};
    return std::nullopt;
}
}  // namespace

void act_on(AppState& state, const act::SavePart&) {
    if (!leave_pad(state) || !state.season.part || on_its_way(state, Pending::Then::show_parts)) return;
    const PartForm form = *state.season.part;
    if (form.body.name.empty()) return say(state, "A name is enough to begin.");
    write_part(state, form.bike, form.part, form.body, form.body.name + " saved.");
    state.season.part.reset();
}

void act_on(AppState& state, const act::Serviced& serviced) {
    auto body = body_of(state, serviced.part);
    if (!body || on_its_way(state, Pending::Then::show_parts)) return;
    body->used_km = body->used_h = 0;
    write_part(state, state.bike, serviced.part, *body, body->name + " serviced: counted from today.");
    state.season.part.reset();
}

void act_on(AppState& state, const act::PartGone& gone) {
    auto body = body_of(state, gone.part);
    if (!body || on_its_way(state, Pending::Then::show_parts)) return;
    body->gone = true;
    write_part(state, state.bike, gone.part, *body, body->name + " is no longer on the bike.");
    state.season.part.reset();
}

void act_on(AppState& state, const act::MovePart& move) {
    auto body = body_of(state, move.part);
    const Bike* to = state.ledger.bike(move.to);
    if (!body || !to || to->id == state.bike || on_its_way(state, Pending::Then::show_parts)) return;
    PartBody left = *body;
    left.gone = true;
    append(state,
           {.then = Pending::Then::show_parts,
            .said = fmt::format("{} goes on with {}, with what it has run.", body->name, to->body.name),
            .undo = true},
           {encode(left, state.bike, move.part, state.who, {newest_entry_of(state, move.part)}),
            encode(*body, to->id, move.part, state.who)});
    state.season.part.reset();
}

}  // namespace restand
