// The pad: fills one open tag at a time. Types, repeats, asks 'same mark, same state?', keeps, moves on.

#include <algorithm>
#include <cmath>

#include "app/bike_fields.h"
#include "app/desk_parts.h"
#include "app/views/words.h"
#include "core/exchange/body_json.h"

namespace restand {

namespace {
constexpr std::size_t longest_entry = 80;

const Take* taken(const Desk& desk, const Field& field) {
    const Swap* swap = open_swap(desk);
    return swap && field.of == Field::Of::reading ? swap->take(field.phase, field.point) : nullptr;
}

Reading reading_of(const Pad& pad) {
    const bool number = !pad.repeats.empty() && !is_text(pad.field);
    const auto first = number ? std::optional(canonical_value(pad.repeats.front())) : std::nullopt;
    return {pad.field.point, pad.repeats, usual_instrument(pad.field.point, first), pad.where};
}

// Moves the half-typed entry among the repeats. False, with the reason in pad.problem, when it is no value.
bool take_entry(Pad& pad) {
    if (pad.entry.empty()) return true;
    if (is_text(pad.field)) {
        pad.repeats = {Typed{pad.entry, Unit::one}};
        pad.entry.clear();
        return true;
    }
    const auto typed = read_typed(pad.entry, pad.unit);
    if (!typed) return pad.problem = words::sentence(typed.error()), false;
    const double v = canonical_value(*typed);
    const bool reading = pad.field.of == Field::Of::reading;
    const double low = reading ? facts(pad.field.point).hard_min : facts(pad.field.bike).min;
    const double high = reading ? facts(pad.field.point).hard_max : facts(pad.field.bike).max;
    if (v < low || v > high) return pad.problem = words::out_of_range(low, high, typed->unit), false;
    pad.repeats.push_back(*typed);
    pad.unit = typed->unit;
    pad.entry.clear();
    return true;
}

// Far from the last baseline, or outside what is usual: asked once, answered with the reading.
std::string question(const Desk& desk, const Pad& pad) {
    if (pad.field.of != Field::Of::reading || is_text(pad.field)) return {};
    const PointFacts& f = facts(pad.field.point);
    const double v = measured(reading_of(pad)).value;
    const bool same_part = pad.field.phase == Phase::before || pad.field.phase == Phase::check;
    if (const Take* last = last_take(desk, pad.field.point); last && same_part) {
        const double away = v - measured(last->reading).value;
        if (std::fabs(away) > f.jump) return words::far_from_last(away, pad.unit);
    }
    if (v < f.usual_min || v > f.usual_max) return words::unusual(f.usual_min, f.usual_max, pad.unit);
    return {};
}

void keep_reading(Desk& desk, const Pad& pad, bool confirmed) {
    const Swap* swap = open_swap(desk);
    if (!swap) return;
    std::vector<Id> before;
    for (const auto& [key, takes] : swap->takes)
        if (key == std::pair(pad.field.phase, pad.field.point))
            for (const Take& take : takes) before.push_back(take.entry);
    const ReadingBody body{pad.field.phase, reading_of(pad), confirmed};
    append(desk,
           {.field = pad.field,
            .swap = swap->id,
            .said = words::label(pad.field.point) + " " + words::reading(body.reading) + " saved",
            .undo = true},
           {encode(body, swap->bike, swap->id, desk.who, before)});
}

void keep_bike_field(Desk& desk, const Pad& pad) {
    BikeForm& form = *desk.form;
    const Typed& typed = pad.repeats.back();
    if (pad.field.bike == BikeField::name)
        form.body.name = typed.text;
    else if (pad.field.bike == BikeField::note)
        form.body.note = typed.text;
    else if (pad.field.bike == BikeField::pair_length)
        form.half_pair = mm(canonical_value(typed));
    else if (pad.field.bike == BikeField::pair_height) {
        if (!form.half_pair) return;
        form.body.rear.pairs.emplace_back(*form.half_pair, mm(canonical_value(typed)));
        std::sort(form.body.rear.pairs.begin(), form.body.rear.pairs.end());
        form.half_pair.reset();
    } else
        set_number(form.body, pad.field.bike, canonical_value(typed));
}

// The reading is whole: on its way to disk, or into the form it belongs to.
void keep(Desk& desk, bool confirmed) {
    const Pad pad = *desk.pad;
    switch (pad.field.of) {
        case Field::Of::reading:
            keep_reading(desk, pad, confirmed);
            break;
        case Field::Of::bike:
            keep_bike_field(desk, pad);
            break;
        case Field::Of::person:
            append(desk, {.then = Pending::Then::take_person, .field = {}, .swap = {}, .said = {}},
                   {encode(PersonBody{pad.repeats.back().text})});
            break;
        case Field::Of::reason:
            desk.reason = pad.repeats.back().text;
            break;
        case Field::Of::where:
            break;
    }
}

bool unchanged(const Desk& desk, const Pad& pad) {
    const Take* take = taken(desk, pad.field);
    return take && pad.repeats == take->reading.repeats && pad.where == take->reading.where;
}

void go_on(Desk& desk) {
    const Field field = desk.pad->field;
    desk.pad.reset();
    if (const auto next = next_field(desk, field)) open_pad(desk, *next);
}
}  // namespace

void open_pad(Desk& desk, const Field& field) {
    Pad pad{.field = field,
            .repeats = {},
            .entry = {},
            .unit = chosen(desk.ledger.units(), dimension_of(field)),
            .where = {},
            .question = {},
            .problem = {}};
    if (const Take* take = taken(desk, field)) {
        pad.repeats = take->reading.repeats;
        pad.unit = take->reading.repeats.back().unit;
        pad.where = take->reading.where;
    } else if (field.of == Field::Of::reading) {
        if (const Take* last = last_take(desk, field.point)) pad.where = last->reading.where;
        if (pad.where.empty()) pad.where = words::usual_where(field.point);
    }
    // A name is changed letter by letter, a number is measured anew.
    if (is_text(field) && !pad.repeats.empty()) pad.entry = pad.repeats.back().text;
    if (field.of == Field::Of::reason) pad.entry = desk.reason;
    if (field.of == Field::Of::bike && desk.form) {
        if (field.bike == BikeField::name) pad.entry = desk.form->body.name;
        if (field.bike == BikeField::note) pad.entry = desk.form->body.note;
    }
    if (is_text(field)) pad.repeats.clear();
    desk.pad = std::move(pad);
}

void leave_pad(Desk& desk) {
    if (!desk.pad) return;
    Pad& pad = *desk.pad;
    if (!pad.editing_where && take_entry(pad) && !pad.repeats.empty() && !unchanged(desk, pad) &&
        question(desk, pad).empty() && !saving(desk, pad.field))
        keep(desk, false);
    desk.pad.reset();
}

void act_on(Desk& desk, const act::OpenTag& open) {
    if (desk.pad && open.field.of == Field::Of::where) {
        take_entry(*desk.pad);
        desk.pad->editing_where = true;
        desk.pad->entry = desk.pad->where;
        return;
    }
    leave_pad(desk);
    desk.notice.reset();
    // Every reading bears who took it.
    if (open.field.of == Field::Of::reading && desk.who.nil()) {
        say(desk, "First: who is working? Every reading bears a name.");
        desk.came_from = desk.screen;
        desk.screen = Screen::people;
        return;
    }
    open_pad(desk, open.field);
}

void act_on(Desk& desk, const act::CloseTag&) {
    if (desk.pad && desk.pad->editing_where) {
        desk.pad->editing_where = false;
        desk.pad->entry.clear();
        return;
    }
    leave_pad(desk);
}

// With no tag open, a gauge's first digit opens the next one to measure.
void act_on(Desk& desk, const act::PadText& typed) {
    if (!desk.pad) {
        const bool number = !typed.text.empty() && (std::isdigit(static_cast<unsigned char>(typed.text[0])) ||
                                                    typed.text[0] == '-' || typed.text[0] == '.');
        const auto next = needed_field(desk) ? needed_field(desk) : next_field(desk, std::nullopt);
        if (!number || desk.screen != Screen::swap || !next) return;
        act_on(desk, act::OpenTag{*next});
        if (!desk.pad) return;
    }
    Pad& pad = *desk.pad;
    pad.problem.clear();
    pad.question.clear();
    if (pad.entry.size() + typed.text.size() > longest_entry) return;
    pad.entry += typed.text;
}

void act_on(Desk& desk, const act::PadErase&) {
    if (!desk.pad) return;
    Pad& pad = *desk.pad;
    pad.problem.clear();
    pad.question.clear();
    // With nothing typed the last repeat comes back to be changed.
    if (pad.entry.empty() && !pad.repeats.empty() && !is_text(pad.field)) {
        pad.entry = pad.repeats.back().text;
        pad.repeats.pop_back();
        return;
    }
    // One character, which may be several bytes of UTF-8.
    while (!pad.entry.empty() && (static_cast<unsigned char>(pad.entry.back()) & 0xC0) == 0x80)
        pad.entry.pop_back();
    if (!pad.entry.empty()) pad.entry.pop_back();
}

void act_on(Desk& desk, const act::PadUnit&) {
    if (desk.pad) desk.pad->unit = next_unit(desk.pad->unit);
}

void act_on(Desk& desk, const act::PadSign&) {
    if (!desk.pad) return;
    std::string& entry = desk.pad->entry;
    if (!entry.empty() && entry[0] == '-')
        entry.erase(0, 1);
    else
        entry.insert(0, "-");
}

void act_on(Desk& desk, const act::PadRepeat&) {
    if (desk.pad) take_entry(*desk.pad);
}

void act_on(Desk& desk, const act::PadDropRepeat& drop) {
    if (!desk.pad || drop.index >= desk.pad->repeats.size()) return;
    auto& repeats = desk.pad->repeats;
    repeats.erase(repeats.begin() + static_cast<std::ptrdiff_t>(drop.index));
    desk.pad->question.clear();
}

void act_on(Desk& desk, const act::PadSame&) {
    if (!desk.pad) return;
    if (const auto same = same_value(desk, desk.pad->field)) {
        desk.pad->entry = same->text;
        desk.pad->unit = same->unit;
        desk.pad->problem.clear();
    }
}

void act_on(Desk& desk, const act::PadNext& next) {
    if (!desk.pad) return;
    Pad& pad = *desk.pad;
    if (pad.editing_where) {
        pad.where = pad.entry;
        pad.entry.clear();
        pad.editing_where = false;
        return;
    }
    if (saving(desk, pad.field)) return desk.deferred.push_back(next);
    if (!take_entry(pad)) return;
    if (pad.repeats.empty()) {
        if (const auto needed = needed_field(desk); needed && *needed == pad.field)
            pad.problem = "Needed for the answer: type what you read.";
        else
            go_on(desk);
        return;
    }
    if (!unchanged(desk, pad)) {
        pad.question = question(desk, pad);
        if (!pad.question.empty()) return;
        keep(desk, false);
    }
    go_on(desk);
}

void act_on(Desk& desk, const act::ConfirmSame& answer) {
    if (!desk.pad || desk.pad->question.empty()) return;
    if (answer.same) {
        keep(desk, true);
        go_on(desk);
        return;
    }
    desk.pad->question.clear();
    desk.pad->repeats.clear();
    desk.pad->entry.clear();
}

}  // namespace restand
