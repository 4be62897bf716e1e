#pragma once
// A bike on scales by exact statics: the turned bike's own axles and centre of mass, no formula of the code
// under test. Each axle is above its contact; tyres are compressed by their load.

#include <cmath>

#include "core/machine/centre_of_mass.h"

namespace restand::test {

struct ScalesModel {
    const WholeBike& bike;
    Vec<double> rear, front, centre;  // frame axes
    double mass = 0;

    ScalesModel(const WholeBike& b, const Pose& held) : bike(b), rear{}, front{}, centre{0, 0} {
        const Attitude at = attitude(bike, held, free_radii(bike));
        rear = vec<double>(at.rear_axle), front = vec<double>(at.front_axle);
        const Masses& m = *bike.masses;
        const auto add = [&](Mass one, const Vec<double>& place) {
            centre = centre + one.value * place;
            mass += one.value;
        };
        add(m.sprung.mass, vec<double>(m.sprung.at));
        add(m.arm.mass, turned(vec<double>(m.arm.at), held.droop.value));
        add(m.rear_wheel, rear);
        add(m.front_unsprung, front);
        centre = (1.0 / mass) * centre;
    }

    // Load on the front scale in kg, with the front contact `lift` higher than the rear contact.
    double front_load(double lift) const {
        const auto radius = [](const Wheel& w, double kg) {
            return w.radius.value - (w.stiffness ? kg * standard_gravity / w.stiffness->value : 0.0);
        };
        const Vec<double> line = front - rear;
        double load = 0.5 * mass;
        for (int i = 0; i < 200; ++i) {
            const double up = lift + radius(bike.front, load) - radius(bike.rear, mass - load);
            const double turn = std::asin(up / length_of(line)) - std::atan2(line.z, line.x);
            load = mass * turned(centre - rear, turn).x / turned(line, turn).x;
        }
        return load;
    }
};

inline OnScales put_on_scales(const WholeBike& bike, const Pose& held, Length lift) {
    const ScalesModel model(bike, held);
    const double level = model.front_load(0), lifted = model.front_load(lift.value);
    return {kilogram(model.mass - level), kilogram(level), kilogram(lifted), lift, held};
}

}  // namespace restand::test
