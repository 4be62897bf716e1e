#pragma once
// How the height of one end follows its unit's length, by the best description the bike has: at the rear its linkage,
// else its table of pairs, else its ratio, else at the front the rake.

#include "core/ledger/ledger.h"

namespace restand {

// What may be fitted otherwise than the bike is described; nullopt and 0: as described.
struct Fitted {
    std::optional<Length> link_rod{};
    Length arm_longer{};               // by the axle in its slot
};
// Not anchored. Error missing (subject leverage, detail the end), or as HeightMap's own.
Result<HeightMap> map_of(const BikeBody& bike, End end, const Fitted& fitted = {});
// The bike's linkage with the rod that is fitted.
Linkage linkage_with(Linkage linkage, const std::optional<Length>& rod);

}  // namespace restand
