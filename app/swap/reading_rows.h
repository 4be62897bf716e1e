#pragma once
// The rows of a swap's step that takes readings. Inside app/swap only.

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

void reading_rows(const AppState& state, SolvedSwap& solved, Phase phase, PageView& page);

}  // namespace restand
