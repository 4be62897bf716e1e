#pragma once
// The heights read with the parts now in, for a restore plan. Inside core/ledger only.

#include "core/ledger/setup.h"

namespace restand {

// Those heights, and the settings that they were read with: they say more of these parts than the heights of
// `then`. `fitted`: `now` with what the plan copies from `then`. nullopt: too few, or something else that
// moves heights is another one by now, or will be.
std::optional<Checked> heights_as_read(const BikeBody& bike, End end, const SetUp& then, const SetUp& now,
                                       const SetUp& fitted);
// Every height is within tolerance of then, the one to hold within half of it: no setting is worth a turn.
bool stands_as(const Checked& checked, const SwapCase& then, State hold);

}  // namespace restand
