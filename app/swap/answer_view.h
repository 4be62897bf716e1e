#pragma once
// The answer: what to set, what it gives, how sure it is, and what cannot be had.

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

void answer_panel(const AppState& state, const Bike& bike, SolvedSwap& solved, PageView& page);
// That the parts do not fit, and why; nothing where they do, or where there is no answer.
void refusal_rows(const AppState& state, const SolvedSwap& solved, std::vector<Row>& rows);
// That the chain as answered is too short, or that it was as it was read before.
void answered_chain_rows(const AppState& state, const SolvedSwap& solved, std::vector<Row>& rows);
void correction_rows(const AppState& state, const SwapSite& site, const EndSolution& end, PageView& page);
void set_prediction(const AppState& state, const SolvedSwap& solved, PageView& page);

}  // namespace restand
