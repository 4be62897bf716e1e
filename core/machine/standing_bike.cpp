#include "core/machine/standing_bike.h"

#include <algorithm>
#include <cmath>

#include "core/machine/rest_search.h"

namespace restand {
namespace {

// Sets the rear wheel's values, with respect to the rise of its axle in frame axes: z = −L·sin α.
void put_wheel(const WholeBike& bike, const LinkageMap& map, StandingBike& out) {
    const double l = bike.arm.value, a = out.pose.droop.value;
    const double top_droop = map.droop_at(bike.shock.length)->value;
    const auto place = place_at(map.constants(), out.pose.droop);
    const auto wheel = wheel_terms(l, a, place->slope, place->bend);
    out.motion_ratio = wheel.motion_ratio;
    out.motion_ratio_slope = wheel.slope;
    out.rear_travel = mm(l * (std::sin(top_droop) - std::sin(a)));
    const UnitTerms unit = unit_terms(bike.shock, std::max(0.0, out.shock_travel.value), false);
    out.wheel_rate =
        newton_per_mm(unit.d_travel * wheel.motion_ratio * wheel.motion_ratio + unit.force * wheel.slope);
}

Error no_loads() {
    return {ErrorCode::missing, "bike.masses", "weights, loads on scales, or ride heights"};
}

}  // namespace

bool has_loads(const WholeBike& bike, Rider rider) {
    return bike.masses || (rider == Rider::on ? bike.carried.with_rider : bike.carried.alone);
}

Result<StandingBike> standing(const WholeBike& bike, const LinkageMap& map, Rider rider) {
    if (!has_loads(bike, rider)) return no_loads();
    const auto rest = RestSearch(bike, map, rider).first();
    if (!rest) return rest.error();
    const auto& [q, rear, fork] = *rest;
    const auto b =
        balance<double>(bike, map.constants(), adjustables_of(bike), q, rider == Rider::on, rear, fork);
    if (!(b.rear_load > 0.0 && b.front_load > 0.0))
        return Error{ErrorCode::no_solution, "bike", "the centre of mass is not between the wheels"};
    StandingBike out;
    out.pose = {radians(q.droop), mm(q.fork_travel)};
    out.radii = {mm(q.rear_radius), mm(q.front_radius)};
    out.attitude = attitude(bike, out.pose, out.radii);
    out.shock_travel = mm(b.shock_travel);
    out.shock_length = bike.shock.length - out.shock_travel;
    out.shock_force = newton(b.shock_force);
    out.fork_force = newton(b.fork_force);
    if (bike.masses)
        out.loads = {newton(b.rear_load), newton(b.front_load), mm(b.mass_ahead), mm(b.mass_height)};
    out.rear_topped_out = rear == Hold::topped_out;
    out.fork_topped_out = fork == Hold::topped_out;
    out.rear_bottomed = rear == Hold::bottomed;
    out.fork_bottomed = fork == Hold::bottomed;
    put_wheel(bike, map, out);
    return out;
}

Result<StandingBike> standing(const WholeBike& bike, Rider rider) {
    const auto map = LinkageMap::of(bike.linkage);
    if (!map) return map.error();
    return standing(bike, *map, rider);
}

Result<std::vector<Length>> rests(const WholeBike& bike, Rider rider) {
    if (!has_loads(bike, rider)) return no_loads();
    const auto map = LinkageMap::of(bike.linkage);
    if (!map) return map.error();
    const auto all = RestSearch(bike, *map, rider).all();
    if (!all) return all.error();
    std::vector<Length> travels;
    for (const Rest& rest : *all)
        travels.push_back(bike.shock.length - place_at(map->constants(), radians(rest.at.droop))->length);
    return travels;
}

}  // namespace restand
