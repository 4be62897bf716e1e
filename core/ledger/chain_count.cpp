#include "core/ledger/chain_count.h"

#include <algorithm>
#include <cmath>

namespace restand {
namespace {

using P = Point;

std::optional<double> measured_value(const StoredReading* read) {
    return read ? std::optional(measured(read->reading).value) : std::nullopt;
}
std::optional<double> rear_number(const SwapSite& site, Phase phase, Point point) {
    return measured_value(site.swap.stored({phase, End::rear, point}));
}

std::optional<int> teeth(const SwapSite& site, Phase phase, const SetUp& before, Point point) {
    auto count = phase == Phase::before ? std::nullopt : rear_number(site, Phase::new_part, point);
    if (!count) count = measured_value(before.stored(End::rear, point));
    return count ? std::optional(static_cast<int>(std::lround(*count))) : std::nullopt;
}

bool confirmed(const SwapSite& site, int links) {
    const auto is = [links](const StoredReading* read) {
        return read && read->confirmed && std::lround(*measured_value(read)) == links;
    };
    if (is(site.stood.stored(End::rear, P::chain_links))) return true;
    const auto& all = site.swap.stored_readings;
    return std::any_of(all.begin(), all.end(), [&](const auto& one) {
        return one.first.point == P::chain_links && is(site.swap.stored(one.first));
    });
}

// Places of the axle in its slot that come into question, and the one where it is or was.
struct Axle {
    Length now, least, most;
};
std::optional<Axle> axle_of(const SwapSite& site, Phase phase, const SetUp& before) {
    const auto was = measured_value(before.stored(End::rear, P::axle_position)),
               set = rear_number(site, Phase::set, P::axle_position);
    if (!was) return std::nullopt;
    if (phase == Phase::before) return Axle{mm(*was), mm(*was), mm(*was)};
    if (phase == Phase::set && set) return Axle{mm(*set), mm(*set), mm(*set)};
    const auto& slot = site.bike.mechanism.slot_length;
    return slot ? std::optional(Axle{mm(*was), mm(0), *slot}) : std::nullopt;
}

}  // namespace

std::optional<int> links_instead(const SwapSite& site, Phase phase, int links) {
    const SetUp before = before_of(site), described = described_of(site, before);
    const auto front = teeth(site, phase, before, P::sprocket_front),
               rear = teeth(site, phase, before, P::sprocket_rear);
    const auto axle = axle_of(site, phase, before);
    if (!front || !rear || !axle || confirmed(site, links)) return std::nullopt;
    ChainRun run;
    run.sprockets = {*front, *rear};
    run.pitch = site.bike.mechanism.pitch();
    run.links = links;
    if (!check_sizes(run)) return std::nullopt;
    const auto needed = [&](Length place) {
        SetUp at = before;
        at.values[{End::rear, P::axle_position}] = computed(P::axle_position, place);
        const auto centre = sprocket_to_axle(site.bike, at, described);
        return centre ? needed_length(run, *centre) : centre;
    };
    const auto now = needed(axle->now), least = needed(axle->least), most = needed(axle->most);
    if (!now || !least || !most || plausible_links(links, run.pitch, *least, *most)) return std::nullopt;
    return even_links(run.pitch, *now, *least, *most);
}

}  // namespace restand
