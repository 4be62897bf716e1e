#include "core/machine/centre_of_mass.h"

#include <cmath>

namespace restand {

Result<CentreOfMass> centre_of_mass(const ScaleReadings& r) {
    const auto refuse = [](const char* field, const char* range) {
        return Error{ErrorCode::out_of_range, std::string("scales.") + field, range};
    };
    if (!(r.rear.value > 0.0)) return refuse("rear_kg", "x > 0");
    if (!(r.front.value > 0.0)) return refuse("front_kg", "x > 0");
    if (!(r.front_lifted.value > 0.0)) return refuse("front_lifted_kg", "x > 0");
    if (!(r.wheelbase.value > 0.0)) return refuse("wheelbase_mm", "x > 0");
    const double step = (r.front_radius - r.rear_radius).value, w = r.wheelbase.value;
    const double axles = std::hypot(w, step), raised = step + r.lift.value;
    if (!(r.lift.value > 0.0 && raised < axles)) return refuse("lift_mm", "0 < x < wheelbase");
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
    // The whole's centre in frame axes: from the rear axle, turned back by the pitch.
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

}  // namespace restand
