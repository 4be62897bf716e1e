// The swap: six steps, resumed where they were left.

#include <algorithm>
#include <cmath>
#include <set>

#include "app/app_state.h"
#include "app/swap/to_set.h"
#include "app/views/point_wording.h"
#include "app/views/season_wording.h"
#include "app/views/view_parts.h"
#include "app/views/wording.h"
#include "app/workshop/bike_fields.h"
#include "core/codec/body_json.h"
#include "core/ledger/change_effect.h"
#include "core/ledger/plan_values.h"

namespace restand {

std::string label_in(const Swap& swap, End end, Point point) {
    return ends_of(swap).size() > 1 ? wording::label(point, end) : wording::label(point);
}

Field field_of(const ReadAt& spot) {
    return {.of = Field::Of::reading, .phase = spot.phase, .point = spot.point, .end = spot.end};
}

namespace {
// The end waits for a reading without which there is no answer.
bool lacks_reading(const EndSolution& end) {
    return !end.input && end.input.error().code == ErrorCode::missing &&
           (end.input.error().detail == key(Phase::before) ||
            end.input.error().detail == key(Phase::new_part));
}

bool is_answerable(const SolvedSwap& solved) {
    const auto& ends = solved.solution().ends;
    return missing(solved.site(), Phase::before).empty() && missing(solved.site(), Phase::new_part).empty() &&
           std::none_of(ends.begin(), ends.end(), lacks_reading);
}
}  // namespace

std::optional<Phase> phase_of(Step6 step) {
    switch (step) {
        case Step6::before:
            return Phase::before;
        case Step6::new_part:
            return Phase::new_part;
        case Step6::set:
            return Phase::set;
        case Step6::check:
            return Phase::check;
        case Step6::answer:
        case Step6::keep:
            return std::nullopt;
    }
    return std::nullopt;
}

const Swap* open_swap(const AppState& state) {
    return state.ledger.swap(state.swap);
}

Step6 step_of(const AppState& state) {
    if (state.step) return *state.step;
    const Swap* swap = open_swap(state);
    return swap ? swap->step : Step6::before;
}

std::optional<StoredReading> last_stored(const AppState& state, const Field& field) {
    if (field.of == Field::Of::change || field.of == Field::Of::plan || field.of == Field::Of::tried) {
        const SetUp now = setup_now(state.ledger, state.bike);
        const StoredReading* stored = now.stored(field.end, field.point);
        return stored ? std::optional(*stored) : std::nullopt;
    }
    const Swap* swap = field.of == Field::Of::reading ? open_swap(state) : nullptr;
    const Baseline* last = swap ? state.ledger.newest_baseline(swap->bike) : nullptr;
    const BaselineValue* value = last ? last->value(field.end, field.point) : nullptr;
    return value ? std::optional(value->stored) : std::nullopt;
}

std::optional<Typed> same_value(const AppState& state, const Field& field) {
    // A height read again that copies the one before is no reading.
    if (field.of == Field::Of::change && is_only_read(field.point)) return std::nullopt;
    if (field.of == Field::Of::change || field.of == Field::Of::tried)
        if (const auto last = last_stored(state, field)) return as_typed(last->reading);
    if (field.of != Field::Of::reading) return std::nullopt;
    const Unit unit = chosen(state.ledger.units(), dimension_of(field));
    const Swap* swap = open_swap(state);
    if (field.phase == Phase::set) {
        if (const auto to = value_to_set(state, field)) return typed_as_shown(to->value, unit);
        // What stood before is no setting of the new part.
        if (swap && is_answered(*swap, field.end, field.point) && !is_of_chain_run(field.point))
            return std::nullopt;
    }
    if (field.phase == Phase::check && is_of_bike(field.point)) {
        const StoredReading* before = swap ? swap->stored({Phase::before, field.end, field.point}) : nullptr;
        return before ? std::optional(as_typed(before->reading)) : std::nullopt;
    }
    // A new part has no last time; a check that copies what stood before is no check.
    if (field.phase == Phase::new_part || field.phase == Phase::check) return std::nullopt;
    if (swap && field.phase == Phase::set)
        if (const StoredReading* stored = swap->stored({Phase::before, field.end, field.point}))
            return as_typed(stored->reading);
    if (const auto last = last_stored(state, field)) return as_typed(last->reading);
    return std::nullopt;
}

std::map<ReadAt, Reading> refused_readings(const AppState& state, const Swap& swap) {
    std::map<ReadAt, Reading> refused;
    for (const RejectedEntry& kept : state.meeting.rejected.entries) {
        if (kept.entry.kind != "reading" || kept.entry.about != swap.id) continue;
        const auto body = body_from_json(kept.entry.kind, kept.entry.body);
        if (const auto* r = body ? std::get_if<ReadingBody>(&*body) : nullptr)
            refused.insert_or_assign(read_at(*r, swap.parts), r->reading);
    }
    return refused;
}

bool saving(const AppState& state, const Field& field, const Id& swap) {
    return std::any_of(state.pending.begin(), state.pending.end(),
                       [&](const Pending& p) { return p.field == field && p.swap == swap; });
}

bool saving(const AppState& state, const Field& field) {
    return saving(state, field, field.of == Field::Of::reading ? state.swap : Id{});
}

std::optional<Field> needed_field(const AppState& state) {
    const SolvedSwap* solved = solved_swap(state);
    const auto phase = phase_of(step_of(state));
    if (!solved || !phase) return std::nullopt;
    for (const ReadAt& spot : unread(solved->site(), *phase))
        if (const Field field = field_of(spot); !saving(state, field)) return field;
    return std::nullopt;
}

bool must_be_read(const AppState& state, const Field& field) {
    const SolvedSwap* solved = field.of == Field::Of::reading ? solved_swap(state) : nullptr;
    if (!solved) return false;
    const auto spots = missing(solved->site(), field.phase);
    return std::any_of(spots.begin(), spots.end(),
                       [&](const ReadAt& spot) { return field_of(spot) == field; });
}

bool reachable(const AppState& state, Step6 step) {
    const SolvedSwap* solved = solved_swap(state);
    if (!solved) return false;
    switch (step) {
        case Step6::before:
        case Step6::new_part:
            return true;
        case Step6::answer:
        case Step6::set:
            return is_answerable(*solved);
        case Step6::check:
        case Step6::keep:
            return is_answerable(*solved) && missing(solved->site(), Phase::set).empty();
    }
    return false;
}

void act_on(AppState& state, const act::ChooseParts& choose) {
    state.bike = choose.bike;
    state.chosen_parts.clear();
    state.screen = Screen::choose;
}

void act_on(AppState& state, const act::MoveSpring& move) {
    const Swap* swap = open_swap(state);
    if (!swap || !leave_pad(state) || !somebody_named(state, move)) return;
    const ReadAt at{Phase::new_part, move.end, Point::spring_moved};
    if (saving(state, field_of(at))) return;
    const Reading reading{at.point, {{move.moved ? "1" : "0", Unit::one}}, usual_instrument(at.point), ""};
    append(state,
           {.field = field_of(at),
            .swap = swap->id,
            .said = move.moved ? "The old spring goes on it." : "It has a spring of its own.",
            .undo = true},
           {encode(read_in(*swap, at, reading), swap->bike, swap->id, state.who, swap->entries(at))});
}

void act_on(AppState& state, const act::AskInside&) {
    state.inside_open = true;
}

void act_on(AppState& state, const act::TogglePart& toggle) {
    auto& chosen = state.chosen_parts;
    if (std::erase(chosen, toggle.part) == 0) chosen.push_back(toggle.part);
    chosen = tidy(chosen);
}

void act_on(AppState& state, const act::StartSwap& start) {
    if (start.parts.empty()) return;
    if (on_its_way(state, Pending::Then::open_swap)) return;
    if (const Swap* open = state.ledger.open_swap(start.bike))
        return act_on(state, act::ResumeSwap{open->id});
    append(state, {.then = Pending::Then::open_swap},
           {encode(SwapBody{tidy(start.parts)}, start.bike, {}, state.who)});
}

void act_on(AppState& state, const act::ResumeSwap& resume) {
    const Swap* swap = state.ledger.swap(resume.swap);
    if (!swap || !leave_pad(state)) return;
    state.bike = swap->bike;
    state.swap = swap->id;
    state.step.reset();
    state.reason.clear();
    state.screen = Screen::swap;
}

void act_on(AppState& state, const act::AbandonSwap& abandon) {
    const Swap* swap = state.ledger.swap(abandon.swap);
    if (!swap) return;
    state.pad.reset();
    state.reason.clear();
    append(state, {.said = "Swap set aside; its readings are kept.", .undo = true},
           {encode(SwapEndBody{false}, swap->bike, swap->id, state.who)});
    state.screen = Screen::bike;
}

void act_on(AppState& state, const act::GoToStep& go) {
    const Swap* swap = open_swap(state);
    if (!swap || !leave_pad(state)) return;
    if (!reachable(state, go.step)) {
        if (!state.pending.empty()) return defer(state, go);  // the last reading is on its way
        const auto needed = needed_field(state);
        say(state,
            needed ? "First measure: " + wording::label(needed->point) + "." : "A reading is still missing.");
        return;
    }
    state.notice.reset();
    state.step = go.step;
    append(state, {.swap = swap->id}, {encode(StepBody{go.step}, swap->bike, swap->id, state.who)});
}

namespace {
// "rear and front"
std::string ends_where_coils_touch(const SwapSolution& solution) {
    std::string ends;
    for (const EndSolution& e : solution.ends)
        if (e.as_set && e.as_set->coils_touch()) ends += (ends.empty() ? "" : " and ") + wording::end(e.end);
    return ends;
}

// A baseline that was not restored, or not checked, says so for ever.
std::string how_it_ended(const AppState& state, const Swap& swap) {
    const SolvedSwap* solved = solved_swap(state);
    if (const std::string ends = solved ? ends_where_coils_touch(solved->solution()) : ""; !ends.empty())
        return ends + " coils touch before full travel";
    if (const auto verdict = solved ? solved->solution().verdict() : std::nullopt)
        return wording::verdict(*verdict);
    const bool slack = swap.stored({Phase::check, End::rear, Point::chain_slack}) != nullptr;
    const bool ends = solved && !solved->solution().ends.empty();
    return slack && !ends ? "slack checked" : "not checked";
}
}  // namespace

namespace {
Judged judged(const AppState& state) {
    const SolvedSwap* solved = solved_swap(state);
    const auto verdict = solved ? solved->solution().verdict() : std::nullopt;
    if (!verdict) return Judged::not_checked;
    switch (*verdict) {
        case Verdict::restored:
            return Judged::restored;
        case Verdict::not_restored:
            return Judged::not_restored;
        case Verdict::cannot_tell:
            break;
    }
    return Judged::cannot_tell;
}
}  // namespace

void act_on(AppState& state, const act::Keep& again) {
    const Swap* swap = open_swap(state);
    if (!swap || !swap->open() || !leave_pad(state)) return;
    if (!state.pending.empty()) return defer(state, again);  // the last reading must be on disk first
    if (!reachable(state, Step6::keep)) return say(state, "A reading is still missing.");
    const std::string why = state.reason.empty() ? wording::usual_reason(swap->parts) : state.reason;
    const std::string reason = why + " · " + how_it_ended(state, *swap);
    const SetUp stands = setup_at(swap->bike, state.ledger.facts_of(swap->bike));
    BaselineBody body = baseline_of(*swap, stands, reason);
    body.judged = judged(state);
    const auto slack_in = [&](Phase phase) { return swap->stored({phase, End::rear, Point::chain_slack}); };
    if (!slack_in(Phase::set) && !slack_in(Phase::check)) put_expected_slack(state, swap->bike, body);
    append(state,
           {.then = Pending::Then::show_kept, .swap = swap->id, .said = "Kept as the bike's baseline."},
           {encode(body, swap->bike, swap->id, state.who),
            encode(SwapEndBody{true}, swap->bike, swap->id, state.who)});
}

}  // namespace restand
