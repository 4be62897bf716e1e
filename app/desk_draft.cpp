// The desk's half-done things as a draft, and back. What no longer fits the workshop is left out.

#include <utility>

#include "app/desk_parts.h"
#include "app/draft_keys.h"
#include "core/exchange/body_json.h"

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
    if (!of || !phase || !point || !bike || !end || !event || !part) return std::nullopt;
    Pad pad{.field = {*of, *phase, *point, *bike, *end, *event, *part},
            .repeats = d.repeats,
            .entry = d.entry,
            .unit = d.unit,
            .where = d.where,
            .question = {},
            .problem = {}};
    // A gauge's next number must not be written behind what was half typed.
    pad.half_typed = !is_text(pad.field) && !pad.entry.empty();
    if (!fits(pad.unit, dimension_of(pad.field)) && !is_text(pad.field)) return std::nullopt;
    for (const Typed& t : pad.repeats)
        if (!is_text(pad.field) && !read_typed(t.text, t.unit)) return std::nullopt;
    return pad;
}

// A pad is open only on the screen whose field it fills.
bool belongs(const Desk& desk, const Field& field) {
    switch (field.of) {
        case Field::Of::reading:
        case Field::Of::reason:
            return desk.screen == Screen::swap;
        case Field::Of::bike:
            return desk.screen == Screen::bike_form && desk.form;
        case Field::Of::person:
            return desk.screen == Screen::people;
        case Field::Of::change:
            return desk.screen == Screen::change;
        case Field::Of::shelf:
        case Field::Of::tried:  // what is only tried is not kept
            return false;
        case Field::Of::way:
            return desk.screen == Screen::way;
        case Field::Of::event:
            return desk.screen == Screen::event;
        case Field::Of::part:
            return desk.screen == Screen::parts && desk.season.part;
        case Field::Of::where:
        case Field::Of::find:
        case Field::Of::device:
        case Field::Of::folder:
            return false;
    }
    return false;
}
}  // namespace

Draft draft_of(const Desk& desk) {
    Draft d;
    d.screen = key(desk.screen);
    d.came_from = key(desk.came_from);
    d.bike = desk.bike, d.swap = desk.swap, d.baseline = desk.baseline, d.who = desk.who;
    d.night = desk.look.night;
    d.text_percent = desk.look.text_percent;
    d.reason = desk.reason;
    // A number that was only looked at is not half done, and its text is rounded.
    const bool looked_at = desk.pad && desk.pad->anew && desk.pad->field.of == Field::Of::bike;
    if (desk.pad && !looked_at) {
        Pad p = *desk.pad;
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
                           text(key(p.field.part))};
    }
    d.folder = desk.meeting.folder;
    d.target = desk.season.target;
    if (const auto& e = desk.season.event) d.event = Draft::Half{e->bike, {}, body_json(e->body)};
    if (const auto& p = desk.season.part) d.part = Draft::Half{p->bike, p->part, body_json(p->body)};
    if (desk.form)
        d.form =
            Draft::Form{desk.form->bike, body_json(desk.form->body),
                        desk.form->half_pair ? std::optional(desk.form->half_pair->value) : std::nullopt};
    return d;
}

namespace {
void take_season(Desk& desk, const Draft& d) {
    desk.meeting.folder = d.folder;
    desk.season.target = d.target;
    if (d.event && desk.ledger.bike(d.event->bike))
        if (auto body = body_from_json("event", d.event->body))
            desk.season.event = EventForm{d.event->bike, std::get<EventBody>(*body)};
    if (d.part && desk.ledger.bike(d.part->bike))
        if (auto body = body_from_json("part", d.part->body))
            desk.season.part = PartForm{d.part->bike, d.part->about, std::get<PartBody>(*body)};
}

// A screen without its subject falls back to the bikes.
bool has_subject(const Desk& desk, Screen screen) {
    switch (screen) {
        case Screen::swap:
            return !desk.swap.nil();
        case Screen::bike_form:
            return desk.form.has_value();
        case Screen::baseline:
            return !desk.baseline.nil();
        case Screen::event:
            return desk.season.event.has_value();
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
            return !desk.bike.nil();
        case Screen::way:
            return !desk.bike.nil() && (desk.ledger.open_way(desk.bike) || !desk.season.target.nil());
        case Screen::item:
        case Screen::moment:  // what they showed is read from disk when it is opened
        case Screen::compare:
        case Screen::table:
            return false;
        case Screen::bikes:
        case Screen::people:
        case Screen::settings:
        case Screen::devices:
        case Screen::shelf:
            return true;
    }
    return false;
}
}  // namespace

void take_draft(Desk& desk, const Draft& d) {
    if (desk.ledger.person(d.who)) desk.who = d.who;
    act_on(desk, act::SetLook{d.night, d.text_percent});
    const auto screen = from_key<Screen>(d.screen);
    if (!screen) return;
    if (desk.ledger.bike(d.bike)) desk.bike = d.bike;
    if (desk.ledger.baseline(d.baseline)) desk.baseline = d.baseline;
    desk.reason = d.reason;
    const Swap* swap = desk.ledger.swap(d.swap);
    if (swap && swap->open()) desk.swap = d.swap;
    if (d.form)
        if (auto body = body_from_json("bike", d.form->body))
            desk.form =
                BikeForm{d.form->bike, std::get<BikeBody>(*body),
                         d.form->half_pair_mm ? std::optional(mm(*d.form->half_pair_mm)) : std::nullopt};
    take_season(desk, d);
    const auto came_from = from_key<Screen>(d.came_from);
    desk.came_from = came_from && has_subject(desk, *came_from) ? *came_from : Screen::bikes;
    const bool there = has_subject(desk, *screen);
    desk.screen = there ? *screen : Screen::bikes;
    if (there && d.pad) desk.pad = pad_of(*d.pad);
    // A draft of an earlier version does not know a reading's end; the swap does.
    if (const Swap* open = open_swap(desk); desk.pad && open && desk.pad->field.of == Field::Of::reading)
        if (const auto ends = ends_of(*open); ends.size() == 1) desk.pad->field.end = ends.front();
    if (desk.pad && !belongs(desk, desk.pad->field)) desk.pad.reset();
    enter(desk);
}

}  // namespace restand
