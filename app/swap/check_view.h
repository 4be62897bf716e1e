#pragma once
// Check and keep: restored, not restored with the correction to make, or cannot tell; then the new baseline.

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

void check_panel(const AppState& state, const Bike& bike, const SolvedSwap& solved, PageView& page);
void keep_panel(const AppState& state, const Bike& bike, const SolvedSwap& solved, PageView& page);

}  // namespace restand
