#include "core/machine/stop_force.h"

#include <cmath>

#include "core/machine/bike_kernel.h"

namespace restand {

StopForces stop_forces(const WholeBike& bike, const StandingBike& stands, Rider rider) {
    const BikeState<double> state{stands.pose.droop.value, in_mm(stands.pose.fork_travel),
                                  in_mm(stands.radii.rear), in_mm(stands.radii.front)};
    const auto there = balance<double>(bike, constants_of(bike.linkage), adjustables_of(bike), state,
                                       rider == Rider::on, Hold::spring, Hold::spring);
    StopForces out{newton(0.0), newton(0.0)};
    // The residual of the balance is positive on the top-out stop and negative at the end of the travel.
    if (stands.rear_topped_out || stands.rear_bottomed)
        out.rear = newton(std::fabs(there.rear_stop / there.motion));
    if (stands.fork_topped_out || stands.fork_bottomed) out.fork = newton(std::fabs(there.fork_stop));
    return out;
}

}  // namespace restand
