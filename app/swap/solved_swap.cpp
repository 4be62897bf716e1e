#include "app/swap/solved_swap.h"

#include "app/app_state.h"

namespace restand {

SolvedSwap::SolvedSwap(const Ledger& ledger, const Bike& bike, const Swap& swap)
    : site_(site_of(ledger, bike, swap)), solution_(solve_swap(site_)) {
    EarlierSwaps earlier(ledger, bike, swap);
    standing_axle_ = restand::standing_axle(earlier);
    for (const End end : ends_of(swap))
        standing_[static_cast<std::size_t>(end)] = standing_correction(earlier, end);
    for (const EndSolution& end : solution_.ends)
        expected_[static_cast<std::size_t>(end.end)] = expected_as_set(earlier, end);
}

std::optional<Length> SolvedSwap::to_read(End end, Point point) const {
    if (point == Point::chain_slack)
        return solution_.chain ? std::optional(solution_.chain->will.on_stand.slack) : std::nullopt;
    const auto load_state = height_state(point);
    const ExpectedAsSet* as_set = expected(end);
    if (!as_set || !load_state || !as_set->heights.at(*load_state)) return std::nullopt;
    return as_set->heights.at(*load_state)->height +
           solution_.end(end)->load_shift[static_cast<std::size_t>(*load_state)];
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
