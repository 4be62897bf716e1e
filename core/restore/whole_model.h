#pragma once
// Internal to the solver: the targets of a bike and their exact derivatives with respect to every adjustable.

#include <Eigen/Core>

#include "core/machine/bike_kernel.h"
#include "core/machine/derivatives.h"
#include "core/restore/whole.h"

namespace restand {

using ByKnob = Eigen::Matrix<double, adjustable_count, 1>;
struct TargetTerm {
    double value = 0.0;
    // The solver drives this to zero. In the target's unit: value − wanted. For a slack it is computed from
    // the excess length of the chain, because the slack of a taut chain has no slope.
    double miss = 0.0;
    ByKnob slope = ByKnob::Zero();        // of `miss`
    ByKnob value_slope = ByKnob::Zero();  // of `value`, for the bike as it stands
    bool stopped = false;                 // an end stands on a stop in this target's state
};

// How misses and slopes treat an end on a stop. Held there, the end has no slope with respect to its spring.
// On its spring, it is where the spring would put it without the stop, to first order; a search that has to
// leave the stop follows that slope.
enum class AtStop {
    held,
    further,  // on its spring if its miss is then larger with the same sign, else held
    rear_on_spring,
    fork_on_spring,
    both_on_spring,
};

// Values, misses and slopes of all targets. `map`: of the bike's own linkage. `adjustables`: those of the
// bike, except that teeth and links may be fractional. `at_stop` affects misses and slopes, never values.
// Errors as measured_by().
Result<std::vector<TargetTerm>> target_terms(const WholeBike& bike, const LinkageMap& map,
                                             const std::vector<Target>& targets,
                                             const Adjustables<double>& adjustables,
                                             AtStop at_stop = AtStop::held);

}  // namespace restand
