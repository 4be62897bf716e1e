#include "core/ledger/checked_swap.h"

#include <algorithm>

#include "core/ledger/moved_by.h"

namespace restand {

namespace {
Clock read_at(const StoredReading& read) {
    return read.at;
}

// The last moment, as `when` has it, of the readings that `counts` takes.
template <class Counts>
std::optional<Clock> last_read(const Swap& swap, Counts counts,
                               Clock (*when)(const StoredReading&) = read_at) {
    std::optional<Clock> last;
    for (const auto& [spot, those] : swap.stored_readings)
        if (counts(spot))
            for (const StoredReading& read : those) last = std::max(last.value_or(when(read)), when(read));
    return last;
}

// The settings of this end made after that moment, of those that `counts` takes.
template <class Counts>
std::set<Point> set_since(const Swap& swap, End end, Clock moment, Counts counts) {
    std::set<Point> made;
    for (const auto& [spot, those] : swap.stored_readings)
        if (spot.phase == Phase::set && spot.end == end && counts(spot.point))
            for (const StoredReading& set : those)
                if (set.set_at() > moment) made.insert(spot.point);
    return made;
}
}  // namespace

std::optional<Clock> last_check(const Swap& swap, End end) {
    return last_read(swap, [end](const ReadAt& spot) {
        return spot.phase == Phase::check && spot.end == end && is_ride_height(spot.point);
    });
}

std::set<Point> set_after(const Swap& swap, End end, Clock check) {
    return set_since(swap, end, check, [](Point setting) { return moved_by(setting).any_height(); });
}

bool part_read_after(const Swap& swap, End end, Clock check) {
    const auto read = last_read(swap, [end](const ReadAt& spot) {
        const bool counts = moved_by(spot.point).any_height() || is_ride_height(spot.point);
        return counts && spot.end == end && (spot.phase == Phase::before || spot.phase == Phase::new_part);
    });
    return read && *read > check;
}

std::optional<Clock> last_slack(const Swap& swap) {
    return last_read(swap, [](const ReadAt& spot) {
        return spot.point == Point::chain_slack && spot.end == End::rear &&
               (spot.phase == Phase::set || spot.phase == Phase::check);
    });
}

std::set<Point> slack_set_after(const Swap& swap, Clock read, Stand slack_stand) {
    return set_since(swap, End::rear, read,
                     [slack_stand](Point setting) { return moved_by(setting, slack_stand).slack; });
}

namespace {
// The swap with those of its entries that `counts` takes.
template <class Counts>
Swap swap_of(const Ledger& ledger, const Swap& swap, Counts counts) {
    Ledger then;
    for (const Fact* fact : ledger.facts_of(swap.bike)) {
        const bool of_swap = fact->entry.id == swap.id || fact->entry.about == swap.id;
        if (of_swap && counts(fact->entry.clock)) then.apply(*fact);
    }
    const Swap* found = then.swap(swap.id);
    return found ? *found : swap;
}
}  // namespace

Swap swap_at(const Ledger& ledger, const Swap& swap, Clock until) {
    return swap_of(ledger, swap, [until](const Clock& clock) { return clock <= until; });
}

std::optional<Clock> check_before_setting(const Ledger& ledger, const Swap& swap, End end) {
    const auto newest = last_read(
        swap,
        [end](const ReadAt& spot) {
            return spot.phase == Phase::set && spot.end == end && moved_by(spot.point).any_height();
        },
        [](const StoredReading& set) { return set.set_at(); });
    if (!newest) return std::nullopt;
    const Swap then = swap_of(ledger, swap, [newest](const Clock& clock) { return clock < *newest; });
    const auto check = last_check(then, end);
    return check && !part_read_after(swap, end, *check) ? check : std::nullopt;
}

}  // namespace restand
