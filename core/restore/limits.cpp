#include <algorithm>
#include <cmath>

#include "core/restore/swap_model.h"

// Two kinds of limits: those that the wanted setting exceeds, and those that the settable answer then meets.

namespace restand {
namespace {

constexpr double bound_rounding =
    1e-7;  // mm; up to this distance a value counts as at the bound, not past it

struct Limits {
    std::vector<Limit> found;

    void add(LimitCode code, double beyond, double bound) {
        if (beyond > bound_rounding && !has(code)) found.push_back({code, mm(beyond), mm(bound)});
    }
    bool has(LimitCode code) const {
        return std::any_of(found.begin(), found.end(), [code](const Limit& l) { return l.code == code; });
    }
};

void length_limit(const SwapModel& model, double wanted, Limits& limits) {
    const double low = model.bounds.low.length, high = model.bounds.high.length;
    // The ends as they were read, at the preload as found.
    const double less = model.now.length - as_read(model, model.now).length;
    limits.add(LimitCode::length_adjuster_bound, wanted - high, high - less);
    limits.add(LimitCode::length_adjuster_bound, low - wanted, low - less);
}

// The upper bound is the end of the collar's thread or the free length, whichever is smaller.
void collar_limit(const SwapModel& model, double wanted, Limits& limits) {
    const double low = model.bounds.low.installed, high = model.bounds.high.installed;
    const auto read = [&](double bound) { return as_read(model, {0.0, bound}).installed; };
    if (high >= model.loosest)
        limits.add(LimitCode::negative_preload, wanted - model.loosest, 0.0);
    else
        limits.add(LimitCode::collar_bound, wanted - high, read(high));
    limits.add(LimitCode::collar_bound, low - wanted, read(low));
}

// The limited setting may reach a bound that the wanted setting does not exceed. Solving again without that
// bound gives the distance past it.
void second_limits(SwapModel& model, Settings setting, Limits& limits) {
    const Bounds& b = model.bounds;
    const auto at = [](double value, double bound) { return std::fabs(value - bound) < bound_rounding; };
    const bool length_at = at(setting.length, b.low.length) || at(setting.length, b.high.length);
    const bool collar_at = at(setting.installed, b.low.installed) || at(setting.installed, b.high.installed);
    const bool collar_known = limits.has(LimitCode::negative_preload) || limits.has(LimitCode::collar_bound);
    const bool length_known = limits.has(LimitCode::length_adjuster_bound);
    const Bounds open = no_bounds();
    if (length_known && collar_at && !collar_known)
        if (const auto free = best_setting(
                model, {{b.low.length, open.low.installed}, {b.high.length, open.high.installed}}))
            collar_limit(model, free->installed, limits);
    if (collar_known && length_at && !length_known)
        if (const auto free = best_setting(
                model, {{open.low.length, b.low.installed}, {open.high.length, b.high.installed}}))
            length_limit(model, free->length, limits);
}

// Compares where the end would stand with the unit's travel and the ends of the map.
void standing_limits(SwapModel& model, Settings setting, Limits& limits) {
    const auto [shortest, longest] = model.new_end.map.length_range();
    double most_travel = 0.0, least_length = setting.length;
    for (const State state : {State::static_, State::rider}) {
        if (!of(model.aim, state)) continue;
        const std::optional<Unconstrained> leant = unconstrained(model, state, setting, true);
        if (!leant) continue;
        most_travel = std::max(most_travel, setting.length - leant->length);
        least_length = std::min(least_length, leant->length);
    }
    limits.add(LimitCode::off_the_map, setting.length - longest.value, longest.value);
    limits.add(LimitCode::off_the_map, shortest.value - least_length, shortest.value);
    const auto& travel = model.new_end.unit.travel;
    if (travel) limits.add(LimitCode::travel_exhausted, most_travel - travel->value, travel->value);
}

void coil_limit(const SwapCase& swap, Settings at, Limits& limits) {
    SuspensionUnit unit = swap.new_unit;
    unit.length = mm(at.length);
    unit.installed_length = mm(at.installed);
    if (const auto margin = block_margin(unit); margin && unit.spring.block_length)
        limits.add(LimitCode::coil_bind_before_full_travel, -margin->value, unit.spring.block_length->value);
}

}  // namespace

std::vector<Limit> limits_of(SwapModel& model, const SwapCase& swap, Settings wanted, Settings setting,
                             Settings detent) {
    Limits limits;
    length_limit(model, wanted.length, limits);
    collar_limit(model, wanted.installed, limits);
    second_limits(model, setting, limits);
    for (const Settings& at : {setting, detent}) {
        standing_limits(model, at, limits);
        coil_limit(swap, at, limits);
    }
    return std::move(limits.found);
}

}  // namespace restand
