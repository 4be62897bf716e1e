#pragma once
// What the desk sends somebody for, and what comes back: everything that takes the disk, another device or more
// than a frame. Carried out one after the other off the frame's thread (platform/errands.h). Values only.

#include <cstdint>
#include <string>
#include <variant>
#include <vector>

#include "core/exchange/csv.h"
#include "core/exchange/parcel.h"
#include "core/ledger/history.h"
#include "core/ledger/trend.h"

namespace restand {

// A verified copy of the workshop file.
struct CopyOnDisk {
    std::string path;
    std::int64_t at_ms = 0;
    std::uint64_t entries = 0;
    bool good = false;
    bool of_damaged = false;                       // as it was made: of a workshop that had damage already
    bool of_other = false;                         // another device made it
};
// A folder where devices may meet, and what lies in it.
struct FoundPlace {
    std::string folder, label;                     // "/media/…", "stick 'RACE'"
    bool stick = false;                            // can be pulled out
    std::vector<std::string> bundles, tables;      // paths in it: exported files, CSV
};

// What the disk would not take, kept aside on this device.
struct AsideShown {
    std::vector<KeptAside> entries;
    std::uint64_t unreadable = 0;                  // lines torn or changed
    bool empty() const { return entries.empty() && unreadable == 0; }
};

namespace errand {
struct Baselines { Id bike; };
struct History { HistoryQuery query; };
struct SetUp { Id bike; Clock at; };               // what setup_at() needs, into the ledger
struct Find { Id entry; };                         // one entry, into the ledger
struct Watch { Id bike; Watched what; End end; Point point; Length chain_pitch; };
struct Places { std::string also; };               // `also`: a folder typed by hand
struct Look { std::string folder; };
struct Exchange { std::string folder; };
struct Export { std::string folder; };
struct Import { std::string path; };
struct Copies {};
struct BackUp {};
struct Aside {};
struct ThrowAside { std::vector<KeptAside> entries; };   // these, and what cannot be read
struct Restore { std::string path; bool other; };   // other: also of another workshop
struct BeginNew {};                                // a new workshop where the file is missing, empty or illegible
struct ReadTable { std::string path; };
struct Sheet { std::string folder; Id baseline; Id way_bike, way_target; };   // one of the two
}  // namespace errand
using Errand = std::variant<errand::Baselines, errand::History, errand::SetUp, errand::Find, errand::Watch,
                            errand::Places, errand::Look, errand::Exchange, errand::Export, errand::Import,
                            errand::Copies, errand::BackUp, errand::Aside, errand::ThrowAside, errand::Restore, errand::BeginNew, errand::ReadTable,
                            errand::Sheet>;

namespace news {
struct Entries { std::vector<Entry> entries; std::string said; };   // into the ledger; `said`: worth a notice
struct Page { HistoryQuery query; HistoryPage page; };
struct Samples { Id bike; Watched what; End end; Point point; std::vector<Sample> samples; std::vector<PartUse> parts; };
struct Places { std::vector<FoundPlace> places; };
struct Seen { std::string folder; std::vector<restand::Seen> devices; std::string own_name; };
struct Exchanged {
    std::string folder;
    std::uint64_t put = 0, added = 0;
    std::vector<Error> refused;
    std::string clocks;                            // what is wrong with them; empty: nothing
    std::vector<restand::Seen> devices;
    std::vector<Entry> entries;                    // of the workshop as it now is, into the ledger
};
struct Copies { std::vector<CopyOnDisk> copies; std::string said; };
struct CopyState { std::string trouble; };         // of the copies made by themselves; empty: none any more
struct Aside { AsideShown shown; std::string said; };
struct Table { std::string path; restand::Table table; };
struct Restored {};                                // the workshop file was replaced: everything is read anew
struct Said { std::string text; };
}  // namespace news
using News = std::variant<news::Entries, news::Page, news::Samples, news::Places, news::Seen, news::Exchanged,
                          news::Copies, news::CopyState, news::Aside, news::Table, news::Restored, news::Said>;

}  // namespace restand
