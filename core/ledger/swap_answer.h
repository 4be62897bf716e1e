#pragma once
// What a swap's readings say: for each end what to set on the new parts, for the chain where the axle goes, and how
// the bike then stands.
//
// What the swap did not read is taken from how the bike stood when it began; what its parts do not replace is the same
// after as before.
//
// Rules
//   1  An end is solved with its own height map before and after: another link rod or a moved axle is another map.
//   2  Another tyre lifts or lowers its axle. The frame stands over the ground as before when the mark comes back
//      by what the radius gained: target = height before + radius before − radius after.
//   3  The chain comes first (it places the axle), then the ends, then the slack on the stand, because a longer unit
//      lets the wheel hang lower.
//   4  Fork air counts when its oil level is known on both sides; of one alone it would be taken for a change.

#include <span>

#include "core/ledger/chassis.h"
#include "core/ledger/ledger.h"

namespace restand {

struct SwapSite {
    const BikeBody& bike;
    const Swap& swap;
    SetUp stood{};       // how the bike stood when the swap began
    SetUp described{};   // what its geometry was measured with (chassis.h)
};
SwapSite site_of(const Ledger& ledger, const Bike& bike, const Swap& swap);
// A reading of the swap's, else (before it) of the bike as it stood; nullptr: neither, or older than what moved since.
const StoredReading* stored_at(const SwapSite& site, End end, Phase phase, Point point);

struct CaseInput { SwapCase swap_case; std::vector<Input> inputs; };  // inputs: the readings it was made of
// The readings so far as a case. Error missing: subject = point key, detail = phase key.
Result<CaseInput> case_of(const SwapSite& site, End end);

// The answer with how sure it is; each Uncertain names the readings behind it (budget order).
struct UncertainAnswer {
    Answer answer;
    // Of the predicted setting
    std::optional<Uncertain> length, installed_length, rider, static_, topped_out;
};
struct EndAnswer { End end; CaseInput input; UncertainAnswer uncertain; };
Result<EndAnswer> answer_of(const SwapSite& site, End end);
// Prediction at what was really set; error missing until set readings are there.
Result<Prediction> prediction_as_set(const SwapSite& site, End end);
Result<CheckResult> check_of(const SwapSite& site, End end);
// Every end that the swap sets. nullopt: it cannot be judged, or no height was read again.
struct EndCheck { End end; std::optional<CheckResult> result; };
std::vector<EndCheck> checks_of(const SwapSite& site);
std::optional<Verdict> worst_of(std::span<const EndCheck> checks);   // nullopt: none, or one that is not judged
Result<Answer> correction_of(const SwapSite& site, End end);

// The chain with the new parts: as much slack at the tight spot as before.
struct ChainAnswer {
    ChainNow was, will;               // `will` with the axle moved
    std::optional<Length> axle_from;  // from the front of its slot; nullopt: not read
    Length axle_by;                   // to be moved, positive = back; 0 where the swap leaves chain and sprockets
    bool in_slot = true;              // as far as slot and position are known
    bool by_count = false;            // a new chain is taken by its links: the axle is a first guess, the slack is not
};
// The count of links is the old one where its axle lies in the slot, else the even neighbour that moves it least.
// Errors: as chain_of(); no_solution: the chain goes round with none of them.
Result<ChainAnswer> chain_answer_of(const SwapSite& site);
// How far the axle moves by it, positive = back: what the rear end is solved with.
Result<Length> axle_moved_by(const SwapSite& site);

// Before the swap and as answered, rider on, else alone. nullopt: the bike's geometry or a height is not known.
struct Attitudes { State state; Attitude was, will; };
std::optional<Attitudes> attitudes_of(const SwapSite& site);

}  // namespace restand
