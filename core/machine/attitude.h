#pragma once
// How a bike stands on its wheels at a given pose: angles and lengths a chassis is known by.
//
//   ground: the common tangent under both wheels, `pitch` = its angle in frame axes (positive: the ground rises
//   towards the front, seen from the frame)
//   rake = axis − pitch     trail = (R_f·sin rake − offset)/cos rake     normal trail = trail·cos rake
//   arm to ground = droop − pitch
//
// Lengths along and square to the ground. Source: Meijaard et al., Proc. R. Soc. A 463 (2007), for trail.

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
    std::optional<Length> tail_height;   // straight from the rear axle to the mark
    std::optional<Length> tail_upright;  // the same square to the ground
    Length head_height;                  // of the head point above the ground
};
Attitude attitude(const WholeBike& bike, const Pose& pose, const Radii& radii);

// A point of the frame as the ground sees it: x ahead of the rear contact, z above the ground.
PlanePoint on_ground(const Attitude& attitude, const Radii& radii, const PlanePoint& in_frame);

// Where the head must lie so that a bike measured standing has this rake and wheelbase; the arm's droop and
// the fork's travel as they were then. The head point is the one a fork's length above the axle's foot.
struct MeasuredStance {
    Angle rake;
    Length wheelbase, offset, pivot_height;
    Length arm;
    Radii radii;
    Length fork_length;  // head to foot of the axle, as it stood
};
struct Placed {
    FrontGeometry geometry;
    Pose pose;
};
// Frame axes are then the ground's on that day (pitch 0). Errors: out_of_range (rake not within 10 to 45 deg,
// the axle further from the pivot's height than the arm is long).
Result<Placed> placed(const MeasuredStance& measured);

}  // namespace restand
