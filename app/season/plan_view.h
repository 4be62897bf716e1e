#pragma once
// The restore plan: the steps in order, each marked when it is done.

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

PageView plan_view(const AppState& state);
// A height is still to be measured: until then there is no verdict.
bool heights_left(const PlanShown& shown);

}  // namespace restand
