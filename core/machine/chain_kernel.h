#pragma once
// Inside the machine and the solver only: the chain run and the squat point for numbers S that may carry derivatives.
// Teeth are numbers like any other there, so that a solver may stand between two of them.

#include "core/machine/chain.h"

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
// Not for sprockets that overlap.
template <class S>
RunTerms<S> run_terms(double pitch, const S& front_teeth, const S& rear_teeth, const S& centre) {
    using std::asin, std::cos;
    const S r1 = pitch_radius_terms(pitch, front_teeth), r2 = pitch_radius_terms(pitch, rear_teeth);
    const S b = asin(S((r2 - r1) / centre));
    const S span = S(centre * cos(b));
    return {span, S(2.0 * span + pitch / (2.0 * pi) * (front_teeth * (pi - 2.0 * b) + rear_teeth * (pi + 2.0 * b)))};
}

// Where the upper run meets the line from axle to pivot, frame axes. The front sprocket lies ahead of the axle.
template <class S>
struct SquatTerms {
    Vec<S> meet;
    S slope;                           // of the upper run, to frame x, rising to the front
};
// nullopt: parallel.
template <class S>
std::optional<SquatTerms<S>> squat_terms(const ChainRun& run, const S& front_teeth, const S& rear_teeth,
                                         const Vec<S>& axle) {
    using std::asin, std::cos, std::fabs, std::sin;
    const S r1 = pitch_radius_terms(run.pitch.value, front_teeth), r2 = pitch_radius_terms(run.pitch.value, rear_teeth);
    const Vec<S> line = vec<S>(run.front_sprocket) - axle;
    const S c = length_of(line);
    // The run leaves the larger rear sprocket higher up: it falls by β to the front, against the line of centres.
    const S slope = S(asin(S(line.z / c)) - asin(S((r2 - r1) / c)));
    const Vec<S> along{S(cos(slope)), S(sin(slope))}, arm = S(-1.0) * axle;
    const S turn = cross(along, arm);
    if (S(turn * turn) < S(1e-18 * dot(arm, arm))) return std::nullopt;
    const Vec<S> from = axle + r2 * left_of(along);
    return SquatTerms<S>{from + S(cross(axle - from, arm) / turn) * along, slope};
}

}  // namespace restand
