#pragma once
// How one person's readings of a quantity scatter, learnt from that person's repeats.

#include "core/ledger/ledger.h"

namespace restand {

// The usual spread at the point, pooled with the repeats that `by` read there in the loaded swaps of all
// bikes, at either end (pooled variance: JCGM 100:2008, 4.2.4). nullopt: no repeats yet; the usual spread
// holds.
std::optional<Spread> known_spread(const Ledger& ledger, const Id& by, Point point);

}  // namespace restand
