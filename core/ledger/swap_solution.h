#pragma once
// What a swap's readings say, solved once: where the axle goes, what to set on the new parts of each end,
// how the bike then stands, and whether it stood so when it was checked.
//
// Rules
//   1  An end is solved with its own height map before and after: another link rod or a moved axle is another
//      map.
//   2  Another tyre lifts or lowers its axle. The frame stands over the ground as before when the mark comes
//      back by what the radius gained: target = height before + radius before − radius after.
//   3  The chain comes first (it places the axle), then the ends, then the slack on the stand, because a
//      longer unit lets the wheel hang lower.
//   4  Fork air counts when its oil level is known on both sides; on one alone it would look like a change.

#include "core/ledger/answer_uncertainty.h"
#include "core/ledger/load_change.h"

namespace restand {

// A case and what it was made of; what does not move its answer is left out.
struct CaseInput {
    SwapCase swap_case;
    std::vector<SwapInput> inputs;
    bool free_length_known = true;     // of the new spring; false: its preload is answered, not its length
    const SwapInput* find(Slot slot) const;    // nullptr: none
    bool assumed(Slot slot) const;
};

// An end that the swap sets. Each error of type missing names a reading: subject = point key, detail = phase
// key.
struct EndSolution {
    End end;
    Result<CaseInput> input;         // the readings so far as a case
    Result<Answer> answer;           // what to set
    Result<Prediction> as_set;       // at what was really set
    // The heights read again against those before, these computed for the load of the check
    Result<CheckResult> check;
    Result<Answer> correction;       // from what is set now
    LoadChange load{};               // from before to the check
    std::array<Length, 3> load_shift{};   // what that does to the heights as they were set, by State
    // The check, if a height was read again that it can judge.
    const CheckResult* judged() const { return check && !check->heights.empty() ? &*check : nullptr; }
    // The correction that the check orders, though it may be one that must not be ridden; nullptr: none.
    const Answer* ordered() const {
        return judged() && judged()->turns_help() && correction ? &*correction : nullptr;
    }
    bool orders_what_can_be_ridden() const { return ordered() && ordered()->can_be_ridden(); }
};

// The chain with the new parts: as much slack at the tight spot as before.
struct ChainAnswer {
    ChainNow was, will;               // `will` with the axle moved
    std::optional<Length> axle_from;  // from the front of its slot; nullopt: not read
    // To be moved, positive = back; 0 where the swap leaves chain and sprockets
    Length axle_by;
    bool in_slot = true;              // as far as slot and position are known
    // A new chain is taken by its links: the axle is a first guess, the slack is not
    bool by_count = false;
};

// Where the axle goes so that the chain has the slack wanted.
struct AxleCorrection {
    Length by;                        // from where it is now, positive = back
    std::optional<Length> to;         // from the front of its slot; nullopt: not read where it is now
    bool in_slot = true;              // as far as slot and position are known
    bool can_be_set() const { return to && in_slot; }
};
// The slack read at the check, else as read after the axle was set, against what it was to be.
struct SlackCheck {
    Length to_be, is, expanded;       // expanded: U of the difference at 95 %
    Verdict verdict;                  // within slack_tolerance
    std::optional<AxleCorrection> axle;   // nullopt: not known to be off, or taut: slack tells nothing
};
// Makers allow ranges of some 10 mm (common practice, no source); the maker's range decides.
inline constexpr Length slack_tolerance = mm(5.0);

// Before the swap and as answered, with the rider on, else standing alone.
struct Attitudes { State state; Attitude was, will; };

struct SwapSolution {
    std::vector<EndSolution> ends;            // that the swap sets, rear first
    // The count of links is the old one where its axle lies in the slot, else the even neighbour that moves
    // it least. Errors: as chain_of(); no_solution: the chain goes round with none of them.
    Result<ChainAnswer> chain;
    std::optional<SlackCheck> slack;          // nullopt: not read since, or the chain is not known
    std::optional<Attitudes> attitudes;       // nullopt: the bike's geometry or a height is not known
    // The rear end that the swap does not set, with the axle as moved. nullopt: set, or not known, or not
    // moved.
    std::optional<Prediction> rear_with_axle_moved;

    const EndSolution* end(End which) const;  // nullptr: the swap does not set it
    bool refits_chain = false;                // then the slack is part of the verdict
    // The worst of the ends and of a refitted chain's slack, as far as it was read. nullopt: there is
    // neither, or an end cannot be judged.
    std::optional<Verdict> verdict() const;
};
SwapSolution solve_swap(const SwapSite& site);

// One end's case alone, without its answer. Errors as EndSolution::input.
Result<CaseInput> case_of(const SwapSite& site, End end);
// How well the answer of an end is known: it is solved again for each reading behind it. Errors as
// EndSolution::answer.
Result<UncertainAnswer> uncertainty_of(const SwapSite& site, const SwapSolution& solution, End end);

}  // namespace restand
