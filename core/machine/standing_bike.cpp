// Newton on four unknowns with exact derivatives, and around it the question which end stands on its spring.
// Steps are shortened so that the linkage stays inside its limits.

#include "core/machine/standing_bike.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "core/machine/bike_kernel.h"
#include "core/machine/derivatives.h"

namespace restand {
namespace {

using S = Dual<4>;
using State4 = Eigen::Vector4d;

Error cannot(const char* why) {
    return Error{ErrorCode::no_solution, "bike", why};
}

struct Solver {
    const WholeBike& bike;
    const LinkageMap& map;
    Rider rider;
    Knobs<double> knobs;
    Knobs<S> dual_knobs;
    double low, high;  // droops the linkage has

    Solver(const WholeBike& b, const LinkageMap& m, Rider r) : bike(b), map(m), rider(r), knobs(knobs_of(b)) {
        for (int i = 0; i < knob_count; ++i) dual_knobs.at[i] = S(knobs.at[i]);
        low = map.shortest().droop.value;
        high = map.longest().droop.value;
    }

    Balance<double> at(const State4& q, Hold rear, Hold fork) const {
        return balance<double>(bike, knobs, {q[0], q[1], q[2], q[3]}, rider == Rider::on, rear, fork);
    }

    // nullopt: it does not come to rest.
    std::optional<State4> rest(State4 q, Hold rear, Hold fork) const {
        for (int i = 0; i < 60; ++i) {
            const BikeState<S> dual{S(q[0], 4, 0), S(q[1], 4, 1), S(q[2], 4, 2), S(q[3], 4, 3)};
            const auto b = balance<S>(bike, dual_knobs, dual, rider == Rider::on, rear, fork);
            const State4 miss{b.rear.value(), b.fork.value(), b.rear_radius.value(), b.front_radius.value()};
            Eigen::Matrix4d slopes;
            slopes.row(0) = b.rear.derivatives();
            slopes.row(1) = b.fork.derivatives();
            slopes.row(2) = b.rear_radius.derivatives();
            slopes.row(3) = b.front_radius.derivatives();
            State4 step = slopes.householderQr().solve(-miss);
            if (!step.allFinite()) return std::nullopt;
            // Never out of the linkage, and no leap that the springs know nothing of.
            double share = std::min(1.0, 0.2 / std::max(std::fabs(step[0]), 1e-12));
            share = std::min(share, 80.0 / std::max(std::fabs(step[1]), 1e-12));
            if (q[0] + share * step[0] <= low) share = 0.5 * (q[0] - low) / -step[0];
            if (q[0] + share * step[0] >= high) share = 0.5 * (high - q[0]) / step[0];
            q += share * step;
            if (share == 1.0 && std::fabs(step[0]) < 1e-13 && step.tail<3>().cwiseAbs().maxCoeff() < 1e-10)
                return q;
        }
        return std::nullopt;
    }

    // Where a wheel carries what its stop or spring says, in turn until nothing is to be said any more.
    Result<State4> settle(Hold& rear, Hold& fork) const {
        const auto top = map.droop_at(bike.shock.length);
        if (!top) return top.error();
        const double start = std::clamp(top->value - 0.02, low + 1e-6, high - 1e-6);
        State4 q{start, 0.0, knobs[Knob::rear_radius], knobs[Knob::front_radius]};
        for (int turn = 0; turn < 12; ++turn) {
            auto found = rest(q, rear, fork);
            // A spring that gives way faster than it gains lets the bike down to the end of its travel.
            if (!found && rear == Hold::spring && bike.shock.travel)
                found = rest(q, rear = Hold::bottomed, fork);
            if (!found) return cannot("springs and weights find no place to stand");
            q = *found;
            const auto b = at(q, rear, fork);
            const Hold rear_was = rear, fork_was = fork;
            rear = held(rear, b.shock_travel, b.rear_stop, bike.shock.travel);
            fork = held(fork, q[1], b.fork_stop, bike.fork.travel);
            if (rear == rear_was && fork == fork_was) return q;
        }
        return cannot("springs and weights find no place to stand");
    }

    // `excess`: what the spring pushes more than asked for.
    static Hold held(Hold hold, double travel, double excess, const std::optional<Length>& full) {
        constexpr double rounding = 1e-9;
        if (hold == Hold::topped_out) return excess < -rounding ? Hold::spring : Hold::topped_out;
        if (hold == Hold::bottomed) return excess > rounding ? Hold::spring : Hold::bottomed;
        if (travel < 0.0) return Hold::topped_out;
        if (full && travel > full->value) return Hold::bottomed;
        return Hold::spring;
    }
};

// The rear wheel's own numbers, by the rise of its axle in frame axes: z = −L·sin α.
void put_wheel(const WholeBike& bike, StandingBike& out, double top_droop) {
    const double l = bike.arm.value, a = out.pose.droop.value;
    const auto place = place_at(bike.linkage, out.pose.droop);
    const auto wheel = wheel_terms(l, a, place->slope, place->bend);
    out.motion_ratio = wheel.motion_ratio;
    out.motion_ratio_slope = wheel.slope;
    out.rear_travel = mm(l * (std::sin(top_droop) - std::sin(a)));
    const UnitTerms unit = unit_terms(bike.shock, std::max(0.0, out.shock_travel.value), false);
    out.wheel_rate = newton_per_mm(unit.d_travel * wheel.motion_ratio * wheel.motion_ratio + unit.force * wheel.slope);
}

}  // namespace

Result<StandingBike> standing(const WholeBike& bike, const LinkageMap& map, Rider rider) {
    if (!bike.masses) return Error{ErrorCode::missing, "bike.masses", "weights, or loads on scales"};
    const Solver solver(bike, map, rider);
    Hold rear = Hold::spring, fork = Hold::spring;
    const auto q = solver.settle(rear, fork);
    if (!q) return q.error();
    const auto b = solver.at(*q, rear, fork);
    if (!(b.rear_load > 0.0 && b.front_load > 0.0))
        return cannot("the centre of mass is not between the wheels");
    StandingBike out;
    out.pose = {radians((*q)[0]), mm((*q)[1])};
    out.radii = {mm((*q)[2]), mm((*q)[3])};
    out.attitude = attitude(bike, out.pose, out.radii);
    out.shock_travel = mm(b.shock_travel);
    out.shock_length = bike.shock.length - out.shock_travel;
    out.shock_force = newton(b.shock_force);
    out.fork_force = newton(b.fork_force);
    out.rear_load = newton(b.rear_load);
    out.front_load = newton(b.front_load);
    out.mass_ahead = mm(b.mass_ahead);
    out.mass_height = mm(b.mass_height);
    out.rear_topped_out = rear == Hold::topped_out;
    out.fork_topped_out = fork == Hold::topped_out;
    out.rear_bottomed = rear == Hold::bottomed;
    out.fork_bottomed = fork == Hold::bottomed;
    put_wheel(bike, out, map.droop_at(bike.shock.length)->value);
    if (rear == Hold::spring && !(out.wheel_rate.value > 0.0))
        return cannot("the rear would drop through: its wheel rate is not above 0");
    return out;
}

Result<StandingBike> standing(const WholeBike& bike, Rider rider) {
    const auto map = LinkageMap::of(bike.linkage);
    if (!map) return map.error();
    return standing(bike, *map, rider);
}

}  // namespace restand
