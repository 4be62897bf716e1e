#pragma once
// The desk's own joints: what its source files share and no view needs.

#include "app/desk.h"

namespace restand {

void append(Desk& desk, Pending then, std::vector<NewEntry> entries);
void say(Desk& desk, std::string text, bool stop = false);
// Keeps what is whole. False: what is typed is no value yet, or is being asked about; the pad stays, and says so.
bool leave_pad(Desk& desk);
void open_pad(Desk& desk, const Field& field);
void keep_waiting(Desk& desk);       // the second readings whose first ones are on disk
bool on_its_way(const Desk& desk, Pending::Then what);
void defer(Desk& desk, Action action);

// One overload an action; desk.cpp dispatches.
void act_on(Desk&, const act::OpenTag&);
void act_on(Desk&, const act::CloseTag&);
void act_on(Desk&, const act::PadText&);
void act_on(Desk&, const act::PadErase&);
void act_on(Desk&, const act::PadUnit&);
void act_on(Desk&, const act::PadSign&);
void act_on(Desk&, const act::PadInstrument&);
void act_on(Desk&, const act::PadRepeat&);
void act_on(Desk&, const act::PadDropRepeat&);
void act_on(Desk&, const act::PadSame&);
void act_on(Desk&, const act::PadNext&);
void act_on(Desk&, const act::ConfirmSame&);

void act_on(Desk&, const act::StartSwap&);
void act_on(Desk&, const act::ResumeSwap&);
void act_on(Desk&, const act::AbandonSwap&);
void act_on(Desk&, const act::GoToStep&);
void act_on(Desk&, const act::Keep&);

void act_on(Desk&, const act::Go&);
void act_on(Desk&, const act::Back&);
void act_on(Desk&, const act::AddBike&);
void act_on(Desk&, const act::EditBike&);
void act_on(Desk&, const act::SaveBike&);
void act_on(Desk&, const act::ArchiveBike&);
void act_on(Desk&, const act::RemovePair&);
void act_on(Desk&, const act::SetPerson&);
void act_on(Desk&, const act::SetUnits&);
void act_on(Desk&, const act::SetLook&);
void act_on(Desk&, const act::Undo&);
void act_on(Desk&, const act::DismissNotice&);

}  // namespace restand
