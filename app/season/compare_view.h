#pragma once
// Two moments side by side: what differs, by how much, and whether the uncertainty allows to tell. Equal
// values are folded away.

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

PageView compare_view(const AppState& state);

}  // namespace restand
