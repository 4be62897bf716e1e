#pragma once
// The correction that the last check of an end or of the slack ordered, while it is being made.
//
// A setting made after a check outdates the check: it does not describe the bike any more. What the check
// ordered stands all the same until the rest of it is set. It is worked out from the swap as it was at the
// last height of that check.

#include <set>

#include "core/ledger/swap_solution.h"

namespace restand {

struct StandingCorrection {
    CaseInput input;
    Setting setting;
    std::set<Point> made;   // set since that check
};
// nullopt: nothing was set since the last check, there was none, it ordered no turns, or such that it must
// not be ridden with, or the part was read again since.
std::optional<StandingCorrection> standing_correction(const Ledger& ledger, const Bike& bike,
                                                      const Swap& swap, End end);

// What the end is expected to stand at as it is set now. Where it was checked before, it is expected as far
// from what is predicted as it was found then. nullopt: nothing is predicted.
struct ExpectedAsSet {
    Prediction heights;     // with the load of before; no travel left
    bool corrected;         // that check ordered another setting than the answer
};
std::optional<ExpectedAsSet> expected_as_set(const Ledger& ledger, const Bike& bike, const Swap& swap,
                                             const EndSolution& solved);

// The axle's correction that the last reading of the slack ordered, in the same way.
struct StandingAxle {
    Length to;              // from the front of its slot
    bool made;              // the axle was set since that reading
};
// nullopt: nothing that moves the slack was set since it was last read, it was not read with the new parts,
// or it ordered no correction that can be set.
std::optional<StandingAxle> standing_axle(const Ledger& ledger, const Bike& bike, const Swap& swap);

}  // namespace restand
