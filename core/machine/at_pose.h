#pragma once
// Angles, lengths and unit forces of the bike in a given pose: given shock length, fork travel and wheel
// radii.
//
// Simplification: the pose need not be in balance. Loads are the static wheel loads of the masses on level
// ground in this pose, without horizontal wheel forces. They need not match the unit forces.

#include "core/machine/squat.h"

namespace restand {

struct AskedPose {
    Length shock_length;                              // eye to eye, in this pose
    Length fork_travel;                               // 0 = topped out
    std::optional<Length> rear_radius, front_radius;  // loaded; nullopt: unloaded radius
};

struct AtPose {
    Pose pose;
    Radii radii;
    Attitude attitude;
    Length shock_length, shock_travel, rear_travel;  // rear travel as in StandingBike
    Force shock_force, fork_force;
    double motion_ratio, motion_ratio_slope;  // as in StandingBike
    Rate wheel_rate;
    std::optional<WheelLoads> alone, with_rider;  // without and with rider; nullopt: no masses, or no rider
    std::optional<Squat> squat;              // rider on, if there is one; needs chain and masses
};

// Errors: as LinkageMap.
Result<AtPose> at_pose(const WholeBike& bike, const AskedPose& asked);

}  // namespace restand
