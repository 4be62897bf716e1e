#pragma once
// Tasks that the app state sends off: everything that needs the disk, another device or more than a frame.
// They run outside the frame's thread: short ones in order, those that take long beside them, also in order
// (platform/tasks.h). Copies are made beside both. Values only. task_result.h has what they bring back.

#include <memory>
#include <string>
#include <variant>
#include <vector>

#include "core/ledger/history.h"
#include "core/ledger/trend.h"

namespace restand {

struct PageView;

namespace task {
struct Baselines { Id bike; };
struct History { HistoryQuery query; };
struct Find { Id entry; };                         // loads one entry into the ledger
struct Watch { Id bike; Watched what; End end; Point point; Length chain_pitch; };
struct Places { std::string also; };               // `also`: a folder that the user typed
struct Look { std::string folder; };
struct Exchange { std::string folder; };
struct Export { std::string folder; };
struct Import { std::string path; };
struct TakeBike { std::string path; Id by; };       // a bike from a case file
struct HandOver { std::string folder; Id bike; };   // a bike to a case file
struct Copies {};
struct BackUp {};
struct Rejected {};
struct DiscardRejected { std::vector<RejectedEntry> entries; };   // these, and the unreadable lines
struct Restore { std::string path; bool other; };   // other: also a copy of another workshop
struct BeginNew {};                                // where the workshop file is missing, empty or unreadable
struct ReadTable { std::string path; };
struct Sheet { std::string folder; Id baseline; Id plan_bike, plan_target; };   // either baseline or plan
struct PrintPage { std::string folder; std::shared_ptr<const PageView> page; };   // its table or plot
}  // namespace task
using Task = std::variant<task::Baselines, task::History, task::Find, task::Watch, task::Places,
                          task::Look, task::Exchange, task::Export, task::Import,
                          task::TakeBike, task::HandOver, task::Copies, task::BackUp,
                          task::Rejected, task::DiscardRejected, task::Restore, task::BeginNew,
                          task::ReadTable, task::Sheet, task::PrintPage>;

}  // namespace restand
