#include "app/pad/keep.h"

#include <algorithm>
#include <cctype>

#include "app/app_state.h"
#include "app/pad/instruments.h"
#include "app/views/point_wording.h"
#include "app/views/wording.h"
#include "app/workshop/bike_fields.h"
#include "core/codec/body_json.h"
#include "core/ledger/shelf.h"

namespace restand {

const Reading* standing_reading(const AppState& state, const Field& field) {
    if (field.of == Field::Of::shelf) {
        const ShelfItem* item = shown_item(state);
        return item ? value_of(item->body, field.point) : nullptr;
    }
    const Swap* swap = open_swap(state);
    const StoredReading* stored = swap && field.of == Field::Of::reading
                                      ? swap->stored({field.phase, field.end, field.point})
                                      : nullptr;
    return stored ? &stored->reading : nullptr;
}

Reading reading_of(const Pad& pad) {
    const bool number = !pad.repeats.empty() && !is_text(pad.field);
    const auto first = number ? std::optional(canonical_value(pad.repeats.front())) : std::nullopt;
    // An accuracy that is a share of the value is recomputed for each value.
    Instrument with = usual_instrument(pad.field.point, first);
    for (const Instrument& i : instruments(pad.field.point, first))
        if (i.name == pad.instrument.name) with = i;
    Reading r{pad.field.point, pad.repeats, with, pad.where};
    r.settled_anew = pad.settled_anew && is_settled(r.point) && r.repeats.size() > 1;
    r.spread = pad.spread;
    return r;
}

namespace {

void keep_reading(AppState& state, const Pad& pad, bool confirmed, const Id& swap_id) {
    const Swap* swap = state.ledger.swap(swap_id);
    if (!swap) return;
    const ReadAt at{pad.field.phase, pad.field.end, pad.field.point};
    const ReadingBody body = read_in(*swap, at, reading_of(pad), confirmed);
    append(state,
           {.field = pad.field,
            .pad = pad,
            .swap = swap->id,
            .said = wording::label(pad.field.point) + " " + wording::reading(body.reading) + " saved",
            .undo = true},
           {encode(body, swap->bike, swap->id, state.who, swap->entries(at))});
}

// Somebody who is named already, in capitals or not, is no second person.
void keep_person(AppState& state, const std::string& name) {
    const auto same_letter = [](unsigned char a, unsigned char b) {
        return a == b || (a < 0x80 && b < 0x80 && std::tolower(a) == std::tolower(b));
    };
    for (const Person* person : state.ledger.people())
        if (std::equal(name.begin(), name.end(), person->name.begin(), person->name.end(), same_letter))
            return act_on(state, act::SetPerson{person->id});
    append(state, {.then = Pending::Then::take_person}, {encode(PersonBody{name})});
}

// Adds a strut length and its ride height to the table, if both columns then still rise.
void keep_pair(AppState& state, const Typed& height) {
    BikeForm& form = *state.form;
    if (!form.half_pair) return;
    auto pairs = form.body.rear.pairs;
    pairs.emplace_back(*form.half_pair, mm(canonical_value(height)));
    std::sort(pairs.begin(), pairs.end());
    form.half_pair.reset();
    form.pairs_out.clear();  // brought back, one might stand beside what took its place
    if (pairs.size() >= 2)
        if (const auto map = HeightMap::pairs(pairs); !map)
            return say(state, wording::sentence(map.error()), true);
    form.body.rear.pairs = std::move(pairs);
}

void keep_bike_field(AppState& state, const Pad& pad) {
    if (!state.form) return;
    BikeForm& form = *state.form;
    const Typed& typed = pad.repeats.back();
    if (pad.field.bike == BikeField::name)
        form.body.name = typed.text;
    else if (pad.field.bike == BikeField::note)
        form.body.note = typed.text;
    else if (pad.field.bike == BikeField::pair_length)
        form.half_pair = mm(canonical_value(typed));
    else if (pad.field.bike == BikeField::pair_height)
        keep_pair(state, typed);
    else
        set_number(form.body, pad.field.bike, canonical_value(typed));
}

}  // namespace

// The reading is complete: store it, or put it into its form.
void keep(AppState& state, bool confirmed) {
    const Pad pad = *state.pad;
    switch (pad.field.of) {
        case Field::Of::reading:
            // The previous one is still on its way to disk, and this one must supersede it.
            if (saving(state, pad.field))
                state.waiting.push_back({pad, confirmed, state.swap});
            else
                keep_reading(state, pad, confirmed, state.swap);
            break;
        case Field::Of::bike:
            keep_bike_field(state, pad);
            break;
        case Field::Of::person:
            keep_person(state, pad.repeats.back().text);
            break;
        case Field::Of::reason:
            state.reason = pad.repeats.back().text;
            state.reason_of = state.bike;
            break;
        case Field::Of::shelf:
            act_on(state, act::MeasureItem{state.item, reading_of(pad)});
            break;
        case Field::Of::change:
        case Field::Of::tried:
        case Field::Of::plan:
            keep_outside_swap(state, pad.field, reading_of(pad));
            break;
        case Field::Of::event:
        case Field::Of::part:
        case Field::Of::job:
        case Field::Of::find:
        case Field::Of::device:
        case Field::Of::folder:
            keep_season_field(state, pad.field, pad.repeats.back().text);
            break;
        case Field::Of::where:
            break;
    }
}

void keep_waiting(AppState& state) {
    std::vector<WaitingReading> all;
    all.swap(state.waiting);
    for (const WaitingReading& w : all) {
        if (saving(state, w.pad.field, w.swap))
            state.waiting.push_back(w);
        else
            keep_reading(state, w.pad, w.confirmed, w.swap);
    }
}

}  // namespace restand
