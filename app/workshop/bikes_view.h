#pragma once
// The bikes of the workshop, by last work. The drawing shows the bike with the newest open swap, else the
// first.

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

PageView bikes_view(const AppState& state);

}  // namespace restand
