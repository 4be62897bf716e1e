#include "core/ledger/swap_site.h"

namespace restand {

SwapSite site_of(const Ledger& ledger, const Bike& bike, const Swap& swap) {
    SwapSite site{bike.body, swap, setup_at(swap.bike, ledger.facts_of(swap.bike), swap.started), {}};
    site.described = setup_described(ledger, swap.bike, swap.started).value_or(site.stood);
    return site;
}

const StoredReading* stored_at(const SwapSite& site, End end, Phase phase, Point point) {
    if (const StoredReading* own = site.swap.stored({phase, end, point})) return own;
    if (phase != Phase::before || site.stood.stale.contains({end, point})) return nullptr;
    return site.stood.stored(end, point);
}

}  // namespace restand
