#pragma once
// The whole bike of a set-up (machine/bike.h) from what the ledger holds. Measured ride heights are used in
// place of masses: each end carries what its own unit weighs at them.
//
//   rear: W = F(x)·dl/dh at the droop that the height gives     fork: F(x), x = (topped out − height)/ratio
//
// The frame axes are level where the bike stands as described (chassis.h). The linkage's frame points are
// turned about the pivot until the hanging arm is as low as its ride height says. Turning keeps the shape of
// l(droop), so linkage, heights and pivot height describe one bike even if they were not measured exactly.

#include "core/ledger/chassis.h"

namespace restand {

// Gives each set-up that lacks the fork's length that of the first one that has it: an unknown fork is as
// long as the other (swap_case.cpp). Without any, only differences count and all have the same usual length.
void share_fork_length(std::initializer_list<SetUp*> setups);

// The chain is nullopt if it is not known; chain_of() then says why. A fork length that only one of the two
// set-ups has is that of both. Errors: missing (subject: key of the bike's number or of the
// point; detail: "bike" or the end), those of LinkageMap, no_solution (the linkage does not reach the
// heights), contradiction (the two droops differ by more than 3 deg).
Result<WholeBike> whole_bike(const BikeBody& bike, SetUp setup, SetUp described);

// `was`, made by whole_bike(), with the parts and settings of `now`. Its ends carry the same; the heights of
// `now` do not count, nor does fork air that is known only of `now`. First share_fork_length() of `now` and
// the set-ups that `was` was made of. Errors: missing, as above.
Result<WholeBike> fitted_with(const WholeBike& was, const BikeBody& bike, const SetUp& now,
                              const SetUp& described);

}  // namespace restand
