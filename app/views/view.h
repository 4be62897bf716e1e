#pragma once
// From the desk to what a screen shows: one pure function a screen, each in the file of its name.

#include "app/desk.h"
#include "app/views/sheet_view.h"

namespace restand {

SheetView view(const Desk& desk);

SheetView bikes_view(const Desk& desk);
SheetView bike_view(const Desk& desk);
SheetView bike_form_view(const Desk& desk);
SheetView swap_view(const Desk& desk);
SheetView baselines_view(const Desk& desk);
SheetView baseline_view(const Desk& desk);
SheetView people_view(const Desk& desk);
SheetView settings_view(const Desk& desk);
SheetView history_view(const Desk& desk);
SheetView moment_view(const Desk& desk);
SheetView change_view(const Desk& desk);
SheetView event_view(const Desk& desk);
SheetView compare_view(const Desk& desk);
SheetView way_view(const Desk& desk);
SheetView trend_view(const Desk& desk);
SheetView parts_view(const Desk& desk);
SheetView devices_view(const Desk& desk);
SheetView table_view(const Desk& desk);
SheetView attitude_view(const Desk& desk);
SheetView chain_view(const Desk& desk);
SheetView choose_view(const Desk& desk);
SheetView shelf_view(const Desk& desk);
SheetView item_view(const Desk& desk);
SheetView which_spring_view(const Desk& desk);

}  // namespace restand
