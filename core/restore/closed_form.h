#pragma once
// The single swap in closed form: length and preload of a linear spring with constant gas force.
// Not used by the app; it is the second opinion of the general solver.
//
//   l_r = l before, at rider height     x' = L' − l_r     p' = (F_old·s − F_gas')/k' − x'
//
// Simplifications: one linear spring a leg, gas without volume, no bump rubber, no limits.

#include "core/restore/restore.h"

namespace restand {

struct ClosedForm { Length length, preload; };
// With `length` given the topped-out height is not held, only the rider height.
Result<ClosedForm> closed_form(const SwapCase& swap, std::optional<Length> length = std::nullopt);

}  // namespace restand
