#pragma once
// Internal to machine: positions of a linkage's points and the first and second derivative of the unit's
// length by droop, for a number type S that can carry derivatives. The derivatives by droop come from the
// constraint equations, so S can carry derivatives of the motion ratio and of its slope too.

#include "core/machine/linkage.h"

namespace restand {

template <class S>
struct Moving {
    Vec<S> at, by_droop, bent;  // position in frame axes; its first and second derivative by droop
};

template <class S>
Moving<S> moving(const Pin& joint, const S& droop) {
    const Vec<S> still{S(0.0), S(0.0)};
    if (joint.on == Carrier::frame) return {vec<S>(joint.at), still, still};
    const Vec<S> at = turned(vec<S>(joint.at), droop);
    return {at, left_of(at), still - at};
}

// A point of a body that turns about `pivot`: `rate` in rad per rad of droop, `rate_bent` its derivative.
template <class S>
Moving<S> carried(const Moving<S>& pivot, const Vec<S>& at, const S& rate, const S& rate_bent) {
    const Vec<S> arm = left_of(at - pivot.at), arm_by = left_of(rate * arm);
    return {at, pivot.by_droop + rate * arm, pivot.bent + rate_bent * arm + rate * arm_by};
}

template <class S>
struct LinkageTerms {
    S length, slope, bend;  // l, dl/dα, d²l/dα²
    Vec<S> p, t, v, u;
    bool closes = true;
};

template <class S>
LinkageTerms<S> linkage_terms(const Linkage& linkage, const S& droop, const S& rod) {
    using std::sqrt;
    const Moving<S> u = moving<S>(linkage.unit_end, droop);
    LinkageTerms<S> out{S(0.0), S(0.0), S(0.0), u.at, u.at, u.at, u.at, true};
    Moving<S> v = u;
    if (!linkage.rocker) {
        v = moving<S>(linkage.direct, droop);
        out.p = out.t = v.at;
    } else {
        const Rocker& r = *linkage.rocker;
        const Moving<S> q = moving<S>(r.pivot, droop), p = moving<S>(r.rod_end, droop);
        const Vec<S> to_p = p.at - q.at;
        const S d = length_of(to_p), a = S(r.pivot_to_rod.value);
        const S along = (d * d + a * a - rod * rod) / (S(2.0) * d);
        const S square = a * a - along * along;
        if (!(square > S(0.0))) {
            out.closes = false;
            return out;
        }
        const Vec<S> unit = S(S(1.0) / d) * to_p;
        const Vec<S> t = q.at + along * unit + S(S(double(r.side)) * sqrt(square)) * left_of(unit);
        // The rod's length is constant: (t − p)·(ṫ − ṗ) = 0, with ṫ = q̇ + ω·left(t − q). Differentiated
        // again for the second derivative.
        const Vec<S> tp = t - p.at, arm = left_of(t - q.at);
        const S across = dot(tp, arm), pushed = dot(tp, p.by_droop - q.by_droop);
        const S rate = pushed / across;
        const Vec<S> t_by = q.by_droop + rate * arm, tp_by = t_by - p.by_droop;
        const S pushed_by = dot(tp_by, p.by_droop - q.by_droop) + dot(tp, p.bent - q.bent);
        const S across_by = dot(tp_by, arm) + dot(tp, left_of(t_by - q.by_droop));
        const S rate_bent = (pushed_by - rate * across_by) / across;
        const Vec<S> to_v = S(S(r.pivot_to_unit.value) / a) * turned(t - q.at, S(r.spread.value));
        v = carried(q, q.at + to_v, rate, rate_bent);
        out.p = p.at;
        out.t = t;
    }
    const Vec<S> line = v.at - u.at, line_by = v.by_droop - u.by_droop;
    out.length = length_of(line);
    out.slope = dot(line, line_by) / out.length;
    out.bend = (dot(line_by, line_by) + dot(line, v.bent - u.bent) - out.slope * out.slope) / out.length;
    out.v = v.at;
    out.closes = out.length > S(0.0);
    return out;
}

template <class S>
LinkageTerms<S> linkage_terms(const Linkage& linkage, const S& droop) {
    return linkage_terms(linkage, droop, S(linkage.rocker ? linkage.rocker->rod.value : 0.0));
}

// Motion ratio at the rear wheel. z = −L·sin α: rise of the axle in frame axes.
template <class S>
struct WheelTerms {
    S motion_ratio, slope;  // −dl/dz, and its derivative by z
};
template <class S>
WheelTerms<S> wheel_terms(const S& arm, const S& droop, const S& slope, const S& bend) {
    using std::cos, std::sin;
    const S rise = S(-arm * cos(droop)), turn = S(arm * sin(droop));  // dz/dα, d²z/dα²
    const S dl_dz = slope / rise;
    return {S(-dl_dz), S(-(bend - dl_dz * turn) / (rise * rise))};
}

// Position of the rear axle, frame axes.
template <class S>
Vec<S> axle_at(const S& arm, const S& droop) {
    using std::cos, std::sin;
    return {S(-arm * cos(droop)), S(-arm * sin(droop))};
}

}  // namespace restand
