#pragma once
// What is swapped: one part or several at once.

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

PageView choose_view(const AppState& state);

}  // namespace restand
