#pragma once
// Two moments of one bike, or of two bikes: what differs, by how much, and is the difference real?
//
//   real: |is − was| > √(U_was² + U_is²), both at 95 %; the same instrument's share cancels on one bike
//   (reading.h). Names differ or not.

#include "core/ledger/setup.h"

namespace restand {

// Computed from a set-up's values; keys as in files.
enum class Derived { preload, free_sag, rider_sag, final_drive, spring_rate_at_wheel };
std::string_view key(Derived what);
// mm, ratio, N/mm; nullopt: not known. Rate at the wheel needs the bike's map.
std::optional<Measured> derived(Derived what, End end, const SetUp& setup, const BikeBody* bike);

struct Difference {
    End end;
    std::variant<Point, Derived> what;
    std::optional<StoredReading> was, is;             // of a point
    std::optional<double> was_value, is_value;   // canonical; nullopt: a name, or not known on that side
    std::optional<double> change;            // is − was
    std::optional<double> expanded;          // √(U² + U²) of the change
    bool differs = false;                    // other number or other name, or known on one side only
    bool real = false;                       // beyond what the readings can tell
};
struct Comparison {
    std::vector<Difference> changed, same;   // in the order of the points; derived ones behind
};
// `was_bike`, `is_bike`: may be nullptr; the same pointer or id when it is one bike.
Comparison compare(const SetUp& was, const BikeBody* was_bike, const SetUp& is, const BikeBody* is_bike);

}  // namespace restand
