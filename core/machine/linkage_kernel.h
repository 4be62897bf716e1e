#pragma once
// Internal to machine and restore: length of a linkage's unit and its first and second derivative by droop,
// for a number type S that can carry derivatives. The derivatives by droop come from the constraint
// equations, so S can carry derivatives of the motion ratio and of its slope too.
//
// With q = T − Q, e = P − Q and a = |q|, where the two circles meet:
//   q = g·e + h·left(e),   g = (e² + a² − rod²)/(2e²),   h = side·√(a²/e² − g²)
// The rod's length is constant: (q − e)·(q̇ − ė) = 0 with q̇ = ω·left(q). It follows that
//   ω = (q − e)·ė/(h·e²),  and ω̇ from its derivative
//
// There is no branch on the numbers, so a plain loop over many droops can be vectorised (linkage_bulk.cpp).

#include "core/machine/linkage.h"

namespace restand {

template <class S>
Vec<S> turned_by(const Vec<double>& v, const S& cosine, const S& sine) {
    return {S(cosine * v.x - sine * v.z), S(sine * v.x + cosine * v.z)};
}

template <class S>
struct LinkageTerms {
    S length, slope, bend;  // l, dl/dα, d²l/dα²; 0 where the linkage does not close
    Vec<S> to_rod, to_unit;  // T − Q and V − Q
    bool closes = true;
};

// From V to U and its derivatives by droop: length and its derivatives.
template <class S>
void put_unit(const Vec<S>& line, const Vec<S>& line_by, const Vec<S>& line_bent, LinkageTerms<S>& out) {
    using std::sqrt;
    out.length = S(sqrt(dot(line, line)));
    const S inverse = S(1.0 / out.length);
    out.slope = dot(line, line_by) * inverse;
    out.bend = S((dot(line_by, line_by) + dot(line, line_bent) - out.slope * out.slope) * inverse);
    out.closes = out.closes && out.length > S(0.0);
    if (!out.closes) out.length = out.slope = out.bend = S(0.0);
}

template <bool has_rocker, class S>
LinkageTerms<S> linkage_terms_at(const LinkageConstants& k, const S& cosine, const S& sine, const S& rod) {
    using std::sqrt;
    LinkageTerms<S> out{};
    out.closes = true;
    const Vec<S> base_arm = turned_by(k.unit_base.arm, cosine, sine);
    const Vec<S> base{S(base_arm.x + k.unit_base.frame.x), S(base_arm.z + k.unit_base.frame.z)};
    const Vec<S> base_by = left_of(base_arm);
    if constexpr (!has_rocker) {
        put_unit(base, base_by, {S(-base_arm.x), S(-base_arm.z)}, out);
    } else {
        const Vec<S> e_arm = turned_by(k.rod_base.arm, cosine, sine);
        const Vec<S> e{S(e_arm.x + k.rod_base.frame.x), S(e_arm.z + k.rod_base.frame.z)};
        const Vec<S> e_by = left_of(e_arm), e_left = left_of(e);
        const S square = dot(e, e), inverse = S(1.0 / square);
        const S g = S(0.5 + (k.arm_squared - rod * rod) * (0.5 * inverse));
        const S h_square = S(k.arm_squared * inverse - g * g);
        out.closes = h_square > S(0.0);
        const S h = S(k.side * sqrt(out.closes ? h_square : S(1.0)));
        const Vec<S> q = g * e + h * e_left, q_left = left_of(q), qe = q - e;
        // 1/(h·e²) = 1/(qe·left(q))
        const S per = S(inverse / h);
        const S rate = S(dot(qe, e_by) * per);
        const Vec<S> qe_by = rate * q_left - e_by;
        const S rate_bent = S((dot(qe_by, e_by) - dot(qe, e_arm) -
                               rate * (rate * g * square - dot(e_by, q_left))) *
                              per);
        const Vec<S> v{S(q.x * k.to_unit.x - q.z * k.to_unit.z), S(q.z * k.to_unit.x + q.x * k.to_unit.z)};
        const Vec<S> v_left = left_of(v);
        const Vec<S> line_bent = rate_bent * v_left - (base_arm + S(rate * rate) * v);
        put_unit(base + v, base_by + rate * v_left, line_bent, out);
        out.to_rod = q;
        out.to_unit = v;
    }
    return out;
}

template <class S>
LinkageTerms<S> linkage_terms(const LinkageConstants& k, const S& cosine, const S& sine, const S& rod) {
    return k.has_rocker ? linkage_terms_at<true>(k, cosine, sine, rod)
                        : linkage_terms_at<false>(k, cosine, sine, rod);
}
template <class S>
LinkageTerms<S> linkage_terms(const LinkageConstants& k, const S& droop, const S& rod) {
    using std::cos, std::sin;
    return linkage_terms(k, S(cos(droop)), S(sin(droop)), rod);
}

// As place_at() of linkage.h, without working out the constants.
std::optional<LinkagePlace> place_at(const LinkageConstants& linkage, Angle droop);

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

// Position of the rear axle, frame axes; cosine and sine of the droop.
template <class S>
Vec<S> axle_at(const S& arm, const S& cosine, const S& sine) {
    return {S(-arm * cosine), S(-arm * sine)};
}
template <class S>
Vec<S> axle_at(const S& arm, const S& droop) {
    using std::cos, std::sin;
    return axle_at(arm, S(cos(droop)), S(sin(droop)));
}

}  // namespace restand
