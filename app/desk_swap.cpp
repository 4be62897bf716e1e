// The swap: six steps, resumed where they were left.

#include <algorithm>
#include <cmath>

#include "app/bike_fields.h"
#include "app/desk_parts.h"
#include "app/views/view_parts.h"
#include "app/views/words.h"
#include "core/exchange/body_json.h"

namespace restand {

namespace {
bool is_answered_by_chain(Point point) {
    return point == Point::axle_position || point == Point::chain_links;
}

// Checked, and not restored: what is to be set now is the correction.
bool to_correct(const SwapSite& site, End end) {
    if (!site.swap.take({Phase::check, end, Point::ride_height_rider})) return false;
    const auto result = check_of(site, end);
    return result && !result->heights.empty() && result->verdict == Verdict::not_restored;
}

// What an end is to be set to. The plain answer, for it is asked with every key: how sure it is would cost fifty times
// as much.
struct Wanted {
    SwapCase swap_case;
    Setting setting;
    bool correction;
};
std::optional<Wanted> wanted_at(const SwapSite& site, End end) {
    const auto input = case_of(site, end);
    if (!input) return std::nullopt;
    const bool correction = to_correct(site, end);
    const auto answer = correction ? correction_of(site, end) : restore(input->swap_case);
    if (!answer) return std::nullopt;
    return Wanted{input->swap_case, answer->detent, correction};
}
double value_of(const Wanted& wanted, const Swap& swap, Point point) {
    if (point == Point::eye_to_eye) return wanted.setting.length.value;
    if (point == Point::spring_installed_length) return wanted.setting.installed_length.value;
    return fork_position(wanted.swap_case, swap, wanted.setting.length).value;
}

// The answer's value for a point of the set step, as it would be typed.
std::optional<double> answered(const Desk& desk, const Field& field) {
    const Point point = field.point;
    const Swap* swap = open_swap(desk);
    const Bike* bike = swap ? desk.ledger.bike(swap->bike) : nullptr;
    if (!bike || !is_answered(*swap, field.end, point)) return std::nullopt;
    const SwapSite site = site_of(desk.ledger, *bike, *swap);
    if (is_answered_by_chain(point)) {
        const auto chain = chain_answer_of(site);
        if (!chain) return std::nullopt;
        if (point == Point::chain_links) return chain->will.run.links;
        return chain->axle_from
                   ? std::optional(std::round(in_mm(*chain->axle_from + chain->axle_by) * 10) / 10)
                   : std::nullopt;
    }
    const auto wanted = wanted_at(site, field.end);
    return wanted ? std::optional(value_of(*wanted, *swap, point)) : std::nullopt;
}

Field field_of(const ReadAt& spot) {
    return {.of = Field::Of::reading, .phase = spot.phase, .point = spot.point, .end = spot.end};
}

bool all_read(const Swap& swap, Phase phase) {
    return missing(swap, phase).empty();
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

const Swap* open_swap(const Desk& desk) {
    return desk.ledger.swap(desk.swap);
}

Step6 step_of(const Desk& desk) {
    if (desk.step) return *desk.step;
    const Swap* swap = open_swap(desk);
    return swap ? swap->step : Step6::before;
}

bool is_answered(const Swap& swap, End end, Point point) {
    if (is_answered_by_chain(point)) return refits_chain(swap);
    if (!sets(swap, end)) return false;
    return point == Point::eye_to_eye || point == Point::spring_installed_length ||
           point == Point::fork_position;
}

std::optional<Field> field_to_correct(const Desk& desk) {
    const Swap* swap = open_swap(desk);
    const Bike* bike = swap ? desk.ledger.bike(swap->bike) : nullptr;
    if (!bike) return std::nullopt;
    const SwapSite site = site_of(desk.ledger, *bike, *swap);
    for (const End end : ends_of(*swap)) {
        const auto wanted = sets(*swap, end) ? wanted_at(site, end) : std::nullopt;
        if (!wanted || !wanted->correction) continue;
        for (const Point point : {Point::eye_to_eye, Point::fork_position, Point::spring_installed_length}) {
            const ReadAt spot{Phase::set, end, point};
            const Take* set = swap->take(spot);
            // A tenth of a millimetre is what a calliper on a spring tells.
            if (set && std::fabs(value_of(*wanted, *swap, point) - measured(set->reading).value) > 0.1)
                return field_of(spot);
        }
    }
    return std::nullopt;
}

Length fork_position(const SwapCase& swap_case, const Swap& swap, Length length) {
    const Take* now = swap.take({Phase::new_part, End::front, Point::fork_position});
    if (!now) now = swap.take({Phase::before, End::front, Point::fork_position});
    return (now ? mm(measured(now->reading).value) : mm(0)) - (length - swap_case.length.now);
}

bool is_text(const Field& field) {
    return field.of == Field::Of::where || dimension_of(field) == Dimension::text;
}

Dimension dimension_of(const Field& field) {
    switch (field.of) {
        case Field::Of::reading:
        case Field::Of::change:
        case Field::Of::tried:
        case Field::Of::way:
        case Field::Of::shelf:
            return facts(field.point).dimension;
        case Field::Of::bike:
            return facts(field.bike).dimension;
        case Field::Of::event:
            return field.event >= EventField::distance ? Dimension::ratio : Dimension::text;
        case Field::Of::part:
            return field.part == PartField::name ? Dimension::text : Dimension::ratio;
        case Field::Of::person:
        case Field::Of::reason:
        case Field::Of::where:
        case Field::Of::find:
        case Field::Of::device:
        case Field::Of::folder:
            return Dimension::text;
    }
    return Dimension::text;
}

std::optional<Take> last_take(const Desk& desk, const Field& field) {
    if (field.of == Field::Of::change || field.of == Field::Of::way || field.of == Field::Of::tried) {
        const SetUp now = setup_now(desk, desk.bike);
        const Take* take = now.take(field.end, field.point);
        return take ? std::optional(*take) : std::nullopt;
    }
    const Swap* swap = field.of == Field::Of::reading ? open_swap(desk) : nullptr;
    const Baseline* last = swap ? desk.ledger.newest_baseline(swap->bike) : nullptr;
    const BaselineValue* value = last ? last->value(field.end, field.point) : nullptr;
    return value ? std::optional(value->take) : std::nullopt;
}

namespace {
// As it would be typed: what several repeats say together is none of them.
Typed as_typed(const Reading& reading) {
    const Typed& last = reading.repeats.back();
    if (is_text(reading.point) || reading.repeats.size() == 1) return last;
    return {words::plain(measured(reading).value, last.unit), last.unit};
}
}  // namespace

std::optional<Typed> same_value(const Desk& desk, const Field& field) {
    if (field.of == Field::Of::change || field.of == Field::Of::tried)
        if (const auto last = last_take(desk, field)) return as_typed(last->reading);
    if (field.of != Field::Of::reading) return std::nullopt;
    const Unit unit = chosen(desk.ledger.units(), dimension_of(field));
    if (field.phase == Phase::set)
        if (const auto v = answered(desk, field)) return Typed{words::plain(*v, unit), unit};
    // A new part has no last time; a check that copies what stood before is no check.
    if (field.phase == Phase::new_part || field.phase == Phase::check) return std::nullopt;
    const Swap* swap = open_swap(desk);
    if (swap && field.phase == Phase::set)
        if (const Take* take = swap->take({Phase::before, field.end, field.point}))
            return as_typed(take->reading);
    if (const auto last = last_take(desk, field)) return as_typed(last->reading);
    return std::nullopt;
}

bool saving(const Desk& desk, const Field& field, const Id& swap) {
    return std::any_of(desk.pending.begin(), desk.pending.end(),
                       [&](const Pending& p) { return p.field == field && p.swap == swap; });
}

bool saving(const Desk& desk, const Field& field) {
    return saving(desk, field, desk.swap);
}

namespace {
// Walking on from a tag: the next one at the same place, then what the answer still needs, then the rest of the list.
// Names are for the finger: a gauge types numbers.
std::optional<Field> next_reading(const Desk& desk, const Swap& swap, Phase phase,
                                  std::optional<Field> after) {
    const auto points = asked(swap, phase);
    const auto field = [phase](const Asked& a) { return field_of({phase, a.end, a.point}); };
    const auto open = [&](const Asked& a) {
        return !is_text(field(a)) && field(a) != after && !swap.take({phase, a.end, a.point}) &&
               !saving(desk, field(a));
    };
    auto at = points.begin();
    if (after) {
        at = std::find_if(points.begin(), points.end(),
                          [&](const Asked& a) { return a.end == after->end && a.point == after->point; });
        if (at != points.end()) ++at;
        const auto here = [&](const Asked& a) {
            return a.end == after->end && group_of(a.point) == group_of(after->point);
        };
        for (auto it = at; it != points.end() && here(*it); ++it)
            if (open(*it)) return field(*it);
    }
    for (const ReadAt& spot : missing(swap, phase))
        if (const Field needed = field_of(spot); needed != after && !saving(desk, needed)) return needed;
    return std::nullopt;  // what is left may be read, nothing waits for it
}

// Down a form, as far as it is not filled yet: from the circuit to the rider's words, from a name to its limit.
std::optional<Field> next_in_form(const Desk& desk, const Field& after) {
    using enum EventField;
    constexpr EventField order[] = {circuit, session, weather, tyre, distance, running, words};
    if (after.of == Field::Of::part) {
        if (after.part != PartField::name) return std::nullopt;
        return Field{.of = Field::Of::part, .part = PartField::limit_km};
    }
    const auto at = std::find(std::begin(order), std::end(order), after.event);
    for (auto it = at; it != std::end(order) && it + 1 != std::end(order); ++it) {
        const Field next{.of = Field::Of::event, .event = *(it + 1)};
        if (standing_season_text(desk, next).empty()) return next;
    }
    return std::nullopt;
}
}  // namespace

std::optional<Field> next_field(const Desk& desk, std::optional<Field> after) {
    if (after && after->of == Field::Of::bike) {
        // From the name to the leverage ratio to a saved bike; a strut's length asks for its ride height.
        if (after->bike == BikeField::name && desk.form && !desk.form->body.rear.leverage &&
            desk.form->body.rear.pairs.empty())
            return Field{.of = Field::Of::bike, .bike = BikeField::rear_leverage};
        if (after->bike == BikeField::pair_length)
            return Field{.of = Field::Of::bike, .bike = BikeField::pair_height};
        return std::nullopt;
    }
    if (after && (after->of == Field::Of::event || after->of == Field::Of::part))
        return next_in_form(desk, *after);
    const Swap* swap = open_swap(desk);
    const auto phase = phase_of(step_of(desk));
    if (!swap || !phase || (after && after->of != Field::Of::reading)) return std::nullopt;
    return next_reading(desk, *swap, *phase, after);
}

std::optional<Field> needed_field(const Desk& desk) {
    const Swap* swap = open_swap(desk);
    const auto phase = phase_of(step_of(desk));
    if (!swap || !phase) return std::nullopt;
    for (const ReadAt& spot : missing(*swap, *phase))
        if (const Field field = field_of(spot); !saving(desk, field)) return field;
    return std::nullopt;
}

bool reachable(const Desk& desk, Step6 step) {
    const Swap* swap = open_swap(desk);
    if (!swap) return false;
    const bool measured_all = all_read(*swap, Phase::before) && all_read(*swap, Phase::new_part);
    switch (step) {
        case Step6::before:
        case Step6::new_part:
            return true;
        case Step6::answer:
        case Step6::set:
            return measured_all;
        case Step6::check:
        case Step6::keep:
            return measured_all && all_read(*swap, Phase::set);
    }
    return false;
}

void act_on(Desk& desk, const act::ChooseParts& choose) {
    desk.bike = choose.bike;
    desk.season.chosen.clear();
    desk.screen = Screen::choose;
}

void act_on(Desk& desk, const act::TogglePart& toggle) {
    auto& chosen = desk.season.chosen;
    if (std::erase(chosen, toggle.part) == 0) chosen.push_back(toggle.part);
    chosen = tidy(chosen);
}

void act_on(Desk& desk, const act::StartSwap& start) {
    if (start.parts.empty()) return;
    if (on_its_way(desk, Pending::Then::open_swap)) return;
    if (const Swap* open = desk.ledger.open_swap(start.bike)) return act_on(desk, act::ResumeSwap{open->id});
    append(desk, {.then = Pending::Then::open_swap},
           {encode(SwapBody{tidy(start.parts)}, start.bike, {}, desk.who)});
}

void act_on(Desk& desk, const act::ResumeSwap& resume) {
    const Swap* swap = desk.ledger.swap(resume.swap);
    if (!swap || !leave_pad(desk)) return;
    desk.bike = swap->bike;
    desk.swap = swap->id;
    desk.step.reset();
    desk.reason.clear();
    desk.screen = Screen::swap;
}

void act_on(Desk& desk, const act::AbandonSwap& abandon) {
    const Swap* swap = desk.ledger.swap(abandon.swap);
    if (!swap) return;
    desk.pad.reset();
    append(desk, {.said = "Swap set aside; its readings are kept.", .undo = true},
           {encode(SwapEndBody{false}, swap->bike, swap->id, desk.who)});
    desk.screen = Screen::bike;
}

void act_on(Desk& desk, const act::GoToStep& go) {
    const Swap* swap = open_swap(desk);
    if (!swap || !leave_pad(desk)) return;
    if (!reachable(desk, go.step)) {
        if (!desk.pending.empty()) return defer(desk, go);  // the last reading is on its way
        const auto needed = needed_field(desk);
        say(desk,
            needed ? "First measure: " + words::label(needed->point) + "." : "A reading is still missing.");
        return;
    }
    desk.notice.reset();
    desk.step = go.step;
    append(desk, {.swap = swap->id}, {encode(StepBody{go.step}, swap->bike, swap->id, desk.who)});
}

namespace {
// A baseline that was not restored, or not checked, says so for ever.
std::string how_it_ended(const Desk& desk, const Swap& swap) {
    const Bike* bike = desk.ledger.bike(swap.bike);
    const auto checks = bike ? checks_of(site_of(desk.ledger, *bike, swap)) : std::vector<EndCheck>{};
    if (const auto verdict = worst_of(checks)) return words::verdict(*verdict);
    const bool slack = swap.take({Phase::check, End::rear, Point::chain_slack}) != nullptr;
    return checks.empty() && slack ? "slack checked" : "not checked";
}
}  // namespace

void act_on(Desk& desk, const act::Keep& again) {
    const Swap* swap = open_swap(desk);
    if (!swap || !swap->open() || !leave_pad(desk)) return;
    if (!desk.pending.empty()) return defer(desk, again);  // the last reading must be on disk first
    if (!reachable(desk, Step6::keep)) return say(desk, "A reading is still missing.");
    const std::string why = desk.reason.empty() ? words::usual_reason(swap->parts) : desk.reason;
    const std::string reason = why + " · " + how_it_ended(desk, *swap);
    const BaselineBody body = baseline_of(*swap, setup_now(desk, swap->bike), reason);
    append(desk, {.then = Pending::Then::show_kept, .swap = swap->id, .said = "Kept as the bike's baseline."},
           {encode(body, swap->bike, swap->id, desk.who),
            encode(SwapEndBody{true}, swap->bike, swap->id, desk.who)});
}

}  // namespace restand
