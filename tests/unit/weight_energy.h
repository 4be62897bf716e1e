#pragma once
// Potential energy of a bike's weights, from the positions of its masses alone; for balances that are checked
// by energy.

#include <cmath>

#include "core/machine/attitude.h"
#include "core/machine/standing_bike.h"

namespace restand::test {

// N·mm, above the ground; on rigid wheels.
inline double weight_energy(const WholeBike& b, Rider rider, double droop, double fork_travel) {
    const Attitude a = attitude(b, {radians(droop), mm(fork_travel)}, free_radii(b));
    const Masses& m = *b.masses;
    double sum = 0;
    const auto lift = [&](Mass mass, const PlanePoint& at) {
        sum += mass.value * standard_gravity * in_mm(on_ground(a, free_radii(b), at).z);
    };
    const double c = std::cos(droop), s = std::sin(droop);
    const double ax = in_mm(m.arm.at.x), az = in_mm(m.arm.at.z);
    lift(m.sprung.mass, m.sprung.at);
    lift(m.arm.mass, {mm(c * ax - s * az), mm(s * ax + c * az)});
    lift(m.rear_wheel, a.rear_axle);
    lift(m.front_unsprung, a.front_axle);
    if (rider == Rider::on) lift(m.rider.mass, m.rider.at);
    return sum;
}

}  // namespace restand::test
