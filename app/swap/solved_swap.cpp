#include "app/swap/solved_swap.h"

#include "app/app_state.h"

namespace restand {

SolvedSwap::SolvedSwap(const Ledger& ledger, const Bike& bike, const Swap& swap)
    : site_(site_of(ledger, bike, swap)),
      solution_(solve_swap(site_)),
      standing_axle_(restand::standing_axle(ledger, bike, swap)) {
    for (const End end : ends_of(swap))
        standing_[static_cast<std::size_t>(end)] = standing_correction(ledger, bike, swap, end);
    for (const EndSolution& end : solution_.ends)
        expected_[static_cast<std::size_t>(end.end)] = expected_as_set(ledger, bike, swap, end);
}

const Result<UncertainAnswer>& SolvedSwap::uncertainty(End end) {
    auto& made = uncertainty_[static_cast<std::size_t>(end)];
    if (!made) {
        ++uncertainties_made_;
        made.emplace(uncertainty_of(site_, solution_, end));
    }
    return *made;
}

SolvedSwap& SwapSolver::solved(const Ledger& ledger, const Bike& bike, const Swap& swap) {
    if (!solved_ || swap_ != swap.id || revision_ != ledger.revision()) {
        auto solved = std::make_unique<SolvedSwap>(ledger, bike, swap);
        uncertainties_before_ = uncertainties_made();
        solved_ = std::move(solved);
        swap_ = swap.id;
        revision_ = ledger.revision();
        ++solutions_made_;
    }
    return *solved_;
}

int SwapSolver::uncertainties_made() const {
    return uncertainties_before_ + (solved_ ? solved_->uncertainties_made() : 0);
}

SolvedSwap* solved_swap(const AppState& state) {
    const Swap* swap = open_swap(state);
    const Bike* bike = swap ? state.ledger.bike(swap->bike) : nullptr;
    return bike ? &state.solver->solved(state.ledger, *bike, *swap) : nullptr;
}

}  // namespace restand
