#pragma once
// A value over the season, with its uncertainty band and the time when it reaches its limit. Also the parts
// that wear.

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

PageView trend_view(const AppState& state);
PageView parts_view(const AppState& state);

}  // namespace restand
