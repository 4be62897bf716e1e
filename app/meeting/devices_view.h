#pragma once
// View of the exchange folders, the copies of this workshop, and tables of older readings.

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

PageView devices_view(const AppState& state);
PageView table_view(const AppState& state);

}  // namespace restand
