#pragma once
// Compares two moments of one bike, or of two bikes: what differs, by how much, and whether that is real.
//
//   real: |is − was| > √(U_was² + U_is²), both at 95 %. On one bike the shared error of the same instrument
//   cancels (reading.h). Names have no uncertainty: another name is a real difference.

#include "core/ledger/setup.h"

namespace restand {

// Values computed from a set-up. key() gives the key used in files.
enum class Derived { preload, free_sag, rider_sag, final_drive, spring_rate_at_wheel };
std::string_view key(Derived what);
// Unit by kind: mm, ratio, N/mm. nullopt: not known. The rate at the wheel needs the bike's height map.
std::optional<Measured> derived(Derived what, End end, const SetUp& setup, const BikeBody* bike);

struct Difference {
    End end;
    std::variant<Point, Derived> what;
    std::optional<StoredReading> was, is;             // of a point
    std::optional<double> was_value, is_value;   // canonical; nullopt: a name, or not known on that side
    std::optional<double> change;            // is − was
    std::optional<double> expanded;          // √(U² + U²) of the change
    bool differs = false;                    // another number or name, or known on one side only
    bool real = false;                       // the change is larger than the uncertainty
};
struct Comparison {
    std::vector<Difference> changed, same;   // rear, then front; per end the points, then derived values
};
// `was_bike`, `is_bike`: may be nullptr. It is one bike if both set-ups have the same bike id.
Comparison compare(const SetUp& was, const BikeBody* was_bike, const SetUp& is, const BikeBody* is_bike);

}  // namespace restand
