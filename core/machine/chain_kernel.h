#pragma once
// Internal to machine and solver: chain run and squat point for a number type S that can carry derivatives.
// Teeth are real numbers here, so that a solver can pass through values between whole teeth.

#include "core/machine/chain.h"
#include "core/quantity/conversions.h"

namespace restand {

template <class S>
S pitch_radius_terms(double pitch, const S& teeth) {
    using std::sin;
    return S(pitch / (2.0 * sin(S(pi / teeth))));
}

template <class S>
struct RunTerms {
    S span, needed;                    // c = C·cos β, L
};
// Requires that the sprockets do not overlap.
template <class S>
RunTerms<S> run_terms(double pitch, const S& front_teeth, const S& rear_teeth, const S& centre) {
    using std::asin, std::cos;
    const S r1 = pitch_radius_terms(pitch, front_teeth), r2 = pitch_radius_terms(pitch, rear_teeth);
    const S b = asin(S((r2 - r1) / centre));
    const S span = S(centre * cos(b));
    return {span, S(2.0 * span +
                    pitch / (2.0 * pi) * (front_teeth * (pi - 2.0 * b) + rear_teeth * (pi + 2.0 * b)))};
}

// Intersection of the upper run and the line from axle to pivot, in frame axes. Requires the front sprocket
// ahead of the axle.
template <class S>
struct SquatTerms {
    Vec<S> meet;
    S slope;                           // upper run to frame x; positive: rises to the front
};
// nullopt: the two lines are parallel.
template <class S>
std::optional<SquatTerms<S>> squat_terms(const ChainRun& run, const S& front_teeth, const S& rear_teeth,
                                         const Vec<S>& axle) {
    using std::asin, std::cos, std::fabs, std::sin;
    const S r1 = pitch_radius_terms(run.pitch.value, front_teeth),
            r2 = pitch_radius_terms(run.pitch.value, rear_teeth);
    const Vec<S> line = vec<S>(run.front_sprocket) - axle;
    const S c = length_of(line);
    // With a larger rear sprocket the upper run falls to the front relative to the line of centres, by β.
    const S slope = S(asin(S(line.z / c)) - asin(S((r2 - r1) / c)));
    const Vec<S> along{S(cos(slope)), S(sin(slope))}, arm = S(-1.0) * axle;
    const S turn = cross(along, arm);
    if (S(turn * turn) < S(1e-18 * dot(arm, arm))) return std::nullopt;
    const Vec<S> from = axle + r2 * left_of(along);
    return SquatTerms<S>{from + S(cross(axle - from, arm) / turn) * along, slope};
}

}  // namespace restand
