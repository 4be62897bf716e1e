#pragma once
// The keys of the keyboard: those of every page, and those of the page it was opened from.

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

PageView keys_view(const AppState& state);

}  // namespace restand
