#include "core/machine/unit_force.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/machine/unit_terms.h"

namespace restand {
namespace {

struct ForceRate {
    double force, rate;
};

// Total deflection of spring and helper at which the softer one closes. nullopt: block length unknown.
std::optional<double> closed_at(const SuspensionUnit& unit) {
    const double main_rate = unit.spring.rate.value, helper_rate = unit.helper->rate.value;
    const Spring& soft = helper_rate < main_rate ? *unit.helper : unit.spring;
    if (!soft.block_length) return std::nullopt;
    // The softer one closes when its share of the deflection reaches free length − block length.
    const double both = main_rate * helper_rate / (main_rate + helper_rate);
    return soft.rate.value * (soft.free_length - *soft.block_length).value / both;
}

// One spring, or two in series, at a total deflection. Exact force and rate before and after closing.
ForceRate spring_terms(const SuspensionUnit& unit, double deflection, bool may_pull) {
    const double main_rate = unit.spring.rate.value;
    if (deflection <= 0.0 && !may_pull) return {0.0, 0.0};
    if (!unit.helper) return {main_rate * deflection, main_rate};

    const double helper_rate = unit.helper->rate.value;
    const double stiff_rate = std::max(main_rate, helper_rate);
    const double both = main_rate * helper_rate / (main_rate + helper_rate);
    const auto closed = closed_at(unit);
    if (!closed || deflection < *closed) return {both * deflection, both};
    return {both * *closed + stiff_rate * (deflection - *closed), stiff_rate};
}

// Absolute pressure depends on the volume. The force on the rod is area times (pressure − atmosphere).
ForceRate gas_terms(const Gas& gas, double travel) {
    if (!gas.chamber) return {gas.topped_out.value, 0.0};
    const double area = gas.chamber->area.value, volume = gas.chamber->volume.value,
                 n = gas.chamber->exponent;
    const double pressure = gas.topped_out.value / area + atmosphere.value;
    const double left = volume - area * travel;
    if (left <= 0.0) {
        const double inf = std::numeric_limits<double>::infinity();
        return {inf, inf};
    }
    const double now = pressure * (n == 1.0 ? volume / left : std::pow(volume / left, n));
    return {area * (now - atmosphere.value), n * now * area * area / left};
}

ForceRate bump_terms(const std::vector<BumpPoint>& bump, double travel) {
    if (bump.empty() || travel <= bump.front().travel.value) return {0.0, 0.0};
    if (bump.size() == 1) return {bump.front().force.value, 0.0};
    // Beyond the last point the last segment is extrapolated.
    std::size_t i = 1;
    while (i + 1 < bump.size() && travel > bump[i].travel.value) ++i;
    const BumpPoint &a = bump[i - 1], &b = bump[i];
    const double slope = (b.force.value - a.force.value) / (b.travel.value - a.travel.value);
    return {a.force.value + slope * (travel - a.travel.value), slope};
}

}  // namespace

std::vector<double> unit_kinks(const SuspensionUnit& unit) {
    std::vector<double> at;
    const double preload = stack_free_length(unit) - unit.installed_length.value;
    if (unit.helper)
        if (const auto closed = closed_at(unit)) at.push_back(*closed - preload);
    if (unit.other_leg)
        at.push_back(
            (unit.installed_length + unit.other_leg->installed_more - unit.other_leg->spring.free_length)
                .value);
    for (const BumpPoint& p : unit.bump) at.push_back(p.travel.value);
    std::erase_if(at, [](double travel) { return !(travel > 0.0); });
    std::sort(at.begin(), at.end());
    return at;
}

double stack_free_length(const SuspensionUnit& unit) {
    return unit.spring.free_length.value + (unit.helper ? unit.helper->free_length.value : 0.0);
}

double gas_travel_end(const Gas& gas) {
    if (!gas.chamber) return std::numeric_limits<double>::infinity();
    return gas.chamber->volume.value / gas.chamber->area.value;
}

UnitTerms unit_terms(const SuspensionUnit& unit, double travel, bool springs_pull) {
    const double deflection = stack_free_length(unit) - unit.installed_length.value + travel;
    ForceRate spring = spring_terms(unit, deflection, springs_pull);
    double legs = unit.legs;
    if (unit.other_leg) {
        const Leg& other = *unit.other_leg;
        const double pushed =
            (other.spring.free_length - unit.installed_length - other.installed_more).value + travel;
        const double rate = pushed > 0.0 ? other.spring.rate.value : 0.0;
        spring.force += rate * pushed;
        spring.rate += rate;
        legs = 1;
    }
    const ForceRate gas = gas_terms(unit.gas, travel);
    const ForceRate bump = bump_terms(unit.bump, travel);
    return {legs * spring.force + gas.force + bump.force, legs * spring.rate + gas.rate + bump.rate,
            legs * spring.rate};
}

Length preload(const SuspensionUnit& unit) {
    return mm(stack_free_length(unit)) - unit.installed_length;
}

Length least_preload(const SuspensionUnit& unit) {
    const Length first = preload(unit);
    if (!unit.other_leg) return first;
    return std::min(
        first, unit.other_leg->spring.free_length - unit.installed_length - unit.other_leg->installed_more);
}

Force gas_force(const Gas& gas, Length travel) {
    return newton(gas_terms(gas, travel.value).force);
}

Force unit_force(const SuspensionUnit& unit, Length travel) {
    return newton(unit_terms(unit, travel.value, false).force);
}

Rate unit_rate(const SuspensionUnit& unit, Length travel) {
    return newton_per_mm(unit_terms(unit, travel.value, false).d_travel);
}

Volume air_volume(const OilLevel& oil) {
    const Area bore = pi / 4.0 * (oil.bore * oil.bore);
    return bore * (oil.level + oil.travel) - oil.spring_wire;
}

std::optional<Length> block_margin(const SuspensionUnit& unit) {
    if (!unit.travel) return std::nullopt;
    if (unit.other_leg) {
        SuspensionUnit first = unit, other = unit;
        first.other_leg.reset();
        other.other_leg.reset();
        other.spring = unit.other_leg->spring;
        other.installed_length += unit.other_leg->installed_more;
        const auto a = block_margin(first), b = block_margin(other);
        return a && b ? std::min(a, b) : a ? a : b;
    }
    if (!unit.helper) {
        if (!unit.spring.block_length) return std::nullopt;
        return unit.installed_length - *unit.travel - *unit.spring.block_length;
    }
    // The softer of two springs is meant to close. The margin is that of the stiffer one.
    const Spring& stiff = unit.helper->rate < unit.spring.rate ? unit.spring : *unit.helper;
    if (!stiff.block_length) return std::nullopt;
    const double deflection = preload(unit).value + unit.travel->value;
    const double used = spring_terms(unit, deflection, false).force / stiff.rate.value;
    return stiff.free_length - *stiff.block_length - mm(used);
}

}  // namespace restand
