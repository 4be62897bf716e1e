#include "core/ledger/standing_correction.h"

#include <algorithm>

#include "core/ledger/moved_by.h"

namespace restand {
namespace {

// Of the heights that were read at the check of this end, whether they still count or not.
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

}  // namespace

std::optional<StandingCorrection> standing_correction(const Ledger& ledger, const Bike& bike,
                                                      const Swap& swap, End end) {
    const auto check = last_check(swap, end);
    if (!check) return std::nullopt;
    std::set<Point> made = set_after(swap, end, *check);
    if (made.empty()) return std::nullopt;
    Ledger then;
    for (const Fact* fact : ledger.facts_of(bike.id))
        if (fact->entry.clock <= *check) then.apply(*fact);
    const Bike* bike_then = then.bike(bike.id);
    const Swap* swap_then = then.swap(swap.id);
    if (!bike_then || !swap_then) return std::nullopt;
    const SwapSite site = site_of(then, *bike_then, *swap_then);
    const SwapSolution solution = solve_swap(site);
    const EndSolution* solved = solution.end(end);
    const CheckResult* judged = solved ? solved->judged() : nullptr;
    if (!judged || !judged->turns_help() || !solved->input || !solved->correction) return std::nullopt;
    return StandingCorrection{*solved->input, solved->correction->detent, std::move(made)};
}

}  // namespace restand
