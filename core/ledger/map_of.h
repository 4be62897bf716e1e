#pragma once
// The map from unit length to ride height of one end, from the best description that the bike has. In this
// order: linkage (rear only), table of pairs, leverage ratio, how the front is read and its rake.

#include "core/ledger/ledger.h"
#include "core/machine/linkage_fit.h"

namespace restand {

// Fitted parts that may differ from the bike's description. nullopt and 0: as described.
struct Fitted {
    std::optional<Length> link_rod{};
    Length arm_longer{};               // from the axle position in its slot
};
// The map is not anchored. Errors: missing (subject leverage, detail the end), and those of HeightMap.
Result<HeightMap> map_of(const BikeBody& bike, End end, const Fitted& fitted = {});
// dh/dl of the front: as given, else 1 for heights read along the fork, else cos(rake). nullopt: not known.
std::optional<double> front_ratio(const BikeBody& bike);
// Front heights are read along the fork, not upright. A typed ratio says it itself: along the fork it is 1.
bool reads_along_fork(const BikeBody& bike);
// How far the axle rises upright for 1 mm of ride height: 1, but the rake's cosine where front heights are
// read along the fork. A vertical load counts by it, a tyre's radius by its inverse.
double upright_rise(const BikeBody& bike, End end);
// The table of struts as the linkage is compared with it; empty: none was measured.
LinkageTable strut_table(const BikeBody& bike);
// The linkage with the fitted rod; nullopt: as described.
Linkage linkage_with(Linkage linkage, const std::optional<Length>& rod);

}  // namespace restand
