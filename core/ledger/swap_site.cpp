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

SetUp before_of(const SwapSite& site) {
    SetUp setup = as_it_stands(site.bike, site.stood);
    for (const auto& [spot, stored_readings] : site.swap.stored_readings)
        if (spot.phase == Phase::before && !stored_readings.empty())
            setup.values[{spot.end, spot.point}] = *site.swap.stored(spot);
    setup.read_with = setup.values;
    return setup;
}

SetUp described_of(const SwapSite& site, const SetUp& before) {
    SetUp described = site.described;
    described.values.insert(before.values.begin(), before.values.end());
    described.read_with = described.values;
    return described;
}

}  // namespace restand
