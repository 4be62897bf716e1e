#pragma once
// A part of the shelf on the screen; which spring would do.

#include "app/shelf/shelf_actions.h"
#include "core/ledger/ledger.h"
#include "core/restore/restore.h"
#include "core/restore/spring_choice.h"

namespace restand {

struct AppState;

const ShelfItem* shown_item(const AppState& state);                 // of the shelf; nullptr: none
// Which spring: the end as it is, as a case; and what is wished of it.
Result<SwapCase> end_as_it_is(const AppState& state, End end);
SpringWish wish_of(const AppState& state);

}  // namespace restand
