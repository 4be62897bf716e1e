#pragma once
// Who is working: one tap sets the name that every later reading carries.

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

PageView people_view(const AppState& state);

}  // namespace restand
