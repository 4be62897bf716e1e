// What a finished swap leaves behind as the bike's baseline.
//
// Rules
//   1  What the swap replaced never carries over: the old part's numbers do not describe the new part.
//   2  A length 'as found' on the bench is no setting; only what was set counts.
//   3  Ride heights are those of the check: what was not checked is not known.
//   4  Everything else: read in this swap, else carried over from the last baseline.

#include <algorithm>

#include "core/ledger/ledger.h"

namespace restand {
namespace {

bool is_height(Point p) {
    return p == Point::ride_height_topped_out || p == Point::ride_height_static ||
           p == Point::ride_height_rider;
}

bool is_clicks(Point p) {
    return p == Point::clicks_compression_low || p == Point::clicks_compression_high ||
           p == Point::clicks_rebound_low || p == Point::clicks_rebound_high;
}

bool of_the_spring(Point p) {
    return p == Point::spring_rate || p == Point::spring_free_length || p == Point::spring_installed_length ||
           p == Point::spring_block_length;
}

bool of_the_unit(Point p) {
    switch (p) {
        case Point::eye_to_eye:
        case Point::eye_to_eye_min:
        case Point::eye_to_eye_max:
        case Point::length_mm_per_turn:
        case Point::fork_length:
        case Point::fork_position:
        case Point::fork_position_min:
        case Point::fork_position_max:
        case Point::travel:
        case Point::gas_force:
        case Point::part_name:
        case Point::collar_mm_per_turn:
            return true;
        default:
            return of_the_spring(p) || is_clicks(p);
    }
}

bool replaced(SwapKind kind, Point p) {
    if (is_height(p)) return true;
    const bool whole_unit = kind == SwapKind::shock || kind == SwapKind::fork;
    return whole_unit ? of_the_unit(p) : of_the_spring(p);
}

bool as_found(Point p) {
    return p == Point::eye_to_eye || p == Point::fork_position || p == Point::spring_installed_length;
}

// The take that stands for a point once the swap is done; nullptr when the swap does not know.
const Take* standing_take(const Swap& swap, Point point) {
    if (const Take* take = swap.take(Phase::check, point)) return take;
    if (is_height(point)) return nullptr;
    if (const Take* take = swap.take(Phase::set, point)) return take;
    if (!as_found(point))
        if (const Take* take = swap.take(Phase::new_part, point)) return take;
    return replaced(swap.kind, point) ? nullptr : swap.take(Phase::before, point);
}

}  // namespace

BaselineBody baseline_of(const Swap& swap, const Baseline* last, std::string reason) {
    BaselineBody body{.reason = std::move(reason), .based_on = last ? last->id : Id{}, .values = {}};
    const End end = end_of(swap.kind);

    // Carried over: the other end whole, of this end what the swap neither replaced nor read.
    if (last)
        for (const BaselineValue& value : last->body.values) {
            const Point point = value.take.reading.point;
            if (value.end == end && (replaced(swap.kind, point) || standing_take(swap, point))) continue;
            body.values.push_back(value);
        }

    // Of this swap.
    for (int i = 0; i < point_count; ++i)
        if (const Take* take = standing_take(swap, static_cast<Point>(i)))
            body.values.push_back({end, *take});

    std::stable_sort(
        body.values.begin(), body.values.end(), [](const BaselineValue& a, const BaselineValue& b) {
            return std::pair(a.end, a.take.reading.point) < std::pair(b.end, b.take.reading.point);
        });
    return body;
}

}  // namespace restand
