#pragma once
// One bike: its state by the newest baseline, and the actions on it.

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

PageView bike_view(const AppState& state);

}  // namespace restand
