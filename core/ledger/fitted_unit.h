#pragma once
// The suspension unit of one end from its numbers: those of a swap's readings, or of a set-up.

#include <functional>
#include <optional>

#include "core/machine/unit_force.h"
#include "core/measure/point.h"

namespace restand {

// The number of a point at one end, canonical unit; nullopt: not known.
using NumberAt = std::function<std::optional<double>(Point)>;

// Preload of the spring, with its helper: by free and installed length, else as it was read itself, else by
// the turns from where the spring just touches, times the collar's pitch. nullopt: not known.
std::optional<Length> preload_of(const NumberAt& at);
// The points that say how a spring is preloaded as it is fitted.
bool is_of_preload(Point point);
// Without its length, without fork air and without the reservoir's chamber. A helper, a top-out spring and a
// bump rubber count once all their numbers are known, and a progressive spring, which excludes a helper; a
// fork's second leg once its rate is, preloaded as the first. Rate and gas force that are not known count as
// 0; swap_inputs.h fills them in. Of a spring only preload counts for its force: a length that is not known
// is a usual one, and the coils' block length is then left out.
SuspensionUnit fitted_unit(End end, const NumberAt& at);
// The air over the oil in both legs, closed at the day's pressure with the fork topped out. It stands long
// enough to take the day's temperature again: isothermal. nullopt: oil level, bore or travel is not known.
std::optional<Gas::Chamber> fork_air(const NumberAt& at);
// The gas over the reservoir's piston, at one temperature. nullopt: rod diameter or volume is not known.
std::optional<Gas::Chamber> reservoir(const NumberAt& at);

// Stands for the free length of a spring of which only the preload is known.
inline constexpr Length usual_free_length = mm(200.0);
// Stands for a fork length that nobody read: only differences count on a leverage map.
inline constexpr Length usual_fork_length = mm(700.0);

}  // namespace restand
