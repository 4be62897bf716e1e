#pragma once
// Force on the stop of an end that is topped out or at the end of its travel.
//
//   topped out               F_stop = F_unit − F_asked
//   at the end of the travel F_stop = F_asked − F_unit
//
// F_asked: unit force that the wheel load requires in this pose, by virtual work (bike_kernel.h). Forces are
// along the unit and along the fork, for both fork legs together.

#include "core/machine/standing_bike.h"

namespace restand {

struct StopForces {
    Force rear, fork;  // >= 0; 0 if the spring carries the end
};
// `stands`: the result of standing() for this bike and rider. Needs masses or what the ends carry.
StopForces stop_forces(const WholeBike& bike, const StandingBike& stands, Rider rider);

}  // namespace restand
