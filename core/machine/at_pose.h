#pragma once
// The bike in a pose that somebody asks for: this shock length, this fork travel, these radii. What are its angles
// and lengths, and with which force do its units push back?
//
// Simplification: nothing is in balance. Loads are those the masses put on level ground in this pose, without
// wheel forces along it; they need not be what the units push back with.

#include "core/machine/squat.h"

namespace restand {

struct AskedPose {
    Length shock_length;                              // eye to eye as it stands
    Length fork_travel;                               // 0 = topped out
    std::optional<Length> rear_radius, front_radius;  // loaded; nullopt: the free ones
};

struct AtPose {
    Pose pose;
    Radii radii;
    Attitude attitude;
    Length shock_length, shock_travel, rear_travel;  // rear travel as StandingBike has it
    Force shock_force, fork_force;
    double motion_ratio, motion_ratio_slope;  // as StandingBike has them
    Rate wheel_rate;
    struct Loads {
        Force rear, front;
        Length mass_ahead, mass_height;
    };
    std::optional<Loads> alone, with_rider;  // nullopt: no masses, or no rider
    std::optional<Squat> squat;              // with the rider, without one alone; needs chain and masses
};

// Errors as LinkageMap.
Result<AtPose> at_pose(const WholeBike& bike, const AskedPose& asked);

}  // namespace restand
