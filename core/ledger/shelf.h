#pragma once
// The team's shelf: measured parts, free or fitted to a bike. The readings of each kind of part are those
// that a swap asks of a new part (swap.h). When a swap picks a part, its readings become the new part's.

#include "core/ledger/ledger.h"

namespace restand {

// The kinds of part that lie on a shelf; oil and a load do not.
inline constexpr SwapPart shelf_parts[] = {SwapPart::shock,     SwapPart::shock_spring, SwapPart::link_rod,
                                           SwapPart::rear_tyre, SwapPart::sprockets,    SwapPart::chain,
                                           SwapPart::fork,      SwapPart::fork_springs, SwapPart::front_tyre};
// The points measured of a part on the shelf: those a swap asks of a new part that belong to the part itself.
std::vector<Point> shelf_points(SwapPart part);
const Reading* value_of(const ShelfBody& body, Point point);   // nullptr: not measured

// The bike that the item is fitted to, by the newest kept swap that picked it; nullopt: none. The item counts
// as removed if a later kept swap on that bike swapped such a part and the bike's set-up no longer has all
// the item's numbers. (One sprocket may stay while the other is replaced.) The readings of closed swaps need
// not be loaded.
struct OnBike { Id bike; std::int64_t since_ms = 0; };
std::optional<OnBike> on_bike(const Ledger& ledger, const ShelfItem& item);

// The shelf's items for one part of a swap: items on no bike first, then by name.
std::vector<const ShelfItem*> shelf_for(const Ledger& ledger, SwapPart part);

// The part that a kept swap took off, with what the swap read of it; its name is empty if none was read.
// nullopt: nothing was read of it, it is no part for a shelf, or the shelf has it: it was picked into this
// bike before, or an item has the same numbers.
std::optional<ShelfBody> taken_off(const Ledger& ledger, const Swap& swap, SwapPart part);

// The bodies to write for a pick: the pick itself, and the item's readings as the new part's.
std::vector<Body> picked(const ShelfItem& item, const Swap& swap);
// The entries that a pick replaces: earlier picks of such a part, with readings. Two sprockets are two parts.
std::vector<Id> unpicked(const Ledger& ledger, const ShelfItem& item, const Swap& swap);

}  // namespace restand
