#pragma once
// Internal to machine and solver: the bike's equations for a number type S. S can carry derivatives with
// respect to the bike's state and its adjustables. Units: mm, N, rad.

#include "core/machine/attitude.h"
#include "core/machine/linkage_kernel.h"
#include "core/machine/unit_terms.h"

namespace restand {

template <class S>
struct Adjustables {
    S at[adjustable_count];
    const S& operator[](Adjustable k) const { return at[static_cast<int>(k)]; }
    S& operator[](Adjustable k) { return at[static_cast<int>(k)]; }
};

inline Adjustables<double> adjustables_of(const WholeBike& bike) {
    Adjustables<double> k;
    for (int i = 0; i < adjustable_count; ++i) k.at[i] = value(bike, static_cast<Adjustable>(i));
    return k;
}

// Both wheels and the ground under them.
template <class S>
struct GroundTerms {
    Vec<S> rear_axle, front_axle, along, up;  // along, up: unit vectors, along the ground and normal to it
    S pitch, rake, wheelbase, rear_radius, front_radius;
    S height_of(const Vec<S>& p) const { return S(dot(p - rear_axle, up) + rear_radius); }
    S ahead_of_rear(const Vec<S>& p) const { return dot(p - rear_axle, along); }
};

template <class S>
GroundTerms<S> ground_terms(const WholeBike& bike, const Adjustables<S>& k, const Vec<S>& rear_axle,
                            const S& fork_travel, const S& rear_radius, const S& front_radius) {
    using std::asin, std::cos, std::sin;
    const FrontGeometry& g = bike.geometry;
    const double s = sin(g.axis.value), c = cos(g.axis.value), off = g.offset.value;
    const S down = S(bike.fork.length.value) - k[Adjustable::fork_position] - fork_travel;
    GroundTerms<S> out;
    out.rear_axle = rear_axle;
    out.front_axle = {S(g.head.x.value + off * c + down * s), S(g.head.z.value + off * s - down * c)};
    const Vec<S> apart = out.front_axle - out.rear_axle;
    const S d = length_of(apart);
    out.pitch = asin(S(apart.z / d)) - asin(S((front_radius - rear_radius) / d));
    const S cp = cos(out.pitch), sp = sin(out.pitch);
    out.along = {cp, sp};
    out.up = {S(-sp), cp};
    out.rake = S(g.axis.value) - out.pitch;
    out.wheelbase = dot(apart, out.along);
    out.rear_radius = rear_radius;
    out.front_radius = front_radius;
    return out;
}
template <class S>
GroundTerms<S> ground_terms(const WholeBike& bike, const Adjustables<S>& k, const S& droop,
                            const S& fork_travel, const S& rear_radius, const S& front_radius) {
    return ground_terms(bike, k, axle_at(k[Adjustable::arm], droop), fork_travel, rear_radius, front_radius);
}

// Force of a unit at `travel`, with `installed` in place of its own installed spring length. For a dual
// number the derivatives come from unit_terms().
template <class S>
S force_terms(const SuspensionUnit& unit, const S& travel, const S& installed, bool springs_pull = true) {
    if constexpr (std::is_same_v<S, double>) {
        return unit_terms_with(unit, installed, travel, springs_pull).force;
    } else {
        const UnitTerms t = unit_terms_with(unit, installed.value(), travel.value(), springs_pull);
        return S(S(t.force) + t.d_travel * (travel - S(travel.value())) -
                 t.d_preload * (installed - S(installed.value())));
    }
}

// The four unknowns of equilibrium: droop (rad), fork travel and loaded radii (mm).
template <class S>
struct BikeState {
    S droop, fork_travel, rear_radius, front_radius;
};
// What carries each end: its spring, its top-out stop, or the stop at the end of its travel.
enum class Hold { spring, topped_out, bottomed };

template <class S>
struct Balance {
    S rear, fork, rear_radius, front_radius;          // residuals: N·mm, N, mm, mm; 0 in equilibrium
    S rear_load, front_load;                          // N at the ground; without masses at the axles
    S shock_travel, shock_force, fork_force, motion;  // mm, N, N; motion: dl/dα, mm/rad
    S mass_ahead, mass_height;                        // mm, from rear contact, from ground; without masses 0
    // Unit force minus the force the load requires. Positive: the top-out stop carries it. Negative: the stop
    // at the end of the travel.
    S rear_stop, fork_stop;  // N·mm, N
    GroundTerms<S> ground;
};

// What the ends carry: rear as a moment about the pivot by virtual work of a small change of droop, front as
// a force along the steering axis.
template <class S>
struct Carried {
    S on_arm, on_fork;  // N·mm, N
};

// From the masses: wheel loads at the ground by moments about the rear contact. Sets them and the centre of
// mass in `b`.
template <class S>
Carried<S> carried_masses(const Masses& m, const Vec<S>& arm_mass, bool with_rider, Balance<S>& b) {
    using std::cos;
    constexpr double g = standard_gravity;
    const auto& ground = b.ground;
    S weight(0.0), ahead(0.0), height(0.0);
    const auto add = [&](double kilogram, const Vec<S>& at) {
        weight += S(kilogram * g);
        ahead += kilogram * g * ground.ahead_of_rear(at);
        height += kilogram * g * ground.height_of(at);
    };
    add(m.sprung.mass.value, vec<S>(m.sprung.at));
    add(m.arm.mass.value, arm_mass);
    add(m.rear_wheel.value, ground.rear_axle);
    add(m.front_unsprung.value, ground.front_axle);
    if (with_rider) add(m.rider.mass.value, vec<S>(m.rider.at));
    b.front_load = ahead / ground.wheelbase;
    b.rear_load = weight - b.front_load;
    b.mass_ahead = ahead / weight;
    b.mass_height = height / weight;
    const S lift = dot(left_of(ground.rear_axle), ground.up);
    return {S((b.rear_load - m.rear_wheel.value * g) * lift -
              m.arm.mass.value * g * dot(left_of(arm_mass), ground.up)),
            S((b.front_load - m.front_unsprung.value * g) * cos(ground.rake))};
}

// As weighed by the units.
template <class S>
Carried<S> carried_loads(const EndLoads& loads, Balance<S>& b) {
    using std::cos;
    b.rear_load = S(loads.rear.value);
    b.front_load = S(loads.fork.value / cos(b.ground.rake));
    b.mass_ahead = b.mass_height = S(0.0);
    return {S(loads.rear.value * left_of(b.ground.rear_axle).z), S(loads.fork.value)};
}

// `linkage`: the constants of the bike's own linkage.
template <class S>
Balance<S> balance(const WholeBike& bike, const LinkageConstants& linkage, const Adjustables<S>& k,
                   const BikeState<S>& q, bool with_rider, Hold rear, Hold fork) {
    using std::cos, std::sin;
    Balance<S> b;
    const S cosine = cos(q.droop), sine = sin(q.droop);
    b.ground = ground_terms(bike, k, axle_at(k[Adjustable::arm], cosine, sine), q.fork_travel, q.rear_radius,
                            q.front_radius);
    const auto turned_by_droop = [&](const PlanePoint& at) {
        return turned_by(vec<double>(at), cosine, sine);
    };
    const Carried<S> ends =
        bike.masses
            ? carried_masses(*bike.masses, turned_by_droop(bike.masses->arm.at), with_rider, b)
            : carried_loads(*(with_rider ? bike.carried.with_rider : bike.carried.alone), b);

    const auto link = linkage_terms<S>(linkage, cosine, sine, k[Adjustable::rod]);
    b.motion = link.slope;
    b.shock_travel = k[Adjustable::shock_length] - link.length;
    b.shock_force = force_terms<S>(bike.shock, b.shock_travel, k[Adjustable::shock_installed]);
    const S unheld = ends.on_arm + b.shock_force * b.motion;
    b.rear_stop = unheld;
    b.rear = rear == Hold::spring       ? unheld
             : rear == Hold::topped_out ? S(b.shock_travel)
                                        : S(b.shock_travel - S(bike.shock.travel.value_or(mm(0)).value));

    // Fork force along the steering axis.
    b.fork_force = force_terms<S>(bike.fork, q.fork_travel, k[Adjustable::fork_installed]);
    b.fork_stop = b.fork_force - ends.on_fork;
    b.fork = fork == Hold::spring       ? b.fork_stop
             : fork == Hold::topped_out ? S(q.fork_travel)
                                        : S(q.fork_travel - S(bike.fork.travel.value_or(mm(0)).value));

    const auto sunk = [](const Wheel& wheel, const S& free, const S& load) {
        return wheel.stiffness ? S(free - load / wheel.stiffness->value) : free;
    };
    b.rear_radius = q.rear_radius - sunk(bike.rear, k[Adjustable::rear_radius], b.rear_load);
    b.front_radius = q.front_radius - sunk(bike.front, k[Adjustable::front_radius], b.front_load);
    return b;
}

// Both wheels off the ground: each end's force beyond what its hanging wheel pulls, as b.rear_stop and
// b.fork_stop. On its stand the bike is level. Without masses the wheels weigh nothing.
template <class S>
struct Hanging {
    S rear, fork;  // N·mm, N; > 0 at travel 0: the end hangs at its stop
};
template <class S>
Hanging<S> hanging(const WholeBike& bike, const LinkageConstants& linkage, const Adjustables<S>& k,
                   const S& droop, const S& fork_travel) {
    const Masses m = bike.masses.value_or(Masses{});
    constexpr double g = standard_gravity;
    const auto link = linkage_terms<S>(linkage, droop, k[Adjustable::rod]);
    const S travel = k[Adjustable::shock_length] - link.length;
    const S shock = force_terms<S>(bike.shock, travel, k[Adjustable::shock_installed], false);
    const S fork = force_terms<S>(bike.fork, fork_travel, k[Adjustable::fork_installed], false);
    const S weight = m.rear_wheel.value * g * left_of(axle_at(k[Adjustable::arm], droop)).z +
                     m.arm.mass.value * g * left_of(turned(vec<S>(m.arm.at), droop)).z;
    return {S(shock * link.slope - weight),
            S(fork + m.front_unsprung.value * g * std::cos(bike.geometry.axis.value))};
}

}  // namespace restand
