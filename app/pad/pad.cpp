// The pad fills in one open tag at a time. It takes typed text and repeats, asks 'same mark, same state?',
// stores the reading and opens the next tag.

#include <algorithm>
#include <cmath>
#include <utility>

#include "app/app_state.h"
#include "app/pad/instruments.h"
#include "app/pad/keep.h"
#include "app/pad/next_field.h"
#include "app/pad/pad_question.h"
#include "app/pad/question_wording.h"
#include "app/views/point_wording.h"
#include "app/views/wording.h"
#include "app/workshop/bike_fields.h"
#include "core/ledger/chain_count.h"
#include "core/ledger/known_spread.h"

namespace restand {

namespace {
constexpr std::size_t longest_entry = 80;

// The range of a bike's number comes from its table, that of a reading from validate().
std::string refusal(const Pad& pad) {
    if (is_reading(pad.field)) {
        const auto valid = validate(reading_of(pad));
        if (valid) return "";
        const PointFacts& f = facts(pad.field.point);
        if (valid.error().detail == "whole number") return "Whole numbers only.";
        if (valid.error().code == ErrorCode::out_of_range)
            return wording::out_of_range(f.hard_min, f.hard_max, pad.repeats.back().unit);
        return wording::sentence(valid.error());
    }
    if (pad.field.of != Field::Of::bike || is_text(pad.field)) return "";
    const BikeFieldFacts& f = facts(pad.field.bike);
    const double v = canonical_value(pad.repeats.back());
    return v < f.min || v > f.max ? wording::out_of_range(f.min, f.max, pad.repeats.back().unit) : "";
}

// Moves the typed entry to the repeats. False if it is not a value; pad.problem then holds the reason.
bool take_entry(Pad& pad) {
    while (pad.entry.ends_with(' ')) pad.entry.pop_back();
    pad.entry.erase(0, pad.entry.find_first_not_of(' '));
    if (pad.entry.empty()) return true;
    if (is_text(pad.field)) {
        pad.repeats = {Typed{pad.entry, Unit::one}};
    } else {
        const auto typed = read_typed(pad.entry, pad.unit);
        if (!typed) return pad.problem = wording::sentence(typed.error()), false;
        pad.repeats.push_back(*typed);
    }
    pad.problem = refusal(pad);
    if (!pad.problem.empty()) return pad.repeats.pop_back(), false;
    pad.unit = pad.repeats.back().unit;
    pad.entry.clear();
    return true;
}

void ask(const AppState& state, Pad& pad) {
    PadQuestion asked = question_of(state, pad);
    pad.question = std::move(asked.text);
    pad.asks_stand = asked.about_stand;
}

// If two readings disagree, keeping one of them counts as a change.
bool unchanged(const AppState& state, const Pad& pad) {
    const Reading* old = standing_reading(state, pad.field);
    if (!old) return false;
    if (pad.field.of == Field::Of::reading &&
        open_swap(state)->stored_readings.at({pad.field.phase, pad.field.end, pad.field.point}).size() > 1)
        return false;
    return pad.repeats == old->repeats && pad.where == old->where &&
           pad.instrument.name == old->instrument.name && reading_of(pad).settled_anew == old->settled_anew;
}

void go_on(AppState& state) {
    const Field field = state.pad->field;
    state.pad.reset();
    if (const auto next = next_field(state, field)) open_pad(state, *next);
}

// The present value as text to edit. A reading has none: it is measured again.
std::string standing_text(const AppState& state, const Field& field) {
    if (field.of == Field::Of::reason) return state.reason_of == state.bike ? state.reason : "";
    if (field.of == Field::Of::shelf && field.point == Point::part_name && shown_item(state))
        return has_given_name(shown_item(state)->body) ? "" : shown_item(state)->body.name;
    if (!is_reading(field) && field.of != Field::Of::bike) return standing_season_text(state, field);
    if (field.of != Field::Of::bike || !state.form) return {};
    const BikeBody& body = state.form->body;
    if (field.bike == BikeField::name) return body.name;
    if (field.bike == BikeField::note) return body.note;
    const auto v = number(body, field.bike);
    const Unit unit = chosen(state.ledger.units(), dimension_of(field));
    return v ? wording::plain(*v, unit, decimals(field.bike, unit)) : "";
}
}  // namespace

void open_pad(AppState& state, const Field& field) {
    Pad pad{.field = field, .unit = chosen(state.ledger.units(), dimension_of(field))};
    pad.entry = standing_text(state, field);
    pad.anew = !pad.entry.empty() && !is_text(field);
    if (const Reading* stands = standing_reading(state, field)) {
        pad.where = stands->where;
        pad.instrument = stands->instrument;
        pad.settled_anew = stands->settled_anew;
        if (is_text(field)) {
            pad.entry = stands->repeats.back().text;
        } else {
            pad.repeats = stands->repeats;
            pad.unit = stands->repeats.back().unit;
            pad.anew = unchanged(state, pad);
        }
    } else if (is_reading(field)) {
        pad.instrument = usual_instrument(field.point);
        if (const auto last = last_stored(state, field); last && !is_computed(last->reading)) {
            pad.instrument = last->reading.instrument;
            pad.where = last->reading.where;
        }
        if (pad.where.empty()) pad.where = wording::usual_where(field.point);
    }
    if (is_reading(field)) pad.spread = known_spread(state.ledger, state.who, field.point);
    state.pad = std::move(pad);
}

bool leave_pad(AppState& state) {
    if (!state.pad) return true;
    Pad& pad = *state.pad;
    if (pad.editing_where) act_on(state, act::PadNext{});
    if (!pad.anew && !take_entry(pad)) return false;
    if (!pad.anew && !pad.repeats.empty() && !unchanged(state, pad)) {
        ask(state, pad);
        if (!pad.question.empty()) return false;
        keep(state, false);
    }
    state.pad.reset();
    return true;
}

bool somebody_named(AppState& state, Action then) {
    if (!state.who.nil()) return true;
    say(state, "First: who is working? Everything kept bears a name.");
    visit(state, Screen::people);
    state.when_named = std::move(then);
    return false;
}

void act_on(AppState& state, const act::OpenTag& open) {
    if (state.pad && open.field.of == Field::Of::where) {
        if (!take_entry(*state.pad)) return;
        state.pad->editing_where = true;
        state.pad->entry = state.pad->where;
        return;
    }
    if (!leave_pad(state)) return;
    state.notice.reset();
    if (is_reading(open.field) && !somebody_named(state, open)) return;
    // A number of the bike from another page: in the bike's form.
    if (open.field.of == Field::Of::bike && state.screen != Screen::bike_form) {
        const Swap* swap = state.screen == Screen::swap ? open_swap(state) : nullptr;
        act_on(state, act::EditBike{swap ? swap->bike : state.bike});
        if (state.screen != Screen::bike_form) return;
    }
    open_pad(state, open.field);
}

void act_on(AppState& state, const act::ReadAgain& again) {
    if (!somebody_named(state, again)) return;
    act_on(state, act::OpenTag{again.field});
    if (!state.pad || !(state.pad->field == again.field) || state.pad->repeats.empty()) return;
    state.pad->anew = false;
    state.pad->settled_anew = is_settled(again.field.point);
}

namespace {
// What a closed pad would lose, as typed; "" if nothing was.
std::string unsaved_text(const AppState& state, const Pad& pad) {
    if (pad.anew) return "";
    if (is_text(pad.field)) {
        const Reading* stands = standing_reading(state, pad.field);
        const std::string before = stands ? stands->repeats.back().text : standing_text(state, pad.field);
        return pad.entry == before ? "" : pad.entry;
    }
    std::string typed;
    if (!pad.repeats.empty() && !unchanged(state, pad))
        for (const Typed& t : pad.repeats) typed += (typed.empty() ? "" : ", ") + t.text;
    if (!pad.entry.empty()) typed += (typed.empty() ? "" : ", ") + pad.entry;
    return typed;
}
}  // namespace

// Closing drops what was typed; a stray tap can put it back. A search keeps its words: they are no input.
void act_on(AppState& state, const act::CloseTag&) {
    if (!state.pad) return;
    if (state.pad->editing_where) {
        state.pad->editing_where = false;
        state.pad->entry.clear();
        return;
    }
    const std::string typed = state.pad->field.of == Field::Of::find ? "" : unsaved_text(state, *state.pad);
    if (!typed.empty()) {
        state.pad->question.clear();
        state.pad->problem.clear();
        state.dropped = UiState::Dropped{*state.pad, state.screen, state.swap};
        state.notice = AppNotice{"Typed " + typed + ", dropped.", NoticeKey{"Put it back", act::PutBack{}}};
    }
    state.pad.reset();
}

// The timeline is searched while the user types.
namespace {
void find_as_typed(AppState& state) {
    if (state.pad && state.pad->field.of == Field::Of::find) act_on(state, act::FindWords{state.pad->entry});
}

// A gauge's reading is expected there.
bool takes_numbers(Screen screen) {
    return screen == Screen::swap || screen == Screen::plan || screen == Screen::change ||
           screen == Screen::item || screen == Screen::bike_form;
}
}  // namespace

// With no tag open, the first digit from a gauge opens the next tag to measure.
void act_on(AppState& state, const act::PadText& typed) {
    if (!state.pad) {
        const bool number = !typed.text.empty() && (std::isdigit(static_cast<unsigned char>(typed.text[0])) ||
                                                    typed.text[0] == '-' || typed.text[0] == '.');
        const auto next =
            state.screen == Screen::swap ? next_field(state, std::nullopt) : std::optional<Field>();
        if (number && !next && takes_numbers(state.screen))
            say(state, "Not taken: nothing is open for it. Tap what you are measuring.");
        if (!number || !next) return;
        act_on(state, act::OpenTag{*next});
        if (!state.pad) return;
    }
    Pad& pad = *state.pad;
    // It may be a gauge's next reading: taken here, it would stand in the wrong place.
    if (!pad.question.empty()) return say(state, "What was typed was not taken: first the question.");
    // A gauge must not append to a refused number.
    if ((!pad.problem.empty() && !is_text(pad.field)) || std::exchange(pad.half_typed, false))
        pad.entry.clear();
    pad.problem.clear();
    pad.question.clear();
    if (std::exchange(pad.anew, false)) {
        pad.repeats.clear();
        if (!is_text(pad.field)) pad.entry.clear();
    }
    if (pad.entry.size() + typed.text.size() > longest_entry) return say(state, "No more room: 80 letters.");
    pad.entry += typed.text;
    find_as_typed(state);
}

void act_on(AppState& state, const act::PadErase&) {
    if (!state.pad) return;
    Pad& pad = *state.pad;
    pad.problem.clear();
    pad.question.clear();
    pad.anew = pad.half_typed = false;
    // With nothing typed, erase brings the last repeat back for editing.
    if (pad.entry.empty() && !pad.repeats.empty() && !is_text(pad.field)) {
        pad.entry = pad.repeats.back().text;
        pad.repeats.pop_back();
        return;
    }
    // One character, which may be several bytes of UTF-8.
    while (!pad.entry.empty() && (static_cast<unsigned char>(pad.entry.back()) & 0xC0) == 0x80)
        pad.entry.pop_back();
    if (!pad.entry.empty()) pad.entry.pop_back();
    find_as_typed(state);
}

void act_on(AppState& state, const act::PadUnit&) {
    if (state.pad) state.pad->unit = next_unit(state.pad->unit);
}

void act_on(AppState& state, const act::PadSign&) {
    if (!state.pad) return;
    std::string& entry = state.pad->entry;
    if (!entry.empty() && entry[0] == '-')
        entry.erase(0, 1);
    else
        entry.insert(0, "-");
}

void act_on(AppState& state, const act::PadInstrument&) {
    if (!state.pad || !is_reading(state.pad->field)) return;
    state.pad->instrument = next_instrument(state.pad->field.point, state.pad->instrument);
    state.pad->anew = false;
}

void act_on(AppState& state, const act::PadSettled&) {
    if (!state.pad || !is_reading(state.pad->field) || !is_settled(state.pad->field.point)) return;
    state.pad->settled_anew = !state.pad->settled_anew;
    state.pad->anew = false;
}

void act_on(AppState& state, const act::PadRepeat&) {
    if (!state.pad) return;
    state.pad->anew = false;
    take_entry(*state.pad);
}

void act_on(AppState& state, const act::PadDropRepeat& drop) {
    if (!state.pad || drop.index >= state.pad->repeats.size()) return;
    auto& repeats = state.pad->repeats;
    repeats.erase(repeats.begin() + static_cast<std::ptrdiff_t>(drop.index));
    state.pad->anew = false;
    state.pad->question.clear();
}

// As an Undo of the reading, so that it can be put back.
void act_on(AppState& state, const act::PadUnread&) {
    const Swap* swap = state.pad && state.pad->field.of == Field::Of::reading ? open_swap(state) : nullptr;
    if (!swap) return;
    if (!state.pending.empty()) return say(state, "Still saving. Then again.");
    const Field& field = state.pad->field;
    const ReadAt at{field.phase, field.end, field.point};
    const StoredReading* stored = swap->stored(at);
    if (!stored) return;
    std::vector<NewEntry> taken;
    for (const Id& id : swap->entries(at))
        if (const Fact* fact = state.ledger.fact(id))
            taken.push_back({"reading", swap->bike, swap->id, fact->entry.by, {}, fact->entry.body});
    append(state,
           {.field = field,
            .said = wording::label(field.point) + " " + wording::reading(stored->reading) +
                    " taken out: not read",
            .takes_back = std::move(taken)},
           {NewEntry{"retraction", swap->bike, swap->id, state.who, swap->entries(at),
                     R"({"why":"not read"})"}});
    state.pad.reset();
}

void act_on(AppState& state, const act::PadSame&) {
    if (!state.pad) return;
    if (const auto same = same_value(state, state.pad->field)) {
        if (std::exchange(state.pad->anew, false)) state.pad->repeats.clear();
        state.pad->entry = same->text;
        state.pad->half_typed = !is_text(state.pad->field);
        state.pad->unit = same->unit;
        state.pad->problem.clear();
    }
}

void act_on(AppState& state, const act::PadNext&) {
    if (!state.pad) return;
    Pad& pad = *state.pad;
    if (pad.editing_where) {
        pad.where = pad.entry;
        pad.entry.clear();
        pad.editing_where = false;
        return;
    }
    if (pad.anew) return go_on(state);  // opened and left unchanged
    if (!take_entry(pad)) return;
    if (pad.repeats.empty()) {
        if (pad.field == Field{.of = Field::Of::bike, .bike = BikeField::name}) {
            pad.problem = "A name or a number is enough.";
            return;
        }
        // An erased number of the bike becomes unknown.
        if (pad.field.of == Field::Of::bike && state.form && !facts(pad.field.bike).needed)
            set_number(state.form->body, pad.field.bike, std::nullopt);
        if (pad.field.of == Field::Of::find || pad.field.of == Field::Of::event ||
            pad.field.of == Field::Of::job)
            keep_season_field(state, pad.field, "");
        if (must_be_read(state, pad.field))
            pad.problem = "Needed for the answer: type what you read.";
        else
            go_on(state);
        return;
    }
    if (!unchanged(state, pad)) {
        ask(state, pad);
        if (!pad.question.empty()) return;
        const Field field = pad.field;
        keep(state, false);
        // A name may have gone on to what was asked for before.
        if (!state.pad || !(state.pad->field == field)) return;
    }
    go_on(state);
}

void act_on(AppState& state, const act::ConfirmSame& answer) {
    if (!state.pad || state.pad->question.empty()) return;
    state.notice.reset();
    if (answer.same) {
        keep(state, true);
        go_on(state);
        return;
    }
    // Of several the last is the one that was asked about.
    state.pad->question.clear();
    if (!state.pad->repeats.empty()) state.pad->repeats.pop_back();
    state.pad->entry.clear();
}

}  // namespace restand
