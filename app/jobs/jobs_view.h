#pragma once

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

PageView jobs_view(const AppState& state);   // of the bike: what is to be done, first things first
PageView job_view(const AppState& state);
PageView ready_view(const AppState& state);  // what speaks against taking the bike out

}  // namespace restand
