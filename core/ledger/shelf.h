#pragma once
// The team's shelf: parts that were measured, and wait or are fitted somewhere. What is asked of each kind of part is
// what a swap asks of a new one (swap.h); picked in a swap, its readings are the new part's.

#include "core/ledger/ledger.h"

namespace restand {

// What is measured of a part on the shelf: of what a swap asks on the bench, all that goes with the part.
std::vector<Point> shelf_points(SwapPart part);
const Reading* value_of(const ShelfBody& body, Point point);   // nullptr: not measured

// Fitted by the newest kept swap that picked it, as long as no later one put another part in its place: none swapped
// such a part, or the bike's set-up still has all its numbers (a sprocket stays while the other goes). The readings of swaps that are closed need not be loaded.
struct OnBike { Id bike; std::int64_t since_ms = 0; };
std::optional<OnBike> on_bike(const Ledger& ledger, const ShelfItem& item);

// What the shelf has for one part of a swap: those that are on no bike first, then by name.
std::vector<const ShelfItem*> shelf_for(const Ledger& ledger, SwapPart part);

// A pick as entries: that it was picked, and its readings as the new part's.
std::vector<Body> picked(const ShelfItem& item, const Swap& swap);
// What it takes the place of: earlier picks of such a part, and what was read of those. Two sprockets are two parts.
std::vector<Id> unpicked(const Ledger& ledger, const ShelfItem& item, const Swap& swap);

}  // namespace restand
