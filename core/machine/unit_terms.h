#pragma once
// Inside the machine and the solver only: force of a unit and both its derivatives in one pass. How does the
// force answer to a longer unit, and how to more preload?
//
//   force(x, p)   N      d_travel = dF/dx      d_preload = dF/dp (springs only; gas and rubber do not know p)
//
// Real springs push only. `springs_pull` lets them pull as well: a smooth continuation that a solver may
// cross on its way to an answer; nothing a person sees is computed with it.

#include "core/machine/unit_force.h"

namespace restand {

struct UnitTerms {
    double force, d_travel, d_preload;
};

UnitTerms unit_terms(const SuspensionUnit& unit, double travel, bool springs_pull);
double stack_free_length(const SuspensionUnit& unit);  // spring and helper, loose, mm
// Travels above 0 where the rate jumps, rising: a helper closes, a rubber's next straight, a spring comes loose.
// Between two of them the force is convex.
std::vector<double> unit_kinks(const SuspensionUnit& unit);
// Travel at which the gas would be squeezed to nothing; infinite without a chamber.
double gas_travel_end(const Gas& gas);

}  // namespace restand
