#pragma once
// Bikes and their description, people, settings.

#include "app/action.h"
#include "core/ledger/body.h"

namespace restand {

namespace act {
struct AddBike {};
struct EditBike { Id bike; };
struct SaveBike {};
struct ArchiveBike { Id bike; bool archived; };
struct RemovePair { std::size_t index; };          // of the leverage table in the bike form
// 0 none, 1 direct, 2 rocker on the frame, 3 rocker on the arm
struct LinkageKind { int kind; };
struct LinkageSide {};                             // puts the rocker's rod on the other side
struct TakeBestPoints {};                          // copies the best fit to the strut table into the form
struct TypedPoints {};                             // restores the points that these replaced
struct SayHowRead { Id bike; HowRead how; };       // nil: of the bike in the form
struct SetPerson { Id person; };
struct SetUnits { UnitChoice units; };
struct SetLook { bool night; int text_percent; };  // 80 to 200
}  // namespace act

void act_on(AppState&, const act::AddBike&);
void act_on(AppState&, const act::EditBike&);
void act_on(AppState&, const act::SaveBike&);
void act_on(AppState&, const act::ArchiveBike&);
void act_on(AppState&, const act::RemovePair&);
void act_on(AppState&, const act::LinkageKind&);
void act_on(AppState&, const act::LinkageSide&);
void act_on(AppState&, const act::TakeBestPoints&);
void act_on(AppState&, const act::TypedPoints&);
void act_on(AppState&, const act::SayHowRead&);
void act_on(AppState&, const act::SetPerson&);
void act_on(AppState&, const act::SetUnits&);
void act_on(AppState&, const act::SetLook&);

}  // namespace restand
