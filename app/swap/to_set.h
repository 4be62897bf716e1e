#pragma once
// What each setting of the open swap is to be set to: by the answer, or by the correction of the check.

#include <optional>

#include "app/pad/field.h"
#include "core/ledger/swap_solution.h"

namespace restand {

struct AppState;

bool is_answered(const Swap& swap, End end, Point point);      // the answer says what to set here
bool is_of_chain_run(Point point);                             // axle or links: answered by the chain

struct ValueToSet { double value; bool correction; };          // canonical; correction: of the check
// nullopt: nothing says it, or only lengths that nobody read. A preload that follows from the lengths set is
// that, not the answer's.
std::optional<ValueToSet> value_to_set(const AppState& state, const Field& field);

// Checked and not restored, the correction of this setting is not made yet. `spot`: of phase set
bool awaits_correction(const AppState& state, const ReadAt& spot);
// The first that does, besides the field on the pad and what is being saved; nullopt: none.
std::optional<Field> field_to_correct(const AppState& state, std::optional<Field> besides = std::nullopt);
// The unit's length, or where the tubes stand, was read: of the new part, of the bike as it stood where that
// stays in, or as it was set. What is assumed in its place has no number to set.
bool is_length_read(const SwapSite& site, End end);
// At the front a length of the unit is a position of the tubes in the yokes.
Length fork_position(const CaseInput& input, const Swap& swap, Length length);

}  // namespace restand
