#include "core/machine/unit_force.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

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

// One spring. Pulled, a progressive spring has the slope of its first piece.
ForceRate coil_terms(const Spring& spring, double deflection) {
    const double rate = spring.rate.value;
    if (spring.table.empty()) return {rate * deflection, rate};
    SpringPoint a{}, b = spring.table.front();
    for (std::size_t i = 1; i < spring.table.size() && deflection > b.deflection.value; ++i)
        a = b, b = spring.table[i];
    const double slope = ((b.force - a.force) / (b.deflection - a.deflection)).value;
    return {a.force.value + slope * (deflection - a.deflection.value), slope};
}

// One spring, or two in series, at a total deflection. Exact force and rate before and after closing.
ForceRate spring_terms(const SuspensionUnit& unit, double deflection, bool may_pull) {
    if (deflection <= 0.0 && !may_pull) return {0.0, 0.0};
    if (!unit.helper) return coil_terms(unit.spring, deflection);

    const double main_rate = unit.spring.rate.value;
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

ForceRate top_out_terms(const std::optional<TopOutSpring>& top_out, double travel) {
    const double left = top_out ? top_out->reach.value - travel : 0.0;
    if (left <= 0.0) return {0.0, 0.0};
    return {-top_out->rate.value * left, top_out->rate.value};
}

// Deflection of the second leg's spring, if it differs.
double other_deflection(const SuspensionUnit& unit, double installed, double travel) {
    const Leg& other = *unit.other_leg;
    return (other.spring.free_length - mm(installed) - other.installed_more).value + travel;
}
double other_preload(const SuspensionUnit& unit) {
    return other_deflection(unit, unit.installed_length.value, 0.0);
}

// Travel at which the unloaded unit hangs. `as_read`: its installed length was read there.
double hanging_travel(SuspensionUnit unit, bool as_read) {
    if (!unit.top_out) return 0.0;
    const Length installed = unit.installed_length;
    const auto pushed_in = [&](double travel) {
        if (as_read) unit.installed_length = installed + mm(travel);
        return unit_terms(unit, travel, false).force < 0.0;
    };
    // The force rises by more than the top-out spring's rate. At the end of its reach only pushes are left.
    double low = 0.0, high = unit.top_out->reach.value;
    if (!pushed_in(0.0)) return 0.0;
    for (double middle = 0.5 * high; low < middle && middle < high; middle = 0.5 * (low + high))
        (pushed_in(middle) ? low : high) = middle;
    return high;
}

}  // namespace

std::vector<double> unit_kinks(const SuspensionUnit& unit) {
    std::vector<double> at;
    const double preload = free_length(unit).value - unit.installed_length.value;
    if (unit.helper)
        if (const auto closed = closed_at(unit)) at.push_back(*closed - preload);
    if (unit.other_leg)
        at.push_back(
            (unit.installed_length + unit.other_leg->installed_more - unit.other_leg->spring.free_length)
                .value);
    for (const SpringPoint& p : unit.spring.table) at.push_back(p.deflection.value - preload);
    if (unit.other_leg)
        for (const SpringPoint& p : unit.other_leg->spring.table)
            at.push_back(p.deflection.value - other_preload(unit));
    for (const BumpPoint& p : unit.bump) at.push_back(p.travel.value);
    if (unit.top_out) at.push_back(unit.top_out->reach.value);
    std::erase_if(at, [](double travel) { return !(travel > 0.0); });
    std::sort(at.begin(), at.end());
    return at;
}

Length free_length(const SuspensionUnit& unit) {
    return unit.spring.free_length + (unit.helper ? unit.helper->free_length : mm(0.0));
}

double gas_travel_end(const Gas& gas) {
    if (!gas.chamber) return std::numeric_limits<double>::infinity();
    return gas.chamber->volume.value / gas.chamber->area.value;
}

UnitTerms unit_terms(const SuspensionUnit& unit, double travel, bool springs_pull) {
    return unit_terms_with(unit, unit.installed_length.value, travel, springs_pull);
}

UnitTerms unit_terms_with(const SuspensionUnit& unit, double installed, double travel, bool springs_pull) {
    const double deflection = free_length(unit).value - installed + travel;
    ForceRate spring = spring_terms(unit, deflection, springs_pull);
    double legs = unit.legs;
    if (unit.other_leg) {
        const double pushed = other_deflection(unit, installed, travel);
        if (pushed > 0.0) {
            const ForceRate other = coil_terms(unit.other_leg->spring, pushed);
            spring.force += other.force;
            spring.rate += other.rate;
        }
        legs = 1;
    }
    const ForceRate gas = gas_terms(unit.gas, travel);
    const ForceRate bump = bump_terms(unit.bump, travel);
    const ForceRate top = top_out_terms(unit.top_out, travel);
    return {legs * spring.force + gas.force + bump.force + top.force,
            legs * spring.rate + gas.rate + bump.rate + top.rate, legs * spring.rate};
}

Length preload(const SuspensionUnit& unit) {
    return free_length(unit) - unit.installed_length;
}

Length least_preload(const SuspensionUnit& unit) {
    const Length first = preload(unit), more = mm(springless_travel(unit));
    if (!unit.other_leg) return first + more;
    return std::min(first, mm(other_preload(unit))) + more;
}

double springless_travel(const SuspensionUnit& unit) {
    if (!unit.top_out) return 0.0;
    SuspensionUnit bare = unit;
    bare.spring.free_length = bare.installed_length = mm(0.0);
    bare.spring.rate = newton_per_mm(0.0);
    bare.spring.table.clear();
    bare.helper.reset();
    bare.other_leg.reset();
    return hanging_travel(std::move(bare), false);
}

Length unloaded_travel(const SuspensionUnit& unit) {
    return mm(hanging_travel(unit, false));
}

SuspensionUnit at_stop(SuspensionUnit as_read) {
    const Length travel = mm(hanging_travel(as_read, true));
    as_read.length += travel;
    as_read.installed_length += travel;
    return as_read;
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

Result<Gas> at_temperature(const Gas& gas, const GasTemperatures& at) {
    constexpr double zero_c = -273.15;
    if (!(at.sealed_c > zero_c && at.now_c > zero_c))
        return Error{ErrorCode::out_of_range, "temperature", "x > -273.15 °C"};
    if (!gas.chamber && !at.rod)
        return Error{ErrorCode::missing, "rod", "area of the rod, without a chamber"};
    const Area area = gas.chamber ? gas.chamber->area : *at.rod;
    const double hotter = (at.now_c - zero_c) / (at.sealed_c - zero_c);
    Gas out = gas;
    out.topped_out = (gas.topped_out + area * atmosphere) * hotter - area * atmosphere;
    return out;
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
