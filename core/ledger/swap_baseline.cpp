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

// Where a swap leaves the end as it stood, heights read before it still hold.
bool replaced(const Swap& swap, End end, Point p) {
    return replaces(swap, end, p) || (is_ride_height(p) && sets(swap, end));
}

bool as_found(Point p) {
    return p == Point::eye_to_eye || p == Point::fork_position || p == Point::spring_installed_length;
}

// The take that stands for a point once the swap is done; nullptr when the swap does not know.
const Take* standing_take(const Swap& swap, End end, Point point) {
    if (const Take* take = swap.take({Phase::check, end, point})) return take;
    if (is_ride_height(point) && sets(swap, end)) return nullptr;
    if (const Take* take = swap.take({Phase::set, end, point})) return take;
    if (!as_found(point))
        if (const Take* take = swap.take({Phase::new_part, end, point})) return take;
    return replaced(swap, end, point) ? nullptr : swap.take({Phase::before, end, point});
}

// When the new part was last read or set; before the swap began, if it never was.
Clock part_read(const Swap& swap, End end) {
    Clock newest;
    for (const auto& [spot, takes] : swap.takes)
        if (spot.end == end && (spot.phase == Phase::new_part || spot.phase == Phase::set))
            for (const Take& take : takes) newest = std::max(newest, take.at);
    return newest;
}

// Does a value from outside the swap still stand at its end, once the swap is done?
bool outlives(const Swap& swap, End end, const Take& carried) {
    const Point point = carried.reading.point;
    const Take* own = standing_take(swap, end, point);
    const bool during = carried.at > swap.started && carried.swap.nil();
    if (!during) return !own && !replaced(swap, end, point);
    if (own) return carried.at > own->at;
    const Clock part = part_read(swap, end);
    return !replaced(swap, end, point) || (part != Clock{} && carried.at >= part);
}

// The swap's own values, where nothing carried over took their place.
void add_own(const Swap& swap, End end, std::vector<BaselineValue>& values) {
    const std::size_t carried = values.size();
    for (const PointFacts& facts : all_points()) {
        const Take* take = standing_take(swap, end, facts.point);
        const auto is_it = [&](const BaselineValue& v) { return v.end == end && v.take.reading.point == facts.point; };
        if (take && std::none_of(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(carried), is_it))
            values.push_back({end, *take});
    }
}

}  // namespace

BaselineBody baseline_of(const Swap& swap, const SetUp& stands, std::string reason) {
    BaselineBody body{.reason = std::move(reason), .based_on = stands.baseline, .values = {}};
    const auto ends = ends_of(swap);
    const auto touched = [&](End end) { return std::find(ends.begin(), ends.end(), end) != ends.end(); };
    for (const auto& [place, take] : stands.values)
        if (!stands.stale.contains(place) && (!touched(place.first) || outlives(swap, place.first, take)))
            body.values.push_back({place.first, take});
    for (const End end : ends) add_own(swap, end, body.values);
    std::stable_sort(
        body.values.begin(), body.values.end(), [](const BaselineValue& a, const BaselineValue& b) {
            return std::pair(a.end, a.take.reading.point) < std::pair(b.end, b.take.reading.point);
        });
    return body;
}

}  // namespace restand
