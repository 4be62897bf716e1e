// The baseline that a finished swap makes.
//
// Rules
//   1  Values of a replaced part are never carried over: the old part's numbers do not describe the new part.
//   2  A length 'as found' on the bench is not a setting; only the length set counts.
//   3  Ride heights come from the check; a height that was not checked is not known.
//   4  Every other value is the one read in this swap. If there is none, it is carried over from the last
//      baseline or from the changes made since.
//   5  A preload that the lengths contradict is left out: the lengths count.
//   6  A change made during the swap is newer than what the swap read before it. It can be about the new part
//      only after the first reading of that part.

#include <algorithm>

#include "core/ledger/contradiction.h"
#include "core/ledger/fitted_unit.h"
#include "core/ledger/setup.h"

namespace restand {
namespace {

// The swap set the preload in another form than this one.
bool set_otherwise(const Swap& swap, End end, Point p) {
    const auto set = [&](Point point) { return swap.stored({Phase::set, end, point}) != nullptr; };
    return is_of_preload(p) && !set(p) && (set(Point::spring_installed_length) || set(Point::spring_preload));
}

// If a swap does not change how the end stands, the heights read before it still hold.
bool replaced(const Swap& swap, End end, Point p) {
    return replaces(swap, end, p) || ((is_ride_height(p) || goes_with_heights(p)) && sets(swap, end)) ||
           set_otherwise(swap, end, p);
}

bool as_found(Point p) {
    return p == Point::eye_to_eye || p == Point::fork_position || is_of_preload(p);
}

// The stored reading of a point that is valid after the swap; nullptr: the swap has none.
const StoredReading* standing_stored(const Swap& swap, End end, Point point) {
    if (point == Point::spring_moved) return nullptr;  // of this swap only
    if (const StoredReading* stored = swap.stored({Phase::check, end, point})) return stored;
    if ((is_ride_height(point) || goes_with_heights(point)) && sets(swap, end)) return nullptr;
    if (point == Point::spring_preload && two_preloads(point, readings_in(swap, Phase::set, end)))
        return nullptr;
    if (const StoredReading* stored = swap.stored({Phase::set, end, point})) return stored;
    if (!as_found(point) && !stays(swap, end, point))
        if (const StoredReading* stored = swap.stored({Phase::new_part, end, point})) return stored;
    return replaced(swap, end, point) ? nullptr : swap.stored({Phase::before, end, point});
}

// The time when the new part was last read or set; the zero clock if it never was.
Clock part_read(const Swap& swap, End end) {
    Clock newest;
    for (const auto& [spot, stored_readings] : swap.stored_readings)
        if (spot.end == end && (spot.phase == Phase::new_part || spot.phase == Phase::set))
            for (const StoredReading& stored : stored_readings) newest = std::max(newest, stored.at);
    return newest;
}

// True if a value from outside the swap is still valid after the swap.
bool outlives(const Swap& swap, End end, const StoredReading& carried) {
    const Point point = carried.reading.point;
    if (point == Point::spring_moved) return false;
    const StoredReading* own = standing_stored(swap, end, point);
    const bool during = carried.at > swap.started && carried.swap.nil();
    if (!during) return !own && !replaced(swap, end, point);
    if (own) return carried.at > own->at;
    const Clock part = part_read(swap, end);
    return !replaced(swap, end, point) || (part != Clock{} && carried.at >= part);
}

// Adds the swap's own values, except where a value carried over takes precedence.
void add_own(const Swap& swap, End end, std::vector<BaselineValue>& values) {
    const std::size_t carried = values.size();
    for (const PointFacts& facts : all_points()) {
        const StoredReading* stored = standing_stored(swap, end, facts.point);
        const auto is_it = [&](const BaselineValue& v) {
            return v.end == end && v.stored.reading.point == facts.point;
        };
        if (stored &&
            std::none_of(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(carried), is_it))
            values.push_back({end, *stored});
    }
}

}  // namespace

BaselineBody baseline_of(const SetUp& stands, std::string reason) {
    BaselineBody body{.reason = std::move(reason), .based_on = stands.baseline, .values = {}};
    for (const auto& [place, stored] : stands.values)
        if (!stands.stale.contains(place)) body.values.push_back({place.first, stored});
    return body;
}

BaselineBody baseline_of(const Swap& swap, const SetUp& stands, std::string reason) {
    BaselineBody body{.reason = std::move(reason), .based_on = stands.baseline, .values = {}};
    const auto ends = ends_of(swap);
    const auto touched = [&](End end) { return std::find(ends.begin(), ends.end(), end) != ends.end(); };
    for (const auto& [place, stored] : stands.values)
        if (!stands.stale.contains(place) && (!touched(place.first) || outlives(swap, place.first, stored)))
            body.values.push_back({place.first, stored});
    for (const End end : ends) add_own(swap, end, body.values);
    std::stable_sort(
        body.values.begin(), body.values.end(), [](const BaselineValue& a, const BaselineValue& b) {
            return std::pair(a.end, a.stored.reading.point) < std::pair(b.end, b.stored.reading.point);
        });
    return body;
}

}  // namespace restand
