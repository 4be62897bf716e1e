#pragma once

#include "app/app_state.h"
#include "core/codec/draft.h"

namespace restand {

// Unfinished work, saved for the next start and restored from it. A draft that no longer fits is dropped.
Draft draft_of(const AppState& state);
void take_draft(AppState& state, const Draft& draft);

}  // namespace restand
