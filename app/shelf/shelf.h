#pragma once
// The shelf item on the screen, and the choice of a spring.

#include "app/shelf/shelf_actions.h"
#include "core/ledger/ledger.h"
#include "core/restore/restore.h"
#include "core/restore/spring_choice.h"

namespace restand {

const ShelfItem* shown_item(const AppState& state);                 // of the shelf; nullptr: none
// Called as it was when it was put on the shelf: "shock spring 2"
bool has_given_name(const ShelfBody& body);
// For the choice of a spring: the end as it is now, as a case, and the wishes for the spring.
Result<SwapCase> end_as_it_is(const AppState& state, End end);
// It stays with the bike and end that it was made for.
struct Wished { Id bike; End end; SpringWish wish; };
SpringWish wish_of(const AppState& state);

}  // namespace restand
