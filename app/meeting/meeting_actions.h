#pragma once
// Devices, copies, files. A long task is answered later (task.h).

#include "app/action.h"
#include "core/ledger/entry.h"

namespace restand {

namespace act {
struct ChoosePlace { std::string folder; };
struct ExchangeNow {};
struct ExportTo { std::string folder; };
struct ImportFrom { std::string path; };
struct TakeBike { std::string path; };             // a bike from a case file
struct HandOver { Id bike; };                      // a bike to a case file, where the devices meet
struct BackUpNow {};
struct CancelWork {};                              // the long task under way
struct StoreRejected {};                               // entries that the disk refused, into the workshop
struct DiscardRejected {};
struct RestoreFrom { std::string path; bool other; };   // other: also a copy of another workshop
struct BeginNew {};                                // a new workshop, where none can be read
struct SheetTo { std::string folder; };            // of the baseline or the restore plan on the screen
struct PrintPage {};                               // the table or plot on the screen, to a PDF
struct OpenTable { std::string path; };
struct TableColumn { std::size_t column; };        // gives this column its next possible meaning
struct TableDays {};                               // toggles day first, month first
struct TableBike { Id bike; };
struct TakeTable {};
}  // namespace act

void act_on(AppState&, const act::ChoosePlace&);
void act_on(AppState&, const act::ExchangeNow&);
void act_on(AppState&, const act::ExportTo&);
void act_on(AppState&, const act::ImportFrom&);
void act_on(AppState&, const act::TakeBike&);
void act_on(AppState&, const act::HandOver&);
void act_on(AppState&, const act::BackUpNow&);
void act_on(AppState&, const act::CancelWork&);
void act_on(AppState&, const act::StoreRejected&);
void act_on(AppState&, const act::DiscardRejected&);
void act_on(AppState&, const act::RestoreFrom&);
void act_on(AppState&, const act::BeginNew&);
void act_on(AppState&, const act::SheetTo&);
void act_on(AppState&, const act::PrintPage&);
void act_on(AppState&, const act::OpenTable&);
void act_on(AppState&, const act::TableColumn&);
void act_on(AppState&, const act::TableDays&);
void act_on(AppState&, const act::TableBike&);
void act_on(AppState&, const act::TakeTable&);

}  // namespace restand
