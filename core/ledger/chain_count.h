#pragma once
// A count of links that was typed, against the length that the chain's run needs.
//
//   before the swap    at the axle as it was read
//   of a new part      anywhere in the slot, on the new sprockets where they were read
//   set                at the axle as it was set, else anywhere in the slot

#include <optional>

#include "core/ledger/swap_site.h"

namespace restand {

// An even count that fits where `links` is not plausible (machine/chain.h). nullopt: it is plausible; or the
// same count was confirmed in this swap or before it; or sprockets, axle, arm or hanging height is not known.
std::optional<int> links_instead(const SwapSite& site, Phase phase, int links);

}  // namespace restand
