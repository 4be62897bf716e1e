#include "core/machine/attitude.h"

#include <cmath>

#include "core/machine/bike_kernel.h"

namespace restand {
namespace {

PlanePoint point(const Vec<double>& v) {
    return {mm(v.x), mm(v.z)};
}

}  // namespace

Result<Pose> pose_at(const LinkageMap& linkage, Length shock_length, Length fork_travel) {
    const auto droop = linkage.droop_at(shock_length);
    if (!droop) return droop.error();
    return Pose{*droop, fork_travel};
}

Result<Pose> hanging_pose(const WholeBike& bike, const LinkageMap& linkage) {
    const auto top = linkage.droop_at(bike.shock.length);
    if (!top) return top.error();
    const Adjustables<double> k = adjustables_of(bike);
    Pose pose{*top, mm(0)};
    // Least travel at which the end extends no further; 0 without a top-out spring.
    const auto hangs = [](const std::optional<TopOutSpring>& top_out, const auto& extends) {
        if (!top_out || extends(0.0)) return 0.0;
        double low = 0.0, high = top_out->reach.value;
        for (double middle = 0.5 * high; low < middle && middle < high; middle = 0.5 * (low + high))
            (extends(middle) ? high : low) = middle;
        return high;
    };
    const double travel = hangs(bike.shock.top_out, [&](double x) {
        const auto droop = linkage.droop_at(bike.shock.length - mm(x));
        return droop && hanging(bike, linkage.constants(), k, droop->value, 0.0).rear >= 0.0;
    });
    if (travel > 0.0) {
        const auto droop = linkage.droop_at(bike.shock.length - mm(travel));
        if (!droop) return droop.error();
        pose.droop = *droop;
    }
    pose.fork_travel = mm(hangs(bike.fork.top_out, [&](double x) {
        return hanging(bike, linkage.constants(), k, top->value, x).fork >= 0.0;
    }));
    return pose;
}

Radii free_radii(const WholeBike& bike) {
    return {bike.rear.radius, bike.front.radius};
}

Attitude attitude(const WholeBike& bike, const Pose& pose, const Radii& radii) {
    const auto ground = ground_terms<double>(bike, adjustables_of(bike), pose.droop.value,
                                             pose.fork_travel.value, radii.rear.value, radii.front.value);
    Attitude a;
    a.pitch = radians(ground.pitch);
    a.rake = radians(ground.rake);
    a.arm_to_ground = pose.droop - a.pitch;
    a.trail = (radii.front * sin(a.rake) - bike.geometry.offset) / cos(a.rake);
    a.normal_trail = a.trail * cos(a.rake);
    a.wheelbase = mm(ground.wheelbase);
    a.pivot_height = mm(ground.height_of({0.0, 0.0}));
    a.rear_axle = point(ground.rear_axle);
    a.front_axle = point(ground.front_axle);
    if (bike.tail_mark) {
        const Vec<double> up = vec<double>(*bike.tail_mark) - ground.rear_axle;
        a.tail_height = mm(length_of(up));
        a.tail_upright = mm(dot(up, ground.up));
    }
    a.head_height = mm(ground.height_of(vec<double>(bike.geometry.head)));
    return a;
}

PlanePoint on_ground(const Attitude& a, const Radii& radii, const PlanePoint& in_frame) {
    const Vec<double> from_axle = vec<double>(in_frame) - vec<double>(a.rear_axle);
    const Vec<double> seen = turned(from_axle, -a.pitch.value);
    return {mm(seen.x), mm(seen.z) + radii.rear};
}

Result<Placed> placed(const MeasuredStance& m) {
    if (!(m.rake >= degrees(10) && m.rake <= degrees(45)))
        return Error{ErrorCode::out_of_range, "bike.rake_deg", "10 <= x <= 45"};
    const double drop = (m.pivot_height - m.radii.rear).value;  // height of the pivot above the axle
    if (!(std::fabs(drop) < m.arm.value))
        return Error{ErrorCode::out_of_range, "bike.pivot_height_mm",
                     "the arm reaches from the pivot to the axle"};
    Placed out;
    out.pose = {radians(std::asin(drop / m.arm.value)), mm(0)};
    const double s = std::sin(m.rake.value), c = std::cos(m.rake.value);
    const Vec<double> rear{-m.arm.value * std::cos(out.pose.droop.value), -drop};
    const Vec<double> front{rear.x + m.wheelbase.value, rear.z + (m.radii.front - m.radii.rear).value};
    // From the front axle rearwards to the steering axis, then up along the axis.
    out.geometry.head = {mm(front.x - m.offset.value * c - m.fork_length.value * s),
                         mm(front.z - m.offset.value * s + m.fork_length.value * c)};
    out.geometry.axis = m.rake;
    out.geometry.offset = m.offset;
    return out;
}

}  // namespace restand
