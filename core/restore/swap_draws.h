#pragma once
// A swap at the end of a linkage for many draws of its inputs at once: the model for Monte Carlo, which
// checks the uncertainties of the solver's answers (tests only: what the app shows comes from propagate()).
// It solves the equations of restore.h another way. Simplifications: linear springs, constant gas, no mark.
//
//   1. where the arm was topped out: the linkage at the old unit's length
//   2. the old unit as load cell, at the rider's height and at the static height
//   3. the preload with which the new unit carries the rider at the same height
//   4. where the bike then stands without rider
//
// A draw has no answer where the linkage does not close, a spring would have to pull, or an end tops out.

#include <array>

#include "core/machine/linkage.h"
#include "core/measure/monte_carlo.h"

namespace restand {

// The inputs, in the order of the model: mm, N/mm, N.
enum class DrawInput {
    old_length, old_rate, old_free_length, old_installed, old_gas,
    new_length, new_rate, new_free_length, new_gas,
    topped_out, static_, rider,          // heights before: arm·sin(droop), in any datum
    raise,                               // of every height, by another tyre
    load_scale,                          // new wheel load / old wheel load
    arm, rod, pivot_to_rod, pivot_to_unit, unit_end_x, unit_end_z,
};
inline constexpr std::size_t draw_input_count = 20;
using DrawInputs = std::array<double, draw_input_count>;
enum class DrawOutput { installed, static_change };   // mm: to be set; static height after − before
inline constexpr std::size_t draw_output_count = 2;

// The linkage gives the inputs' nominal points and all that does not vary. Errors: as LinkageMap.
Result<BlockModel> swap_draws(const Linkage& linkage, const DrawInputs& nominal);

}  // namespace restand
