#pragma once
// From the app state to what a screen shows: view() calls the pure function of the page that is open. Each is
// in the file of its page: swap_view() in app/swap/swap_view.h.

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

PageView view(const AppState& state);
// True if it shows a table or a plot.
bool goes_on_paper(const PageView& page);

}  // namespace restand
