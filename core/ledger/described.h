#pragma once
// The set-up with which a bike's geometry was measured. Wheelbase, rake and pivot height depend on how the
// bike stands: a geometry holds for the axle position, fork position, tyres and ride heights of one moment.
//
// Rules
//   1  The moment is when the geometry was typed: the oldest of the bike's entries that have it as it is now.
//   2  If the static height of an end was not known then, it is the first baseline after it that has both;
//      a bike is often described before its heights are read.
//   3  Without such a baseline it is the newest one.

#include <optional>
#include <vector>

#include "core/ledger/setup.h"

namespace restand {

// When the geometry of the newest of a bike's own entries (kind "bike") was typed. Others among `entries` do
// not count; any order. The zero clock: there is none.
Clock geometry_typed(std::vector<const Fact*> entries);
Clock geometry_typed(const Ledger& ledger, const Id& bike);

// nullopt: rule 3 finds no baseline. `until`: no baseline after it counts by rules 2 and 3; the start of a
// swap, because the swap's own baseline must not move what the swap was computed with.
std::optional<SetUp> setup_described(const Ledger& ledger, const Id& bike, Clock until = latest);

// True if it has the static height of both ends (rule 2).
bool describes(const BaselineBody& baseline);

}  // namespace restand
