#pragma once
// How the height of one end follows its unit's length, by the best description the bike has: its table of
// pairs, else its ratio, else at the front the rake.

#include "core/ledger/ledger.h"

namespace restand {

// Not anchored. Error missing (subject leverage, detail the end), or as HeightMap's own.
Result<HeightMap> map_of(const BikeBody& bike, End end);

}  // namespace restand
