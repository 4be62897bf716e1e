#pragma once
// Chain and gearing: slack with the wheel hanging and at the tight spot, the slack to set, sprockets near a
// wanted ratio.

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

PageView chain_view(const AppState& state);

}  // namespace restand
