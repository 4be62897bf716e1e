#include "core/ledger/same_parts.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace restand {
namespace {

// True if the readings agree within their uncertainty: a spring that was measured twice is one spring.
bool agree(const StoredReading* a, const StoredReading* b) {
    if (!a || !b) return true;
    if (is_text(a->reading.point)) return same_value(a->reading, b->reading);
    if (a->reading.point == Point::spring_rate)
        return same_stamp(measured(a->reading).value, measured(b->reading).value);
    const double u = std::hypot(expanded_95(measured(a->reading)), expanded_95(measured(b->reading)));
    return std::fabs(measured(a->reading).value - measured(b->reading).value) <= u;
}

template <std::size_t N>
bool agree(End end, const SetUp& now, const SetUp& then, const std::array<Point, N>& marks) {
    return std::all_of(marks.begin(), marks.end(),
                       [&](Point p) { return agree(now.stored(end, p), then.stored(end, p)); });
}

constexpr std::array clicks = {Point::clicks_compression_low, Point::clicks_compression_high,
                               Point::clicks_rebound_low, Point::clicks_rebound_high};
}  // namespace

bool same_damper(End end, const SetUp& now, const SetUp& then) {
    // Clicks stay with a damper until another one is fitted: without them now, it is another one.
    const auto has_clicks = [end](const SetUp& setup) {
        return std::any_of(clicks.begin(), clicks.end(), [&](Point p) { return setup.stored(end, p); });
    };
    if (has_clicks(then) && !has_clicks(now)) return false;
    return agree(end, now, then, std::array{Point::part_name, Point::gas_force, Point::fork_length});
}
bool same_spring(End end, const SetUp& now, const SetUp& then) {
    // A helper, an unlike leg or a rising rate on one side only makes another spring.
    for (const Point p : {Point::helper_rate, Point::helper_free_length, Point::other_leg_rate,
                          Point::end_rate, Point::rate_rises_from, Point::rate_rises_to})
        if (!now.stored(end, p) != !then.stored(end, p) || !agree(now.stored(end, p), then.stored(end, p)))
            return false;
    return agree(end, now, then, std::array{Point::spring_rate, Point::spring_free_length});
}

}  // namespace restand
