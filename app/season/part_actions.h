#pragma once
// Parts with a service limit.

#include "app/action.h"
#include "core/ledger/entry.h"

namespace restand {

namespace act {
struct StartPart { Id bike, part; };               // part nil: a new one
struct SavePart {};
struct Serviced { Id part; };
struct PartGone { Id part; };
struct MovePart { Id part, to; };                  // to another bike, with what it has run
}  // namespace act

void act_on(AppState&, const act::StartPart&);
void act_on(AppState&, const act::SavePart&);
void act_on(AppState&, const act::Serviced&);
void act_on(AppState&, const act::PartGone&);
void act_on(AppState&, const act::MovePart&);

}  // namespace restand
