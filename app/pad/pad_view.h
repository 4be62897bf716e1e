#pragma once
// The number pad as it shows now: the field, what is typed, its keys.

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

PadView pad_view(const AppState& state);

}  // namespace restand
