#pragma once
// The desk's own joints: what its source files share and no view needs.

#include "app/desk.h"

namespace restand {

void append(Desk& desk, Pending then, std::vector<NewEntry> entries);
void say(Desk& desk, std::string text, bool stop = false);
// Keeps what is whole. False: what is typed is no value yet, or is being asked about; the pad stays, and says so.
bool leave_pad(Desk& desk);
void open_pad(Desk& desk, const Field& field);
void enter(Desk& desk);              // asks for what the screen needs from disk
void keep_waiting(Desk& desk);       // the second readings whose first ones are on disk
void send(Desk& desk, Errand errand);
void work(Desk& desk, Errand errand, std::string what);   // long: shown with its progress
bool on_its_way(const Desk& desk, Pending::Then what);
void defer(Desk& desk, Action action);
void show_unsaved(Desk& desk);

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

void act_on(Desk&, const act::ChooseParts&);
void act_on(Desk&, const act::TogglePart&);
void act_on(Desk&, const act::StartSwap&);
void act_on(Desk&, const act::AddToShelf&);
void act_on(Desk&, const act::OpenItem&);
void act_on(Desk&, const act::ItemGone&);
void act_on(Desk&, const act::MeasureItem&);
void act_on(Desk&, const act::PickItem&);
void act_on(Desk&, const act::ShowSprings&);
void act_on(Desk&, const act::Wish&);
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
void act_on(Desk&, const act::Ask&);
void act_on(Desk&, const act::Undo&);
void act_on(Desk&, const act::DismissNotice&);

void act_on(Desk&, const act::FindKind&);
void act_on(Desk&, const act::FindPart&);
void act_on(Desk&, const act::FindWords&);
void act_on(Desk&, const act::OlderMoments&);
void act_on(Desk&, const act::OpenMoment&);
void act_on(Desk&, const act::OpenBoth&);
void act_on(Desk&, const act::TakeForCompare&);
void act_on(Desk&, const act::StartChange&);
void act_on(Desk&, const act::Nudge&);
void act_on(Desk&, const act::StartEvent&);
void act_on(Desk&, const act::SaveEvent&);
void act_on(Desk&, const act::ShowWay&);
void act_on(Desk&, const act::BeginWay&);
void act_on(Desk&, const act::TickAction&);
void act_on(Desk&, const act::EndWay&);
void act_on(Desk&, const act::KeepThis&);
void act_on(Desk&, const act::ShowSame&);
void act_on(Desk&, const act::ShowTrend&);
void act_on(Desk&, const act::StartPart&);
void act_on(Desk&, const act::SavePart&);
void act_on(Desk&, const act::Serviced&);
void act_on(Desk&, const act::PartGone&);

void act_on(Desk&, const act::LinkageKind&);
void act_on(Desk&, const act::LinkageSide&);
void act_on(Desk&, const act::TakeBestPoints&);
void act_on(Desk&, const act::TypedPoints&);
void act_on(Desk&, const act::ShowAttitude&);
void act_on(Desk&, const act::ShowChain&);
void act_on(Desk&, const act::Try&);
void act_on(Desk&, const act::TryTo&);
void act_on(Desk&, const act::TryGear&);
void act_on(Desk&, const act::TryNothing&);
void act_on(Desk&, const act::KeepTried&);
void act_on(Desk&, const act::LookAt&);
void act_on(Desk&, const act::OverTravel&);
void act_on(Desk&, const act::ShowGears&);
void act_on(Desk&, const act::AtSpeed&);
void act_on(Desk&, const act::WantRatio&);
void act_on(Desk&, const act::WantSlack&);

void act_on(Desk&, const act::ChoosePlace&);
void act_on(Desk&, const act::ExchangeNow&);
void act_on(Desk&, const act::ExportTo&);
void act_on(Desk&, const act::ImportFrom&);
void act_on(Desk&, const act::BackUpNow&);
void act_on(Desk&, const act::TakeAside&);
void act_on(Desk&, const act::ThrowAside&);
void act_on(Desk&, const act::RestoreFrom&);
void act_on(Desk&, const act::BeginNew&);
void act_on(Desk&, const act::SheetTo&);
void act_on(Desk&, const act::OpenTable&);
void act_on(Desk&, const act::TableColumn&);
void act_on(Desk&, const act::TableDays&);
void act_on(Desk&, const act::TableBike&);
void act_on(Desk&, const act::TakeTable&);
void act_on(Desk&, const act::CancelWork&);

// Keeping what was typed in a field of the season's forms.
void keep_season_field(Desk& desk, const Field& field, const std::string& text);
void keep_tried(Desk& desk, End end, Reading reading);
void keep_outside_swap(Desk& desk, const Field& field, const Reading& reading);   // change or way

}  // namespace restand
