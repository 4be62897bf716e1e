#pragma once
// Attitude of the bike on the ground in a given pose: rake, trail, wheelbase, swingarm angle and heights.
//
//   ground: the common tangent under both wheels
//   pitch = angle of the ground in frame axes; positive: the ground rises towards the front
//   rake = axis − pitch     trail = (R_f·sin rake − offset)/cos rake     normal trail = trail·cos rake
//   arm to ground = droop − pitch
//
// Lengths are along the ground or perpendicular to it. Source: Meijaard et al., Proc. R. Soc. A 463 (2007),
// for trail.

#include "core/machine/bike.h"

namespace restand {

struct Radii {
    Length rear, front;
};
Radii free_radii(const WholeBike& bike);

struct Attitude {
    Angle pitch, rake, arm_to_ground;
    Length trail, normal_trail, wheelbase, pivot_height;
    PlanePoint rear_axle, front_axle;    // frame axes
    std::optional<Length> tail_height;   // straight line from rear axle to mark
    std::optional<Length> tail_upright;  // the same, perpendicular to the ground
    Length head_height;                  // head point above the ground
};
Attitude attitude(const WholeBike& bike, const Pose& pose, const Radii& radii);

// Converts a point from frame axes to ground axes: x ahead of the rear contact, z above the ground.
PlanePoint on_ground(const Attitude& attitude, const Radii& radii, const PlanePoint& in_frame);

// Inputs of placed(): a bike measured while it stands on its wheels.
struct MeasuredStance {
    Angle rake;
    Length wheelbase, offset, pivot_height;
    Length arm;
    Radii radii;
    Length fork_length;  // along the steering axis, head point to foot of the axle, when measured
};
struct Placed {
    FrontGeometry geometry;
    Pose pose;
};
// The front geometry and the droop that give the measured rake and wheelbase. The head point lies
// `fork_length` above the foot of the axle, so the pose has fork_travel 0. The frame axes are parallel to the
// ground as measured (pitch 0). Errors: out_of_range (rake not within 10 to 45 deg; height difference of axle
// and pivot not less than the arm's length).
Result<Placed> placed(const MeasuredStance& measured);

}  // namespace restand
