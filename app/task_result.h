#pragma once
// What a task brings back to the app state (app/task.h). Values only.

#include <cstdint>
#include <string>
#include <variant>
#include <vector>

#include "core/ledger/history.h"
#include "core/ledger/trend.h"
#include "core/sync/sync_bundle.h"
#include "core/tables/csv.h"

namespace restand {

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
