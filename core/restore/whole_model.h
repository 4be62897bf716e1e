#pragma once
// Inside the solver: targets of a bike and their exact derivatives by everything that can be changed on it.

#include <Eigen/Core>

#include "core/machine/bike_kernel.h"
#include "core/machine/derivatives.h"
#include "core/restore/whole.h"

namespace restand {

using ByKnob = Eigen::Matrix<double, knob_count, 1>;
struct TargetTerm {
    double value = 0.0;
    // What the solver brings to nothing, in the target's unit: value − wanted, of a slack by its excess, since a
    // taut chain has no slope. And its derivatives.
    double miss = 0.0;
    ByKnob slope = ByKnob::Zero();
    ByKnob value_slope = ByKnob::Zero();  // of the value itself, as the bike stands
};

// Values, misses and slopes of all targets. `knobs`: the bike's own, but teeth and links may lie between whole
// numbers. Errors as measured_by().
Result<std::vector<TargetTerm>> target_terms(const WholeBike& bike, const std::vector<Target>& targets,
                                             const Knobs<double>& knobs);

}  // namespace restand
