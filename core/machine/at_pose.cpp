#include "core/machine/at_pose.h"

#include "core/machine/bike_kernel.h"
#include "core/machine/travel_table.h"

namespace restand {
namespace {

WheelLoads loads_at(const WholeBike& bike, const LinkageMap& map, const AtPose& at, bool with_rider) {
    const BikeState<double> state{at.pose.droop.value, in_mm(at.pose.fork_travel), in_mm(at.radii.rear),
                                  in_mm(at.radii.front)};
    const auto b = balance<double>(bike, map.constants(), adjustables_of(bike), state, with_rider,
                                   Hold::spring, Hold::spring);
    return {newton(b.rear_load), newton(b.front_load), mm(b.mass_ahead), mm(b.mass_height)};
}

}  // namespace

Result<AtPose> at_pose(const WholeBike& bike, const AskedPose& asked) {
    const auto map = LinkageMap::of(bike.linkage);
    if (!map) return map.error();
    const auto pose = pose_at(*map, asked.shock_length, asked.fork_travel);
    if (!pose) return pose.error();
    const auto row = travel_row(bike, *map, pose->droop);
    if (!row) return row.error();
    AtPose out;
    out.pose = *pose;
    const Radii free = free_radii(bike);
    out.radii = {asked.rear_radius.value_or(free.rear), asked.front_radius.value_or(free.front)};
    out.attitude = attitude(bike, out.pose, out.radii);
    out.shock_length = row->unit_length;
    out.shock_travel = row->unit_travel;
    out.rear_travel = row->wheel_travel;
    out.shock_force = unit_force(bike.shock, std::max(mm(0.0), row->unit_travel));
    out.fork_force = unit_force(bike.fork, asked.fork_travel);
    out.motion_ratio = row->motion_ratio;
    out.motion_ratio_slope = row->motion_ratio_slope;
    out.wheel_rate = row->wheel_rate;
    if (!bike.masses) return out;
    out.alone = loads_at(bike, *map, out, false);
    if (bike.masses->rider.mass.value > 0.0) out.with_rider = loads_at(bike, *map, out, true);
    const WheelLoads& loads = out.with_rider ? *out.with_rider : *out.alone;
    if (bike.chain) out.squat = squat(bike, *bike.chain, out.pose, out.radii, loads.mass_height);
    return out;
}

}  // namespace restand
