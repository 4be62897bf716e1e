#pragma once
// The form of a bike's own numbers, entered on the drawing. A name and a leverage ratio are enough to begin.

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

PageView bike_form_view(const AppState& state);

}  // namespace restand
