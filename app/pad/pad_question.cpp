#include "app/pad/pad_question.h"

#include <cmath>

#include "app/app_state.h"
#include "app/pad/keep.h"
#include "app/views/wording.h"

namespace restand {

namespace {

// An installed spring must be shorter than its free length, else it is the wrong spring.
std::optional<double> free_length_of(const AppState& state, const Pad& pad) {
    const Swap* swap = open_swap(state);
    if (!swap || pad.field.of != Field::Of::reading || pad.field.point != Point::spring_installed_length)
        return std::nullopt;
    const Phase phase = pad.field.phase == Phase::set ? Phase::new_part : pad.field.phase;
    const StoredReading* free = swap->stored({phase, pad.field.end, Point::spring_free_length});
    return free ? std::optional(measured(free->reading).value) : std::nullopt;
}

// Free sag so small that the shock may have carried the bike while 'topped out' was read.
std::optional<double> little_sag(const AppState& state, const Pad& pad, double v) {
    constexpr double least = 3.0;  // mm at the axle; common practice, no source
    const Swap* swap = open_swap(state);
    const Point point = pad.field.point;
    const bool top = point == Point::ride_height_topped_out, still = point == Point::ride_height_static;
    if (!swap || pad.field.of != Field::Of::reading || pad.field.end != End::rear || (!top && !still))
        return std::nullopt;
    const StoredReading* other = swap->stored(
        {pad.field.phase, End::rear, top ? Point::ride_height_static : Point::ride_height_topped_out});
    if (!other) return std::nullopt;
    const double there = measured(other->reading).value, sag = top ? v - there : there - v;
    return sag >= 0 && sag < least ? std::optional(sag) : std::nullopt;
}

std::optional<int> links_instead(const AppState& state, const Pad& pad, int links) {
    const SolvedSwap* solved = solved_swap(state);
    if (!solved || pad.field.of != Field::Of::reading || pad.field.point != Point::chain_links)
        return std::nullopt;
    return links_instead(solved->site(), pad.field.phase, links);
}
}  // namespace

PadQuestion question_of(const AppState& state, const Pad& pad) {
    if (!is_reading(pad.field) || is_text(pad.field)) return {};
    const PointFacts& f = facts(pad.field.point);
    const double v = measured(reading_of(pad)).value;
    if (const int links = static_cast<int>(std::lround(v));
        const auto fits = links_instead(state, pad, links))
        return {wording::count_again(links, *fits)};
    const bool same_part = pad.field.phase == Phase::before || pad.field.phase == Phase::check;
    const bool way = pad.field.of == Field::Of::plan;  // compared with what is expected, below
    if (const auto last = last_stored(state, pad.field); last && same_part && !way) {
        const double away = v - measured(last->reading).value;
        if (std::fabs(away) > f.jump) return {wording::far_from_last(away, pad.unit)};
    }
    if (const auto expected = expected_of(state, pad.field); expected && std::fabs(v - *expected) > f.jump)
        return {wording::far_from_then(v - *expected, pad.unit)};
    if (const auto sag = little_sag(state, pad, v)) return {wording::little_sag(*sag, pad.unit), true};
    if (const Swap* swap = open_swap(state);
        swap && pad.field.phase == Phase::set && is_answered(*swap, pad.field.end, pad.field.point))
        if (const auto said = same_value(state, pad.field);
            said && std::fabs(v - canonical_value(*said)) > f.jump)
            return {wording::far_from_answer(v - canonical_value(*said), pad.unit)};
    if (const auto free = free_length_of(state, pad); free && v > *free)
        return {wording::longer_than_free(*free, pad.unit)};
    if (v < f.usual_min || v > f.usual_max) return {wording::unusual(f.usual_min, f.usual_max, pad.unit)};
    return {};
}

}  // namespace restand
