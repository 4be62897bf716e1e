#include "core/ledger/plan_heights.h"

#include <algorithm>

#include "core/ledger/fitted_unit.h"
#include "core/ledger/moved_by.h"
#include "core/ledger/same_parts.h"

namespace restand {
namespace {

bool is_adjusted(Point point) {
    return point == Point::eye_to_eye || point == Point::fork_position || is_of_preload(point);
}

// `fitted` with the adjusters where they stood when the heights were read. nullopt: something else that moves
// heights differs.
std::optional<SetUp> adjusted_as(const SetUp& read, const SetUp& fitted, End end) {
    SetUp as_set = fitted;
    for (const PointFacts& one : all_points()) {
        if (!moved_by(one.point).any_height()) continue;
        const StoredReading *is = read.stored(end, one.point), *to_be = fitted.stored(end, one.point);
        if (is_adjusted(one.point)) {
            if (is) as_set.values[{end, one.point}] = *is;
        } else if (is && to_be && !same_value(is->reading, to_be->reading)) {
            return std::nullopt;
        }
    }
    return as_set;
}

}  // namespace

std::optional<Checked> heights_as_read(const BikeBody& bike, End end, const SetUp& then, const SetUp& now,
                                       const SetUp& fitted) {
    SetUp read;
    read.values = now.read_with;
    if (!same_damper(end, read, now) || !same_spring(end, read, now)) return std::nullopt;
    const auto as_set = adjusted_as(read, fitted, end);
    if (!as_set) return std::nullopt;
    const auto swap = case_of(bike, end, then, *as_set);
    if (!swap) return std::nullopt;
    const auto height = [&](State state) { return read.length(end, height_point(state)); };
    const Checked checked{swap->length.now, swap->installed.now, height(State::topped_out),
                          height(State::static_), height(State::rider)};
    const auto& must_hold = swap->before.rider ? checked.rider : checked.static_;
    return checked.topped_out && must_hold ? std::optional(checked) : std::nullopt;
}

bool stands_as(const Checked& checked, const SwapCase& then, State hold) {
    const auto off = [](std::optional<Length> is, std::optional<Length> to_be) {
        return is && to_be ? abs(*is - *to_be) : mm(0);
    };
    const Length top = off(checked.topped_out, then.before.topped_out),
                 still = off(checked.static_, then.before.static_),
                 rider = off(checked.rider, then.before.rider);
    const Length held = hold == State::rider ? rider : still;
    return held <= 0.5 * then.tolerance && std::max({top, still, rider}) <= then.tolerance;
}

}  // namespace restand
