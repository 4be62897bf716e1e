#include "app/pad/next_field.h"

#include <algorithm>

#include "app/app_state.h"
#include "app/swap/to_set.h"
#include "app/views/view_parts.h"
#include "core/ledger/shelf.h"

namespace restand {

namespace {
// Walking on from a tag: the next one at the same place, then what the answer still needs, then the rest of
// the list. Names are for the finger: a gauge types numbers.
std::optional<Field> next_reading(const AppState& state, const SwapSite& site, Phase phase,
                                  std::optional<Field> after) {
    const Swap& swap = site.swap;
    const auto points = asked(swap, phase);
    const auto field = [phase](const Asked& a) { return field_of({phase, a.end, a.point}); };
    const auto open = [&](const Asked& a) {
        return !is_text(field(a)) && a.point != Point::spring_moved && (!a.inside || state.inside_open) &&
               field(a) != after && !swap.stored({phase, a.end, a.point}) && !saving(state, field(a));
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
    for (const ReadAt& spot : unread(site, phase))
        if (const Field needed = field_of(spot); needed != after && !saving(state, needed)) return needed;
    if (phase == Phase::set) return field_to_correct(state, after);
    return std::nullopt;  // what is left may be read, nothing waits for it
}

// Down a form, as far as it is not filled yet: from the circuit to the rider's words, from a name to its
// limit.
std::optional<Field> next_in_form(const AppState& state, const Field& after) {
    using enum EventField;
    constexpr EventField order[] = {circuit, session, weather, tyre, distance, running, words};
    if (after.of == Field::Of::part) {
        if (after.part != PartField::name) return std::nullopt;
        return Field{.of = Field::Of::part, .part = PartField::limit_km};
    }
    const auto at = std::find(std::begin(order), std::end(order), after.event);
    for (auto it = at; it != std::end(order) && it + 1 != std::end(order); ++it) {
        const Field next{.of = Field::Of::event, .event = *(it + 1)};
        if (standing_season_text(state, next).empty()) return next;
    }
    return std::nullopt;
}

// Outside a swap: from a height to the next one that is to be read, rear before front.
std::optional<Field> next_height(const AppState& state, const Field& after) {
    if (after.of != Field::Of::change || !is_ride_height(after.point)) return std::nullopt;
    const SetUp now = setup_now(state.ledger, state.bike);
    bool passed = false;
    for (const End end : {End::rear, End::front})
        for (const Point height : ride_heights) {
            const bool read = now.stored(end, height) && !now.stale.contains({end, height});
            if (passed && !read) return Field{.of = Field::Of::change, .point = height, .end = end};
            passed = passed || (end == after.end && height == after.point);
        }
    return std::nullopt;
}
}  // namespace

std::optional<Field> next_of_item(const AppState& state, std::optional<Point> after) {
    const ShelfItem* item = shown_item(state);
    if (!item || after == Point::part_name) return std::nullopt;
    const auto points = shelf_points(item->body.part);
    auto from = points.begin();
    if (after) {
        from = std::find(points.begin(), points.end(), *after);
        if (from != points.end()) ++from;
    }
    const auto next = std::find_if(from, points.end(), [&](Point point) {
        return !is_inside(point) && point != Point::part_name && !value_of(item->body, point);
    });
    if (next == points.end()) return std::nullopt;
    return Field{.of = Field::Of::shelf, .point = *next, .end = end_of(item->body.part)};
}

std::optional<Field> next_field(const AppState& state, std::optional<Field> after) {
    if (after && after->of == Field::Of::bike) {
        // From the name to the leverage ratio to a saved bike; a strut's length asks for its ride height.
        if (after->bike == BikeField::name && state.form && !state.form->body.rear.leverage &&
            state.form->body.rear.pairs.empty())
            return Field{.of = Field::Of::bike, .bike = BikeField::rear_leverage};
        if (after->bike == BikeField::pair_length)
            return Field{.of = Field::Of::bike, .bike = BikeField::pair_height};
        return std::nullopt;
    }
    if (after && (after->of == Field::Of::event || after->of == Field::Of::part))
        return next_in_form(state, *after);
    if (after && after->of == Field::Of::shelf) return next_of_item(state, after->point);
    if (after && after->of == Field::Of::change) return next_height(state, *after);
    const SolvedSwap* solved = solved_swap(state);
    const auto phase = phase_of(step_of(state));
    if (!solved || !phase || (after && after->of != Field::Of::reading)) return std::nullopt;
    return next_reading(state, solved->site(), *phase, after);
}

}  // namespace restand
