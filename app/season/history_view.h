#pragma once
// The season of one bike: its timeline, one entry of it opened, and the events of a day.

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

PageView history_view(const AppState& state);
PageView moment_view(const AppState& state);
PageView event_view(const AppState& state);

}  // namespace restand
