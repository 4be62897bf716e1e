#pragma once
// The shelf of measured parts, and the choice of a spring.

#include "app/action.h"
#include "core/ledger/swap.h"

namespace restand {

// Wishes for a spring (restore/spring_choice.h).
enum class WishOf { rider_sag, free_low, free_high, preload_low, preload_high };

namespace act {
struct AddToShelf { SwapPart part; };
struct ShelveTakenOff { Id swap; SwapPart part; };   // what a kept swap took off (taken_off())
struct OpenItem { Id item; };
struct ItemGone { Id item; };
struct MeasureItem { Id item; Reading reading; };  // part_name: the item's name
struct PickItem { Id item; };                      // its readings become the new part's in the open swap
struct ShowSprings { Id bike; End end; };
struct Wish { WishOf of; double by; };             // mm
}  // namespace act

void act_on(AppState&, const act::AddToShelf&);
void act_on(AppState&, const act::ShelveTakenOff&);
void act_on(AppState&, const act::OpenItem&);
void act_on(AppState&, const act::ItemGone&);
void act_on(AppState&, const act::MeasureItem&);
void act_on(AppState&, const act::PickItem&);
void act_on(AppState&, const act::ShowSprings&);
void act_on(AppState&, const act::Wish&);

}  // namespace restand
