#include "core/machine/squat.h"

#include <cmath>

namespace restand {

std::optional<Squat> squat(const WholeBike& bike, const ChainRun& run, const Pose& pose, const Radii& radii,
                           Length mass_height) {
    const Attitude stands = attitude(bike, pose, radii);
    // Seen from the ground: x ahead of the rear contact, z up.
    const auto seen = [&](const PlanePoint& p) { return vec<double>(on_ground(stands, radii, p)); };
    const Vec<double> front = seen(run.front_sprocket), axle{0.0, radii.rear.value}, pivot = seen({});
    const double r1 = pitch_radius(run.pitch, run.sprockets.front).value,
                 r2 = pitch_radius(run.pitch, run.sprockets.rear).value;
    const Vec<double> line = front - axle;
    const double c = length_of(line);
    if (!(c > std::fabs(r2 - r1))) return std::nullopt;
    // The run leaves the larger rear sprocket higher up: it falls by β to the front, against the line of centres.
    const double slope = std::atan2(line.z, line.x) - std::asin((r2 - r1) / c);
    const Vec<double> along{std::cos(slope), std::sin(slope)};
    const Vec<double> from = axle + r2 * left_of(along);
    const Vec<double> arm = pivot - axle;
    const double turn = cross(along, arm);
    if (std::fabs(turn) < 1e-9 * length_of(arm)) return std::nullopt;
    const Vec<double> meet = from + (cross(axle - from, arm) / turn) * along;
    Squat out;
    out.squat_point = {mm(meet.x), mm(meet.z)};
    out.upper_run = radians(slope);
    out.squat_angle = radians(std::atan2(meet.z, meet.x));
    out.transfer_angle = radians(std::atan(mass_height / stands.wheelbase));
    out.squat_ratio = tan(out.transfer_angle) / tan(out.squat_angle);
    out.anti_squat_percent = 100.0 / out.squat_ratio;
    return out;
}

}  // namespace restand
