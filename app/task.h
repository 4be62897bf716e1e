#pragma once
// Tasks that the app state sends off, and their results: everything that needs the disk, another device or
// more than a frame. They run outside the frame's thread: short ones in order, those that take long beside
// them, also in order (platform/tasks.h). Copies are made beside both. Values only.

#include <cstdint>
#include <memory>
#include <string>
#include <variant>
#include <vector>

#include "core/tables/csv.h"
#include "core/sync/sync_bundle.h"
#include "core/ledger/history.h"
#include "core/ledger/trend.h"

namespace restand {

struct PageView;

// A verified copy of the workshop file.
struct CopyOnDisk {
    std::string path;
    std::int64_t at_ms = 0;
    std::uint64_t entries = 0;
    bool good = false;
    bool of_damaged = false;                       // when it was made, the workshop already had damage
    bool of_other = false;                         // another device made it
};
// A folder where devices may exchange, and the files in it.
struct FoundPlace {
    std::string folder, label;                     // "/media/…", "stick 'RACE'"
    bool stick = false;                            // a removable medium
    std::vector<std::string> bundles, tables, cases;   // paths in it: exported files, CSV, case files
};

// Entries that the disk did not accept, kept in a separate file on this device.
struct RejectedEntries {
    std::vector<RejectedEntry> entries;
    std::uint64_t unreadable = 0;                  // lines torn or changed
    bool empty() const { return entries.empty() && unreadable == 0; }
};

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

namespace task_result {
// Into the ledger; `said`: notice text; `failed`: what was asked for was done in part only.
struct Entries { std::vector<Entry> entries; std::string said; bool failed = false; };
struct Page { HistoryQuery query; HistoryPage page; };
struct Samples {
    Id bike;
    Watched what;
    End end;
    Point point;
    std::vector<Sample> samples;
    std::vector<PartUse> parts;
};
struct Places { std::vector<FoundPlace> places; };
struct Seen { std::string folder; std::vector<restand::Seen> devices; std::string own_name; };
struct Exchanged {
    std::string folder;
    std::uint64_t put = 0, added = 0;
    std::vector<Error> refused;
    std::string clocks;                            // what is wrong with the clocks; empty: nothing
    std::vector<restand::Seen> devices;
    std::vector<Entry> entries;                    // of the workshop after the merge, into the ledger
};
struct Copies { std::vector<CopyOnDisk> copies; std::string said; };
struct CopyState { std::string trouble; };         // of the automatic copies; empty: no trouble any more
struct Rejected { RejectedEntries shown; std::string said; };
struct Table { std::string path; restand::Table table; };
struct Restored {};                                // the workshop file was replaced: everything is read again
struct Said { std::string text; };
}  // namespace task_result
using TaskResult =
    std::variant<task_result::Entries, task_result::Page, task_result::Samples, task_result::Places,
                 task_result::Seen, task_result::Exchanged, task_result::Copies, task_result::CopyState,
                 task_result::Rejected, task_result::Table, task_result::Restored, task_result::Said>;

}  // namespace restand
