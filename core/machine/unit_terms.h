#pragma once
// Internal to machine and solver: force of a unit and its derivatives by travel and by preload, in one pass.
//
//   force(x, p)   N      d_travel = dF/dx      d_preload = dF/dp (springs only, not gas or rubber)
//
// Real springs only push. With `springs_pull` they can also pull: a smooth continuation that a solver may
// pass through. Not meant for displayed values. The two differ only while a spring is loose.

#include "core/machine/unit_force.h"

namespace restand {

struct UnitTerms {
    double force, d_travel, d_preload;
};

UnitTerms unit_terms(const SuspensionUnit& unit, double travel, bool springs_pull);
// With `installed` in place of the unit's own installed length, mm.
UnitTerms unit_terms_with(const SuspensionUnit& unit, double installed, double travel, bool springs_pull);
// Travel at which the unloaded unit would hang without its springs, mm; 0 without a top-out spring.
double springless_travel(const SuspensionUnit& unit);
// Travels above 0 at which the rate jumps, in rising order: the softer spring closes, the loose spring of the
// other leg starts to push, a point of a spring's table or of the bump rubber, the end of the top-out
// spring's reach. Between two of them the force is convex.
std::vector<double> unit_kinks(const SuspensionUnit& unit);
// Travel at which the gas volume becomes 0; infinite without a chamber.
double gas_travel_end(const Gas& gas);

}  // namespace restand
