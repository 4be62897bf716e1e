#include "core/ledger/checked_swap.h"

#include <algorithm>

#include "core/ledger/moved_by.h"

namespace restand {

std::optional<Clock> last_check(const Swap& swap, End end) {
    std::optional<Clock> last;
    for (const auto& [spot, those] : swap.stored_readings)
        if (spot.phase == Phase::check && spot.end == end && is_ride_height(spot.point))
            for (const StoredReading& read : those) last = std::max(last.value_or(read.at), read.at);
    return last;
}

std::set<Point> set_after(const Swap& swap, End end, Clock check) {
    std::set<Point> made;
    for (const auto& [spot, those] : swap.stored_readings)
        if (spot.phase == Phase::set && spot.end == end && moved_by(spot.point).any_height())
            for (const StoredReading& set : those)
                if (set.set_at() > check) made.insert(spot.point);
    return made;
}

Swap swap_at(const Ledger& ledger, const Swap& swap, Clock until) {
    Ledger then;
    for (const Fact* fact : ledger.facts_of(swap.bike)) {
        const bool of_swap = fact->entry.id == swap.id || fact->entry.about == swap.id;
        if (of_swap && fact->entry.clock <= until) then.apply(*fact);
    }
    const Swap* found = then.swap(swap.id);
    return found ? *found : swap;
}

}  // namespace restand
