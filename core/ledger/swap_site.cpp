#include "core/ledger/swap_site.h"

#include <algorithm>

#include "core/ledger/checked_swap.h"
#include "core/ledger/described.h"
#include "core/ledger/fitted_unit.h"

namespace restand {
namespace {

const StoredReading* newer_of(const StoredReading* a, const StoredReading* b) {
    return !b || (a && b->at < a->at) ? a : b;
}

std::optional<double> measured_number(const SwapSite& site, End end, Phase phase, Point point) {
    const StoredReading* stored = stored_at(site, end, phase, point);
    return stored ? std::optional(measured(stored->reading).value) : std::nullopt;
}

bool has_free_length(const SwapSite& site, End end) {
    const Phase phase = replaces(site.swap, end, Point::spring_free_length) ? Phase::new_part : Phase::before;
    return stored_at(site, end, phase, Point::spring_free_length) ||
           (phase == Phase::before && stored_at(site, end, phase, Point::spring_installed_length));
}

bool known(const SwapSite& site, const ReadAt& spot) {
    const Phase phase = spot.phase;
    const End end = spot.end;
    const Point point = spot.point;
    if (stored_at(site, end, phase, point)) return true;
    // Without a height before there is nothing to judge one after by.
    if (phase == Phase::check && is_ride_height(point)) return !stored_at(site, end, Phase::before, point);
    const bool of_preload = point == Point::spring_free_length || point == Point::spring_installed_length;
    return phase == Phase::before && of_preload &&
           preload_of([&](Point p) { return measured_number(site, end, Phase::before, p); });
}

std::vector<ReadAt> not_known(const SwapSite& site, std::vector<ReadAt> spots) {
    std::erase_if(spots, [&](const ReadAt& spot) { return known(site, spot); });
    // A spring whose length nobody knows is set by its preload.
    for (ReadAt& spot : spots)
        if (spot.phase == Phase::set && spot.point == Point::spring_installed_length &&
            !has_free_length(site, spot.end))
            spot.point = Point::spring_preload;
    return spots;
}

}  // namespace

SwapSite site_of(const Ledger& ledger, const Bike& bike, const Swap& swap) {
    SwapSite site{bike.body, swap, setup_at(swap.bike, ledger.facts_of(swap.bike), swap.started), {}};
    site.described = setup_described(ledger, swap.bike, swap.started).value_or(site.stood);
    return site;
}

const StoredReading* read_at(const Swap& swap, End end, Phase phase, Point point) {
    if (!is_of_bike(point)) return swap.stored({phase, end, point});
    return newer_of(swap.stored({phase, End::rear, point}), swap.stored({phase, End::front, point}));
}

const StoredReading* stored_at(const SwapSite& site, End end, Phase phase, Point point) {
    if (const StoredReading* own = read_at(site.swap, end, phase, point)) return own;
    if (phase != Phase::before) return nullptr;
    const auto stood = [&](End at) {
        return site.stood.stale.contains({at, point}) ? nullptr : site.stood.stored(at, point);
    };
    return is_of_bike(point) ? newer_of(stood(End::rear), stood(End::front)) : stood(end);
}

std::vector<ReadAt> missing(const SwapSite& site, Phase phase) {
    return not_known(site, missing(site.swap, phase));
}

std::vector<ReadAt> unread(const SwapSite& site, Phase phase) {
    auto spots = not_known(site, unread(site.swap, phase));
    if (phase != Phase::check) return spots;
    // Without the rider's height before it is static that can be judged.
    for (const End end : ends_of(site.swap)) {
        const auto before = [&, end](Point point) { return stored_at(site, end, Phase::before, point); };
        const ReadAt still{phase, end, Point::ride_height_static};
        if (sets(site.swap, end) && !before(Point::ride_height_rider) && before(still.point) &&
            !site.swap.stored(still))
            spots.push_back(still);
    }
    const ReadAt slack{phase, End::rear, Point::chain_slack};
    if (refits_chain(site.swap) && site.swap.stored(slack) && !slack_read(site, phase))
        spots.push_back(slack);
    return spots;
}

const StoredReading* slack_read(const SwapSite& site, Phase phase) {
    const StoredReading* read = site.swap.stored({phase, End::rear, Point::chain_slack});
    const bool counts = read && slack_set_after(site.swap, read->at, site.bike.how_read.stand()).empty();
    return counts ? read : nullptr;
}

bool is_height_left(const std::vector<ReadAt>& left, End end) {
    return std::any_of(left.begin(), left.end(),
                       [end](const ReadAt& spot) { return spot.end == end && is_ride_height(spot.point); });
}

SetUp before_of(const SwapSite& site) {
    SetUp setup = expected(site.bike, site.stood, site.described);
    for (const auto& [spot, stored_readings] : site.swap.stored_readings)
        if (spot.phase == Phase::before && !stored_readings.empty()) {
            setup.stale.erase({spot.end, spot.point});
            setup.values[{spot.end, spot.point}] = *site.swap.stored(spot);
        }
    setup.read_with = setup.values;
    setup.at_slack.reset();
    return setup;
}

SetUp described_of(const SwapSite& site, const SetUp& before) {
    SetUp described = site.described;
    described.values.insert(before.values.begin(), before.values.end());
    described.read_with = described.values;
    return described;
}

}  // namespace restand
