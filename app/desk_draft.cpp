// The desk's half-done things as a draft, and back. What no longer fits the workshop is left out.

#include <utility>

#include "app/desk_parts.h"
#include "core/exchange/body_json.h"

namespace restand {

namespace {
template <class E>
std::optional<E> in_range(int v, E last) {
    return v >= 0 && v <= static_cast<int>(last) ? std::optional(static_cast<E>(v)) : std::nullopt;
}

std::optional<Pad> pad_of(const Draft::Pad& d) {
    const auto of = in_range(d.of, Field::Of::where);
    const auto phase = in_range(d.phase, Phase::check);
    const auto point = in_range(d.point, static_cast<Point>(point_count - 1));
    const auto bike = in_range(d.bike_field, BikeField::pair_height);
    const auto unit = in_range(d.unit, Unit::inch_per_turn);
    if (!of || !phase || !point || !bike || !unit) return std::nullopt;
    Pad pad{.field = {*of, *phase, *point, *bike},
            .repeats = d.repeats,
            .entry = d.entry,
            .unit = *unit,
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
        case Field::Of::where:
            return false;
    }
    return false;
}
}  // namespace

Draft draft_of(const Desk& desk) {
    Draft d;
    d.screen = static_cast<int>(desk.screen);
    d.came_from = static_cast<int>(desk.came_from);
    d.bike = desk.bike, d.swap = desk.swap, d.baseline = desk.baseline, d.who = desk.who;
    d.night = desk.look.night;
    d.text_percent = desk.look.text_percent;
    d.reason = desk.reason;
    if (desk.pad) {
        Pad p = *desk.pad;
        if (p.editing_where) p.where = std::exchange(p.entry, {});
        d.pad = Draft::Pad{static_cast<int>(p.field.of),
                           static_cast<int>(p.field.phase),
                           static_cast<int>(p.field.point),
                           static_cast<int>(p.field.bike),
                           static_cast<int>(p.unit),
                           p.repeats,
                           p.entry,
                           p.where};
    }
    if (desk.form)
        d.form =
            Draft::Form{desk.form->bike, body_json(desk.form->body),
                        desk.form->half_pair ? std::optional(desk.form->half_pair->value) : std::nullopt};
    return d;
}

void take_draft(Desk& desk, const Draft& d) {
    if (desk.ledger.person(d.who)) desk.who = d.who;
    act_on(desk, act::SetLook{d.night, d.text_percent});
    const auto screen = in_range(d.screen, Screen::settings);
    if (!screen) return;
    desk.came_from = in_range(d.came_from, Screen::settings).value_or(Screen::bikes);
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
    // A screen without its subject falls back to the bikes.
    const bool there = *screen == Screen::swap                                   ? !desk.swap.nil()
                       : *screen == Screen::bike_form                            ? desk.form.has_value()
                       : *screen == Screen::baseline                             ? !desk.baseline.nil()
                       : *screen == Screen::bike || *screen == Screen::baselines ? !desk.bike.nil()
                                                                                 : true;
    desk.screen = there ? *screen : Screen::bikes;
    if (there && d.pad) desk.pad = pad_of(*d.pad);
    if (desk.pad && !belongs(desk, desk.pad->field)) desk.pad.reset();
    if (desk.screen == Screen::baselines) desk.effects.push_back(effect::LoadBaselines{desk.bike});
}

}  // namespace restand
