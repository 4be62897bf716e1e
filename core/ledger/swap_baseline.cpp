// What a finished swap leaves behind as the bike's baseline.
//
// Rules
//   1  What the swap replaced never carries over: the old part's numbers do not describe the new part.
//   2  A length 'as found' on the bench is no setting; only what was set counts.
//   3  Ride heights are those of the check: what was not checked is not known.
//   4  Everything else: read in this swap, else carried over from the last baseline, or from the changes
//      made since.
//   5  A change made while the swap ran is newer than what the swap read before it; of the new part it can
//      only speak once that part was in somebody's hands.

#include <algorithm>

#include "core/ledger/setup.h"

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

// When the new part was last read or set; before the swap began, if it never was.
std::int64_t part_read_ms(const Swap& swap) {
    std::int64_t newest = 0;
    for (const auto& [at, takes] : swap.takes)
        if (at.first == Phase::new_part || at.first == Phase::set)
            for (const Take& take : takes) newest = std::max(newest, take.at_ms);
    return newest;
}

// Does a value from outside the swap still stand at its end, once the swap is done?
bool outlives(const Swap& swap, const Take& carried) {
    const Point point = carried.reading.point;
    const Take* own = standing_take(swap, point);
    const bool during = carried.at_ms > swap.started_ms && carried.swap.nil();
    if (!during) return !own && !replaced(swap.kind, point);
    if (own) return carried.at_ms > own->at_ms;
    const std::int64_t part_ms = part_read_ms(swap);
    return !replaced(swap.kind, point) || (part_ms > 0 && carried.at_ms >= part_ms);
}

BaselineBody baseline_with(const Swap& swap, std::vector<BaselineValue> carried, const Id& based_on,
                           std::string reason) {
    BaselineBody body{.reason = std::move(reason), .based_on = based_on, .values = std::move(carried)};
    const End end = end_of(swap.kind);
    const auto carries = [&](Point p) {
        return std::any_of(body.values.begin(), body.values.end(),
                           [&](const BaselineValue& v) { return v.end == end && v.take.reading.point == p; });
    };
    std::vector<BaselineValue> own;
    for (int i = 0; i < point_count; ++i)
        if (const Take* take = standing_take(swap, static_cast<Point>(i));
            take && !carries(static_cast<Point>(i)))
            own.push_back({end, *take});
    body.values.insert(body.values.end(), own.begin(), own.end());
    std::stable_sort(
        body.values.begin(), body.values.end(), [](const BaselineValue& a, const BaselineValue& b) {
            return std::pair(a.end, a.take.reading.point) < std::pair(b.end, b.take.reading.point);
        });
    return body;
}

}  // namespace

BaselineBody baseline_of(const Swap& swap, const Baseline* last, std::string reason) {
    std::vector<BaselineValue> carried;
    const End end = end_of(swap.kind);
    if (last)
        for (const BaselineValue& value : last->body.values) {
            const Point point = value.take.reading.point;
            if (value.end == end && (replaced(swap.kind, point) || standing_take(swap, point))) continue;
            carried.push_back(value);
        }
    return baseline_with(swap, std::move(carried), last ? last->id : Id{}, std::move(reason));
}

BaselineBody baseline_of(const Swap& swap, const SetUp& stands, std::string reason) {
    std::vector<BaselineValue> carried;
    const End end = end_of(swap.kind);
    for (const auto& [place, take] : stands.values)
        if (!stands.stale.contains(place) && (place.first != end || outlives(swap, take)))
            carried.push_back({place.first, take});
    return baseline_with(swap, std::move(carried), stands.baseline, std::move(reason));
}

}  // namespace restand
