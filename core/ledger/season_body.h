#pragma once
// The content of what is entered between swaps: changes, events, parts with a service limit, the shelf,
// restore plans, records.

#include <optional>
#include <string>
#include <vector>

#include "core/ledger/swap.h"

namespace restand {

// The new value of a point at one end of the bike.
struct SetValue {
    End end = End::rear;
    Reading reading;
    friend bool operator==(const SetValue&, const SetValue&) = default;
};
// Settings changed outside a swap, between two sessions.
struct ChangeBody {
    std::string note;
    std::vector<SetValue> values;
    friend bool operator==(const ChangeBody&, const ChangeBody&) = default;
};

// An event of the bike, such as a session: words to search by, and the use that wears its parts.
struct EventBody {
    std::string day;                     // "2026-03-14"
    std::string circuit, session, weather, tyre, words;
    std::optional<double> distance_km, running_h;
    std::optional<double> air_c, track_c;  // °C
    friend bool operator==(const EventBody&, const EventBody&) = default;
};

// A part with a service limit. Its first entry gives it its id. Later entries name the id in `about` and
// supersede the entry before; 'serviced' is a new entry with the use reset. Use grows with the bike's events
// since the entry.
struct PartBody {
    std::string name;
    std::optional<double> limit_km, limit_h;
    double used_km = 0, used_h = 0;      // when this entry was made
    bool gone = false;                   // no longer on the bike
    friend bool operator==(const PartBody&, const PartBody&) = default;
};

// A measured part on the team's shelf, with the readings that a swap asks of a new part; of no bike. Its
// first entry gives it its id. Later entries name the id in `about` and supersede the entry before.
struct ShelfBody {
    SwapPart part = SwapPart::shock;     // its kind in a swap
    std::string name;
    std::vector<Reading> values;
    bool gone = false;                   // sold, worn out, lost
    friend bool operator==(const ShelfBody&, const ShelfBody&) = default;
};

// A restore plan to an earlier entry was started. Its steps and its end name it in `about`. A step holds the
// values that it set.
struct PlanBody { Id target; friend bool operator==(const PlanBody&, const PlanBody&) = default; };
struct PlanStepBody {
    std::string action;                  // key of the action (restore_plan.h)
    std::vector<SetValue> values;
    friend bool operator==(const PlanStepBody&, const PlanStepBody&) = default;
};
struct PlanEndBody {
    bool reached;
    bool not_restored = false;           // heights were measured, and are not those of the target
    friend bool operator==(const PlanEndBody&, const PlanEndBody&) = default;
};

// Readings from before the ledger, imported from a table. They never change the bike's set-up.
struct RecordBody {
    std::string day;                     // "2025-09-02"
    std::string source;                  // name of the table
    std::vector<SetValue> values;
    friend bool operator==(const RecordBody&, const RecordBody&) = default;
};

}  // namespace restand
