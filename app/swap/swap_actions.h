#pragma once
// A swap, from the choice of its parts to the new baseline.

#include "app/action.h"
#include "core/ledger/swap.h"

namespace restand {

namespace act {
struct ChooseParts { Id bike; };                   // what is to be swapped
struct TogglePart { SwapPart part; };
struct StartSwap { Id bike; std::vector<SwapPart> parts; };
struct ResumeSwap { Id swap; };
struct AbandonSwap { Id swap; };
struct GoToStep { Step6 step; };
struct MoveSpring { End end; bool moved; };          // the new unit takes over the old spring
struct AskInside {};                               // for the insides of the unit, too
struct Keep {};                                    // the swap's result as the bike's new baseline
}  // namespace act

void act_on(AppState&, const act::ChooseParts&);
void act_on(AppState&, const act::TogglePart&);
void act_on(AppState&, const act::StartSwap&);
void act_on(AppState&, const act::ResumeSwap&);
void act_on(AppState&, const act::AbandonSwap&);
void act_on(AppState&, const act::GoToStep&);
void act_on(AppState&, const act::MoveSpring&);
void act_on(AppState&, const act::AskInside&);
void act_on(AppState&, const act::Keep&);

}  // namespace restand
