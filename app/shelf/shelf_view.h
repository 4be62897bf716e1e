#pragma once
// The parts shelf: the list, one part with its measured values, and the choice of a spring.

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

PageView shelf_view(const AppState& state);
PageView item_view(const AppState& state);
PageView which_spring_view(const AppState& state);

// Parts on the shelf that this swap can use.
void shelf_rows(const AppState& state, const Swap& swap, std::vector<Row>& rows);

}  // namespace restand
