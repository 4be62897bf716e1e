#include "core/machine/centre_of_mass.h"

#include <cmath>
#include <tuple>

#include "core/quantity/unit.h"

namespace restand {
namespace {

// Loaded radii, from the masses that the wheels carry.
Radii loaded(const WholeBike& bike, Mass rear, Mass front) {
    const auto sunk = [](const Wheel& wheel, Mass carried) {
        return wheel.stiffness ? wheel.radius - mm(carried.value * standard_gravity / wheel.stiffness->value)
                               : wheel.radius;
    };
    return {sunk(bike.rear, rear), sunk(bike.front, front)};
}

std::string kilos(double kg) {
    return print_fixed(kg, 1) + " kg";
}

// Error contradiction: no motorcycle with these unsprung parts can give these scale readings.
Outcome sensible(const OnScales& scales, const Unsprung& unsprung) {
    const auto contradicts = [](const char* field, std::string what) {
        return Error{ErrorCode::contradiction, std::string("scales.") + field, std::move(what)};
    };
    // If the front gets heavier when lifted, the centre of mass is below the line between the axles.
    if (scales.front_lifted >= scales.front)
        return contradicts("front_lifted_kg", "front_kg; lifted, the front wheel carries less than level");
    const double taken = (unsprung.arm.mass + unsprung.rear_wheel + unsprung.front).value;
    const double whole = (scales.rear + scales.front).value;
    if (taken >= whole)
        return contradicts("rear_kg", "arm, rear_wheel_kg and front_unsprung_kg; they weigh " + kilos(taken) +
                                          " of " + kilos(whole) + ", nothing is left for the frame");
    return Done{};
}

}  // namespace

Result<CentreOfMass> centre_of_mass(const ScaleReadings& r) {
    const auto refuse = [](const char* field, std::string range) {
        return Error{ErrorCode::out_of_range, std::string("scales.") + field, std::move(range)};
    };
    if (!(r.rear.value > 0.0)) return refuse("rear_kg", "x > 0");
    if (!(r.front.value > 0.0)) return refuse("front_kg", "x > 0");
    if (!(r.front_lifted.value > 0.0)) return refuse("front_lifted_kg", "x > 0");
    if (!(r.wheelbase.value > 0.0)) return refuse("wheelbase_mm", "x > 0");
    const double step = (r.front_radius - r.rear_radius).value, w = r.wheelbase.value;
    const double axles = std::hypot(w, step), raised = step + r.lift.value;
    if (!(r.lift.value > 0.0 && raised < axles))
        return refuse("lift_mm", print_fixed(r.lift.value, 0) + "; 0 < lift < " +
                                     print_fixed(axles - step, 0) + ", with this wheelbase");
    CentreOfMass out;
    out.mass = r.rear + r.front;
    out.tilt = radians(std::asin(raised / axles) - std::asin(step / axles));
    const double a = w * (r.front / out.mass);
    const double a_lifted = std::sqrt(axles * axles - raised * raised) * (r.front_lifted / out.mass);
    out.ahead = mm(a);
    out.height = r.rear_radius + mm((a * cos(out.tilt) - a_lifted) / sin(out.tilt));
    return out;
}

Result<PointMass> sprung_mass(const WholeBike& bike, const Pose& pose, const Radii& radii,
                              const CentreOfMass& whole, const Unsprung& unsprung) {
    const Attitude stands = attitude(bike, pose, radii);
    // Centre of mass of the whole bike in frame axes: offset from the rear axle, rotated by the pitch.
    const Vec<double> rear = vec<double>(stands.rear_axle);
    const Vec<double> centre =
        rear + turned(Vec<double>{whole.ahead.value, (whole.height - radii.rear).value}, stands.pitch.value);
    double left = whole.mass.value;
    Vec<double> moment = left * centre;
    const auto take = [&](Mass mass, const Vec<double>& at) {
        left -= mass.value;
        moment = moment - mass.value * at;
    };
    take(unsprung.arm.mass, turned(vec<double>(unsprung.arm.at), pose.droop.value));
    take(unsprung.rear_wheel, rear);
    take(unsprung.front, vec<double>(stands.front_axle));
    if (!(left > 0.0)) return Error{ErrorCode::out_of_range, "bike.masses", "less than the whole bike"};
    return PointMass{kilogram(left), {mm(moment.x / left), mm(moment.z / left)}};
}

Result<Weighed> weighed(const WholeBike& bike, const OnScales& scales, const Unsprung& unsprung) {
    const Radii level = loaded(bike, scales.rear, scales.front);
    const Radii lifted = loaded(bike, scales.rear + scales.front - scales.front_lifted, scales.front_lifted);
    for (const auto& [radius, wheel, name] :
         {std::tuple{lifted.rear, &bike.rear, "rear_wheel"}, {level.front, &bike.front, "front_wheel"}})
        if (!(radius.value > 0.5 * wheel->radius.value))
            return Error{ErrorCode::out_of_range, "bike." + std::string(name) + ".stiffness_n_per_mm",
                         "on the scales the tyre would be pressed flat"};
    // When lifted, the front tyre carries less and the rear tyre more. The change of their radii adds to the
    // lift of the axles.
    const Length lift = scales.lift + (lifted.front - lifted.rear) - (level.front - level.rear);
    const Attitude stands = attitude(bike, scales.held, level);
    const auto whole = centre_of_mass({.wheelbase = stands.wheelbase,
                                       .rear_radius = level.rear,
                                       .front_radius = level.front,
                                       .rear = scales.rear,
                                       .front = scales.front,
                                       .front_lifted = scales.front_lifted,
                                       .lift = lift});
    if (!whole) return whole.error();
    if (const auto fine = sensible(scales, unsprung); !fine) return fine.error();
    const auto contradicts = [](std::string what) {
        return Error{ErrorCode::contradiction, "scales.front_lifted_kg", "lift_mm; " + std::move(what)};
    };
    if (whole->height > stands.wheelbase)
        return contradicts("the centre of mass would lie " + print_fixed(whole->height.value, 0) +
                           " mm above the ground");
    const auto sprung = sprung_mass(bike, scales.held, level, *whole, unsprung);
    if (!sprung) return sprung.error();
    if (!(abs(sprung->at.x) <= mm(2000) && abs(sprung->at.z) <= mm(2000)))
        return contradicts("the " + kilos(sprung->mass.value) + " left for the frame would sit at [" +
                           print_fixed(sprung->at.x.value, 0) + ", " + print_fixed(sprung->at.z.value, 0) +
                           "]");
    return Weighed{*whole, *sprung};
}

}  // namespace restand
