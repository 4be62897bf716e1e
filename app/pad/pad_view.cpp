#include "app/pad/pad_view.h"

#include <fmt/format.h>

#include <algorithm>

#include "app/pad/instruments.h"
#include "app/pad/keep.h"
#include "app/swap/reading_rows.h"
#include "app/swap/to_set.h"
#include "app/views/job_wording.h"
#include "app/views/point_wording.h"
#include "app/views/season_wording.h"
#include "app/views/view_parts.h"
#include "app/views/wording.h"
#include "app/workshop/bike_fields.h"

namespace restand {

namespace {
// Of two ends it says which.
std::string field_title(const AppState& state, const Field& f) {
    const Swap* swap = open_swap(state);
    switch (f.of) {
        case Field::Of::reading:
            return swap ? label_in(*swap, f.end, f.point) : wording::label(f.point);
        case Field::Of::plan:
            return wording::label(f.point, f.end);
        case Field::Of::shelf:
            return f.point == Point::part_name ? "what it is called" : wording::label(f.point);
        case Field::Of::change:
        case Field::Of::tried:
            return wording::label(f.point) + (f.end == End::rear ? ", rear" : ", front");
        case Field::Of::event:
            return wording::label(f.event);
        case Field::Of::part:
            return wording::label(f.part);
        case Field::Of::job:
            return wording::label(f.job);
        case Field::Of::find:
            return "words to find";
        case Field::Of::device:
            return "what this device is called";
        case Field::Of::folder:
            return "folder where the devices meet";
        case Field::Of::bike:
            return std::string(facts(f.bike).label);
        case Field::Of::person:
            return "who is working?";
        case Field::Of::reason:
            return "reason for this baseline";
        case Field::Of::where:
            return "where it was read";
    }
    return "";
}

std::string day_of(const AppState& state, const StoredReading& stored) {
    return wording::short_day(stored.at.ms, state.now_ms, state.utc_offset_min);
}

// What a typed number is held against, and its name; a new part against nothing: it is another one.
struct Reference {
    double value;
    std::string name;
};
std::optional<Reference> reference(const AppState& state, const Field& field) {
    if (const auto expected = expected_of(state, field)) return Reference{*expected, "what is expected"};
    if (field.of == Field::Of::reading && field.phase == Phase::new_part) return std::nullopt;
    if (field.of == Field::Of::reading && field.phase == Phase::set) {
        const Swap* swap = open_swap(state);
        const auto same =
            swap && is_answered(*swap, field.end, field.point) ? same_value(state, field) : std::nullopt;
        return same ? std::optional(Reference{canonical_value(*same), "what it is to be"}) : std::nullopt;
    }
    const auto last = last_stored(state, field);
    if (!last) return std::nullopt;
    return Reference{measured(last->reading).value, day_of(state, *last)};
}

// What becomes of the repeats that are stored; "" where there are not several, or some of them stay.
std::string about_stored_repeats(const AppState& state, const Pad& pad) {
    const Reading* stands = standing_reading(state, pad.field);
    if (!stands || stands->repeats.size() < 2) return "";
    const auto& stored = stands->repeats;
    if (pad.anew) return fmt::format("+ adds one, a number replaces all {}", stored.size());
    const bool some_stay = std::find_first_of(pad.repeats.begin(), pad.repeats.end(), stored.begin(),
                                              stored.end()) != pad.repeats.end();
    const bool typed = !pad.entry.empty() || !pad.repeats.empty();
    return typed && !some_stay ? fmt::format("replaces {} repeats", stored.size()) : "";
}

// Mean, spread and uncertainty of the kept repeats, including the entry if it is a number, and the difference
// from what it is held against.
std::string repeats_summary(const AppState& state, Pad pad) {
    std::string s = about_stored_repeats(state, pad);
    const auto add = [&s](const std::string& more) { s += (s.empty() ? "" : " · ") + more; };
    if (auto typed = read_typed(pad.entry, pad.unit)) pad.repeats.push_back(*typed);
    if (pad.repeats.empty()) return s;
    const Measured m = measured(reading_of(pad));
    if (m.repeats > 1)
        add(fmt::format("mean {} · spread {}", wording::value(m.value, pad.unit),
                        wording::value(m.spread, pad.unit)));
    if (is_settled(pad.field.point)) add("± " + wording::value(expanded_95(m), pad.unit));
    if (const auto held = reference(state, pad.field))
        add(fmt::format("{} from {}", wording::signed_value(m.value - held->value, pad.unit), held->name));
    return s;
}

// Source of the 'as last' value. A baseline carries values over: the day is that of the reading.
std::string last_label(const AppState& state, const Field& field) {
    if (field.of == Field::Of::change || field.of == Field::Of::tried) return "as it is";
    const Swap* swap = open_swap(state);
    if (swap && field.phase == Phase::set) {
        if (!is_answered(*swap, field.end, field.point)) return "as before the swap";
        const auto to = value_to_set(state, field);
        if (!to) return "as before the swap";
        if (to->correction) return "as corrected";
        return following_preload(*swap, field) ? std::string(by_its_lengths) : "as answered";
    }
    if (field.phase == Phase::check) return "as before the swap";
    const auto last = last_stored(state, field);
    return last ? "last baseline, read " + day_of(state, *last) : "last baseline";
}

void reading_pad(const AppState& state, const Pad& pad, PadView& v) {
    v.where =
        pad.where.empty() ? (wording::usual_where(pad.field.point).empty() ? "" : "say where") : pad.where;
    if (const auto same = same_value(state, pad.field)) {
        v.last_label = last_label(state, pad.field);
        v.last_value = same->text;
        if (v.last_label == "as answered" || v.last_label == "as corrected") v.same_label = "set to";
        if (v.last_label == "as it is") v.same_label = "as it is";
    }
    if (v.letters) return;
    if (const auto expected = expected_of(state, pad.field))
        v.last_label = fmt::format("expect {} {}", wording::value(*expected, pad.unit), symbol(pad.unit));
    if (instruments(pad.field.point).size() > 1) v.instrument = pad.instrument.name;
    v.settled = wording::settled_anew(pad.field.point);
    if (const Swap* swap = open_swap(state); swap && pad.anew && pad.field.of == Field::Of::reading)
        v.read = swap->stored({pad.field.phase, pad.field.end, pad.field.point});
    v.settled_anew = pad.settled_anew;
    v.summary = repeats_summary(state, pad);
    const Dimension d = dimension_of(pad.field);
    v.repeatable = d != Dimension::clicks && d != Dimension::count;
}
}  // namespace

PadView pad_view(const AppState& state) {
    const Pad& pad = *state.pad;
    PadView v;
    v.title = pad.editing_where ? "where it was read" : field_title(state, pad.field);
    v.letters = pad.editing_where || is_text(pad.field);
    v.repeatable = !v.letters;
    v.entry = pad.entry;
    v.replaced = !pad.entry.empty() && !v.letters && (pad.half_typed || pad.anew || !pad.problem.empty());
    v.problem = pad.problem;
    if (!v.letters) {
        for (const Typed& t : pad.repeats) v.repeats.push_back(t.text);
        v.unit = std::string(symbol(pad.unit));
        v.fractions = pad.unit == Unit::inch;
        v.sign = pad.field.of == Field::Of::bike && facts(pad.field.bike).min < 0;
    }
    if (is_reading(pad.field) && !pad.editing_where)
        reading_pad(state, pad, v);
    else if (!v.letters)
        v.repeatable = false;
    v.question = !pad.question.empty();
    v.question_text = pad.question;
    return v;
}

}  // namespace restand
