#pragma once
// Two readings of one part that cannot both be right, found while one of them is typed.

#include <functional>
#include <optional>

#include "core/ledger/swap.h"

namespace restand {

// The reading of a point of the part; nullptr: not read.
using ReadingOf = std::function<const Reading*(Point)>;

// `small` is read larger than `large`, and cannot be: a spring is no longer installed than free, its coils
// touch at less than either, an adjuster is within its range, and an end stands no higher with more load on
// it (height_slack is within two readings).
struct OutOfOrder { Point small, large; Length small_is, large_is; };
// Of the pairs that `typed` belongs to, the first that is out of order; nullopt: none.
std::optional<OutOfOrder> out_of_order(Point typed, const ReadingOf& read);

// The preload by free and installed length, which counts (fitted_unit.h), and as it was read itself or by the
// collar's turns.
struct TwoPreloads { Length by_lengths, read; };
// nullopt: `typed` has no part in it, it is not read in both ways, or the two are no further apart than the
// uncertainties of the readings allow (95 %).
std::optional<TwoPreloads> two_preloads(Point typed, const ReadingOf& read);
// The preload that follows from free and installed length; nullopt: one is not read.
std::optional<Length> preload_by_lengths(const ReadingOf& read);

// What this step of a swap has read at one end; a preload that is set goes with the new spring's lengths.
// Valid as long as `swap`.
ReadingOf readings_in(const Swap& swap, Phase phase, End end);

}  // namespace restand
