#pragma once
// Inside the solver: targets of a bike and their exact derivatives by everything that can be changed on it.

#include <Eigen/Core>

#include "core/machine/bike_kernel.h"
#include "core/machine/derivatives.h"
#include "core/restore/whole.h"

namespace restand {

using ByKnob = Eigen::Matrix<double, adjustable_count, 1>;
struct TargetTerm {
    double value = 0.0;
    // What the solver brings to nothing, in the target's unit: value − wanted, of a slack by its excess, since a
    // taut chain has no slope. And its derivatives.
    double miss = 0.0;
    ByKnob slope = ByKnob::Zero();
    ByKnob value_slope = ByKnob::Zero();  // of the value itself, as the bike stands
    bool stopped = false;                 // an end stands on a stop in this target's state
};

// What an end on a stop goes by. Held there it has no slope by its spring. On its spring it is where the spring
// would take it if the stop were not there, to first order; whoever wants to leave the stop goes by that.
enum class AtStop {
    held,
    further,  // on its spring where that is further from the target on the same side, else held
    rear_on_spring,
    fork_on_spring,
    both_on_spring,
};

// Values, misses and slopes of all targets. `knobs`: the bike's own, but teeth and links may lie between whole
// numbers. `at_stop` changes misses and slopes, never values. Errors as measured_by().
Result<std::vector<TargetTerm>> target_terms(const WholeBike& bike, const std::vector<Target>& targets,
                                             const Adjustables<double>& adjustables,
                                             AtStop at_stop = AtStop::held);

}  // namespace restand
