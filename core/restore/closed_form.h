#pragma once
// The single swap in closed form: length and preload of a linear spring with constant gas force.
// The app does not use it; it is an independent check of the general solver.
//
//   l_r = l before, at rider height     x' = L' − l_r     p' = (F_old·s − F_gas')/k' − x'
//
// Simplifications: one linear spring per leg, constant gas force, no bump rubber, no limits.

#include "core/restore/restore.h"

namespace restand {

struct ClosedForm { Length length, preload; };
// If `length` is given, only the rider height is held, not the topped-out height.
Result<ClosedForm> closed_form(const SwapCase& swap, std::optional<Length> length = std::nullopt);

}  // namespace restand
