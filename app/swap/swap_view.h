#pragma once
// A swap on the screen: the step ruler, the drawing with its tags, the side panel of readings or of the
// answer.

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

PageView swap_view(const AppState& state);

}  // namespace restand
