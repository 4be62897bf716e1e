#pragma once
// From the app state to what a screen shows: one pure function per screen, in the file of the same name.

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

PageView view(const AppState& state);
// True if it shows a table or a plot.
bool goes_on_paper(const PageView& page);

PageView bikes_view(const AppState& state);
PageView bike_view(const AppState& state);
PageView bike_form_view(const AppState& state);
PageView swap_view(const AppState& state);
PageView baselines_view(const AppState& state);
PageView baseline_view(const AppState& state);
PageView people_view(const AppState& state);
PageView settings_view(const AppState& state);
PageView history_view(const AppState& state);
PageView moment_view(const AppState& state);
PageView change_view(const AppState& state);
PageView event_view(const AppState& state);
PageView compare_view(const AppState& state);
PageView plan_view(const AppState& state);
PageView trend_view(const AppState& state);
PageView parts_view(const AppState& state);
PageView devices_view(const AppState& state);
PageView table_view(const AppState& state);
PageView attitude_view(const AppState& state);
PageView chain_view(const AppState& state);
PageView choose_view(const AppState& state);
PageView shelf_view(const AppState& state);
PageView item_view(const AppState& state);
PageView which_spring_view(const AppState& state);
PageView keys_view(const AppState& state);

}  // namespace restand
