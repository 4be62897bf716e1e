#pragma once
// The time line of a bike: which entries are moments on it, and the words they are found by.

#include <set>
#include <string>
#include <vector>

#include "core/ledger/ledger.h"

namespace restand {

// Kinds that stand on the time line: baseline, swap, change, event, part, way, record.
bool is_moment(std::string_view kind);

struct HistoryQuery {
    Id bike;                              // nil: of all bikes
    std::string text;                     // words, each a beginning of one in the entry; "" = all
    std::string part;                     // name of a part or tyre; "" = any
    std::set<std::string> kinds;          // empty: all moments
    std::optional<std::pair<Clock, Id>> before;   // the last one of the page before; nullopt: the newest
    std::size_t limit = 40;
    friend bool operator==(const HistoryQuery&, const HistoryQuery&) = default;
};
struct HistoryPage {
    std::vector<Entry> moments;           // newest first
    std::vector<Entry> with_them;         // ends, steps: what a moment needs to be worded
    std::set<Id> set_aside;               // superseded or retracted
    bool more = false;                    // older ones are left
};

// What an entry is found by: its words, and the parts and tyres it names. In the order they stand.
struct FindBy { std::string words, parts; };
FindBy find_by(const Fact& fact);

}  // namespace restand
