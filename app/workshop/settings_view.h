#pragma once
// Units and appearance: chosen once, for this workshop and this screen.

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

PageView settings_view(const AppState& state);

}  // namespace restand
