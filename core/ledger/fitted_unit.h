#pragma once
// The suspension unit of one end from its numbers: those of a swap's readings, or of a set-up.

#include <functional>
#include <optional>

#include "core/machine/unit_force.h"
#include "core/measure/point.h"

namespace restand {

// The number of a point at one end, canonical unit; nullopt: not known.
using NumberAt = std::function<std::optional<double>(Point)>;

// Without its length and without fork air. What is not known counts as 0 or as absent; see swap_case.h.
SuspensionUnit fitted_unit(End end, const NumberAt& at);
// The air over the oil in both legs, closed at the day's pressure with the fork topped out. It stands long
// enough to take the day's temperature again: isothermal. nullopt: oil level, bore or travel is not known.
std::optional<Gas::Chamber> fork_air(const NumberAt& at);

// Stands for a fork length that nobody read: only differences count on a leverage map.
inline constexpr Length usual_fork_length = mm(700.0);

}  // namespace restand
