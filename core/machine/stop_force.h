#pragma once
// An end that its spring does not hold stands on a stop. With which force is that stop pressed?
//
//   topped out               F_stop = F_unit − F_asked
//   at the end of the travel F_stop = F_asked − F_unit
//
// F_asked: what the wheel's load asks of the unit in this pose, by virtual work (bike_kernel.h). Along the unit and
// along the fork; of both fork legs together.

#include "core/machine/standing_bike.h"

namespace restand {

struct StopForces {
    Force rear, fork;  // >= 0; 0 where the spring holds the end
};
// `stands` is how `bike` stands with this rider. Needs masses.
StopForces stop_forces(const WholeBike& bike, const StandingBike& stands, Rider rider);

}  // namespace restand
