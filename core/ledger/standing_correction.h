#pragma once
// The correction that the last check of an end or of the slack ordered, while it is being made.
//
// A setting made after a check outdates the check: it does not describe the bike any more. What the check
// ordered stands all the same until the rest of it is set. It is worked out from the swap as it was at the
// last height of that check.

#include <map>
#include <set>

#include "core/ledger/swap_solution.h"

namespace restand {

// A swap as it was at earlier moments, each solved once. Not longer than what it is made of.
class EarlierSwaps {
public:
    EarlierSwaps(const Ledger& of, const Bike& on, const Swap& now) : ledger(of), bike(on), swap(now) {}
    struct Moment { Swap swap; SwapSolution solution; };
    const Moment& at(Clock moment);

    const Ledger& ledger;
    const Bike& bike;
    const Swap& swap;

private:
    std::map<Clock, Moment> moments_;
};

struct StandingCorrection {
    CaseInput input;
    Setting setting;
    std::set<Point> made;   // set since that check
};
// nullopt: nothing was set since the last check, there was none, it ordered no turns, or such that it must
// not be ridden with, or the part was read again since.
std::optional<StandingCorrection> standing_correction(EarlierSwaps& earlier, End end);

// What the end is expected to stand at as it is set now. Where it was checked before, it is expected as far
// from what is predicted as it was found then. nullopt: nothing is predicted.
struct ExpectedAsSet {
    Prediction heights;     // with the load of before; no travel left
    bool corrected;         // that check ordered another setting than the answer
};
std::optional<ExpectedAsSet> expected_as_set(EarlierSwaps& earlier, const EndSolution& solved);

// The axle's correction that the last reading of the slack ordered, in the same way.
struct StandingAxle {
    Length to;              // from the front of its slot
    bool made;              // the axle was set since that reading
};
// nullopt: nothing that moves the slack was set since it was last read, it was not read with the new parts,
// or it ordered no correction that can be set.
std::optional<StandingAxle> standing_axle(EarlierSwaps& earlier);

}  // namespace restand
