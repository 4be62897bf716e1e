#pragma once
// Attitude: the bike on its wheels, with settings that can be tried before the work is done. Tried settings
// are stored only when the user says that they are set on the bike.

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

PageView attitude_view(const AppState& state);

}  // namespace restand
