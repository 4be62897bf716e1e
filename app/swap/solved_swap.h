#pragma once
// The solution of the swap on the screen, made at most once a revision of the ledger and read by every page,
// the pad and the actions. Its uncertainty costs some fifty times as much, so it is made when a page asks
// for it.

#include <array>
#include <memory>
#include <optional>

#include "core/ledger/standing_correction.h"

namespace restand {

struct AppState;

class SolvedSwap {
public:
    SolvedSwap(const Ledger& ledger, const Bike& bike, const Swap& swap);
    SolvedSwap(const SolvedSwap&) = delete;
    SolvedSwap& operator=(const SolvedSwap&) = delete;

    const SwapSite& site() const { return site_; }
    const SwapSolution& solution() const { return solution_; }
    // Errors as uncertainty_of().
    const Result<UncertainAnswer>& uncertainty(End end);
    // The correction that is being made; nullptr: none.
    const StandingCorrection* standing(End end) const {
        const auto& one = standing_[static_cast<std::size_t>(end)];
        return one ? &*one : nullptr;
    }
    // As the end is set now; nullptr: nothing is predicted.
    const ExpectedAsSet* expected(End end) const {
        const auto& one = expected_[static_cast<std::size_t>(end)];
        return one ? &*one : nullptr;
    }
    // What a height or the slack is to read at the check, with its load; nullopt: nothing is predicted.
    std::optional<Length> to_read(End end, Point point) const;
    // The axle's correction that is being made.
    const std::optional<StandingAxle>& standing_axle() const { return standing_axle_; }
    // The slack has ordered one that can be set, made or not.
    bool corrects_axle() const {
        const auto& slack = solution_.slack;
        return standing_axle_ || (slack && slack->axle && slack->axle->can_be_set());
    }
    int uncertainties_made() const { return uncertainties_made_; }

private:
    SwapSite site_;
    SwapSolution solution_;
    std::array<std::optional<StandingCorrection>, 2> standing_;           // by End
    std::array<std::optional<ExpectedAsSet>, 2> expected_;                // by End
    std::optional<StandingAxle> standing_axle_;
    std::array<std::optional<Result<UncertainAnswer>>, 2> uncertainty_;
    int uncertainties_made_ = 0;
};

// Holds the last one.
class SwapSolver {
public:
    // Valid until the ledger changes or another swap is asked for.
    SolvedSwap& solved(const Ledger& ledger, const Bike& bike, const Swap& swap);
    // For tests: how often one was made.
    int solutions_made() const { return solutions_made_; }
    int uncertainties_made() const;

private:
    std::unique_ptr<SolvedSwap> solved_;
    Id swap_;
    std::uint64_t revision_ = 0;
    int solutions_made_ = 0, uncertainties_before_ = 0;
};

// Of the swap on the screen; nullptr: there is none, or its bike is not known.
SolvedSwap* solved_swap(const AppState& state);

}  // namespace restand
