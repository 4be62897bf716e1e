#include "core/machine/squat.h"

#include <cmath>

#include "core/machine/bike_kernel.h"
#include "core/machine/chain_kernel.h"

namespace restand {

std::optional<Squat> squat(const WholeBike& bike, const ChainRun& run, const Pose& pose, const Radii& radii,
                           Length mass_height) {
    const Attitude stands = attitude(bike, pose, radii);
    const Length apart = centre_distance(run, bike.arm, pose.droop);
    if (!needed_length(run, apart)) return std::nullopt;
    const auto at =
        squat_terms<double>(run, run.sprockets.front, run.sprockets.rear, vec<double>(stands.rear_axle));
    if (!at) return std::nullopt;
    // In ground axes: x ahead of the rear contact, z above the ground.
    const PlanePoint meet = on_ground(stands, radii, {mm(at->meet.x), mm(at->meet.z)});
    Squat out;
    out.squat_point = meet;
    out.upper_run = radians(at->slope) - stands.pitch;
    out.squat_angle = radians(std::atan2(meet.z.value, meet.x.value));
    out.transfer_angle = radians(std::atan(mass_height / stands.wheelbase));
    out.squat_ratio = tan(out.transfer_angle) / tan(out.squat_angle);
    out.anti_squat_percent = 100.0 / out.squat_ratio;
    return out;
}

std::optional<Squat> squat_at(const WholeBike& bike, const LinkageMap& map, const StandingBike& stands,
                              Rider rider, Angle droop) {
    if (!bike.chain || !bike.masses) return std::nullopt;
    const BikeState<double> state{droop.value, in_mm(stands.pose.fork_travel), in_mm(stands.radii.rear),
                                  in_mm(stands.radii.front)};
    const auto there = balance<double>(bike, map.constants(), adjustables_of(bike), state, rider == Rider::on,
                                       Hold::spring, Hold::spring);
    return squat(bike, *bike.chain, {droop, stands.pose.fork_travel}, stands.radii, mm(there.mass_height));
}

}  // namespace restand
