#pragma once
// The time line of a bike: which entries are moments on it, and which words a search finds them by.

#include <set>
#include <string>
#include <vector>

#include "core/ledger/ledger.h"

namespace restand {

// True for the kinds on the time line: baseline, swap, change, event, part, way (a restore plan), record.
bool is_moment(std::string_view kind);

struct HistoryQuery {
    Id bike;                              // nil: of all bikes
    std::string text;                     // words, each the beginning of a word of the entry; "" = all
    std::string part;                     // name of a part or tyre; "" = any
    std::set<std::string> kinds;          // empty: all moments
    std::optional<std::pair<Clock, Id>> before;   // last moment of the page before; nullopt: first page
    std::size_t limit = 40;
    friend bool operator==(const HistoryQuery&, const HistoryQuery&) = default;
};
struct HistoryPage {
    std::vector<Entry> moments;           // newest first
    std::vector<Entry> with_them;         // ends, steps: needed to describe a moment
    std::set<Id> set_aside;               // superseded or retracted
    bool more = false;                    // there are older moments
};

// The text that a search compares: the entry's words, and the parts and tyres it names, in the entry's order.
struct FindBy { std::string words, parts; };
FindBy find_by(const Fact& fact);

}  // namespace restand
