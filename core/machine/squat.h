#pragma once
// Anti-squat: whether drive force extends or compresses the rear, from the lines of the chain's upper run and
// of the arm.
//
//   squat point: intersection of the upper run and the line pivot–axle
//   squat angle σ: line from rear contact to squat point, to the ground
//   load-transfer angle τ = atan(height of the centre of mass / wheelbase)
//   anti-squat % = 100·tan σ/tan τ      squat ratio = tan τ/tan σ
//
// Source: Foale, Motorcycle Handling and Chassis Design; Cossalter, Motorcycle Dynamics (squat ratio).

#include "core/machine/attitude.h"
#include "core/machine/chain.h"
#include "core/machine/standing_bike.h"

namespace restand {

struct Squat {
    PlanePoint squat_point;  // ahead of the rear contact, above the ground
    Angle upper_run;         // to the ground; positive: rises to the front
    Angle squat_angle, transfer_angle;
    double anti_squat_percent, squat_ratio;
};
// nullopt: upper run and arm are parallel, or the sprockets overlap.
std::optional<Squat> squat(const WholeBike& bike, const ChainRun& run, const Pose& pose, const Radii& radii,
                           Length mass_height);
// The same at another droop, with fork and tyres as the bike stands; the centre of mass is recomputed.
// nullopt also without chain or masses.
// `map`: of the bike's own linkage.
std::optional<Squat> squat_at(const WholeBike& bike, const LinkageMap& map, const StandingBike& stands,
                              Rider rider, Angle droop);

}  // namespace restand
