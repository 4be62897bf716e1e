// The chain's answer, and the bike before and after as set-ups.

#include "core/ledger/swap_answer.h"

#include <algorithm>
#include <cmath>

namespace restand {
namespace {

using P = Point;

void put(SetUp& setup, End end, Point point, StoredReading stored) {
    setup.stale.erase({end, point});
    setup.values[{end, point}] = std::move(stored);
}

// What was read at this phase, over a set-up.
void lay_over(SetUp& setup, const Swap& swap, Phase phase) {
    for (const auto& [spot, stored_readings] : swap.stored_readings)
        if (spot.phase == phase && !stored_readings.empty()) put(setup, spot.end, spot.point, *swap.stored(spot));
    setup.read_with = setup.values;
}

// As it stood; heights that something moved since they were read are where that put them.
SetUp before_of(const SwapSite& site) {
    SetUp setup = site.stood;
    for (const End end : {End::rear, End::front}) {
        const EndHeights stands = heights_of(site.bike, end, site.stood);
        for (std::size_t i = 0; i < ride_heights.size(); ++i) {
            if (!site.stood.stale.contains({end, ride_heights[i]})) continue;
            if (stands[i])
                put(setup, end, ride_heights[i], computed(ride_heights[i], *stands[i]));
            else
                setup.values.erase({end, ride_heights[i]});
        }
    }
    setup.stale.clear();
    lay_over(setup, site.swap, Phase::before);
    return setup;
}

// What the geometry was measured with; what was not read then is taken as it was before the swap.
SetUp described_of(const SwapSite& site, const SetUp& before) {
    SetUp described = site.described;
    described.values.insert(before.values.begin(), before.values.end());
    described.read_with = described.values;
    return described;
}

// With the new parts, standing as high as before: as far as it is known before anything is solved.
SetUp refitted(const SwapSite& site, SetUp setup) {
    // A tyre of which nothing is read is as large as the one before; of another, only its own size and roll count.
    for (const auto& [part, end] :
         {std::pair{SwapPart::rear_tyre, End::rear}, {SwapPart::front_tyre, End::front}}) {
        const auto read = [&, at = end](P point) { return site.swap.stored({Phase::new_part, at, point}) != nullptr; };
        if (!site.swap.has(part) || !(read(P::tyre) || read(P::rolling_circumference))) continue;
        setup.values.erase({end, P::tyre});
        setup.values.erase({end, P::rolling_circumference});
    }
    for (const auto& [spot, stored_readings] : site.swap.stored_readings)
        if (spot.phase == Phase::new_part && !stored_readings.empty() && replaces(site.swap, spot.end, spot.point))
            put(setup, spot.end, spot.point, *site.swap.stored(spot));
    setup.read_with = setup.values;
    return setup;
}

// What an end will do: as answered where the swap sets it, else with its settings as they are.
std::optional<Prediction> predicted(const SwapSite& site, End end) {
    const auto input = case_of(site, end);
    if (!input) return std::nullopt;
    const SwapCase& c = input->swap_case;
    if (!sets(site.swap, end)) return predict(c, c.length.now, c.installed.now);
    const auto answer = restore(c);
    return answer ? std::optional(answer->predicted_detent) : std::nullopt;
}

// And at the heights that follow.
SetUp answered(const SwapSite& site, SetUp setup) {
    for (const End end : ends_of(site.swap))
        if (const auto p = predicted(site, end))
            for (std::size_t i = 0; i < ride_heights.size(); ++i)
                if (const auto& standing = p->standing[i])
                    put(setup, end, ride_heights[i], computed(ride_heights[i], standing->height));
    setup.read_with = setup.values;
    return setup;
}

std::optional<Length> length(const SetUp& setup, Point point) {
    return setup.length(End::rear, point);
}

// With so many links and this much slack at the tight spot, the axle is moved back by this.
struct Placed {
    ChainRun run;
    Angle tight;
    Length arm, by;
    bool in_slot;
};
std::optional<Placed> placed(const SwapSite& site, const ChainNow& was, const ChainNow& fitted, int links,
                             const SetUp& before) {
    Placed p{refitted(was.run, fitted.run.sprockets, links), {}, {}, {}, true};
    if (site.swap.has(SwapPart::chain)) p.run.length = p.run.pitch * links;
    p.tight = tightest_droop(p.run, fitted.full, fitted.top);
    const auto arm = arm_for(p.run, p.tight, was.tight.slack);
    if (!arm) return std::nullopt;
    p.arm = *arm;
    p.by = *arm - was.arm;
    const auto from = length(before, P::axle_position);
    const auto& slot = site.bike.mechanism.slot_length;
    if (from) p.in_slot = *from + p.by >= mm(0) && (!slot || *from + p.by <= *slot);
    return p;
}

// The link counts to try: as read of the new parts, else the old count and its even neighbours, nearest first.
std::vector<int> link_counts(const SwapSite& site, int links) {
    if (const StoredReading* read = site.swap.stored({Phase::new_part, End::rear, P::chain_links}))
        return {static_cast<int>(std::lround(measured(read->reading).value))};
    std::vector<int> list = {links};
    for (int by = 2; by <= 8; by += 2) list.insert(list.end(), {links - by, links + by});
    return list;
}

Error fits_nowhere() {
    return {ErrorCode::no_solution, "chain", "no even count of links near the old one"};
}

// The first count whose axle lies in its slot; none: the one that comes nearest.
Result<Placed> best_placed(const SwapSite& site, const ChainNow& was, const ChainNow& fitted,
                           const SetUp& before) {
    std::optional<Placed> best;
    for (const int links : link_counts(site, was.run.links)) {
        const auto p = placed(site, was, fitted, links, before);
        if (!p) continue;
        // Without the slot's length nobody knows how far back it may go.
        if (p->in_slot && site.bike.mechanism.slot_length && length(before, P::axle_position)) return *p;
        if (!best || abs(p->by) < abs(best->by)) best = p;
    }
    return best ? Result<Placed>(*best) : fits_nowhere();
}

ChainAnswer answer_with(const ChainNow& was, const ChainNow& will, Length by, const SetUp& before) {
    return {.was = was, .will = will, .axle_from = length(before, P::axle_position), .axle_by = by};
}

// Slack hanging and at the tight spot with this run and arm, the wheel hanging as `fitted` hangs.
ChainNow at_arm(const ChainNow& fitted, const ChainRun& run, Length arm) {
    ChainNow now = fitted;
    now.run = run;
    now.arm = arm;
    now.hanging = slack_at(run, arm, now.top);
    now.tight = slack_at(run, arm, tightest_droop(run, now.full, now.top));
    return now;
}

}  // namespace

SwapSite site_of(const Ledger& ledger, const Bike& bike, const Swap& swap) {
    SwapSite site{bike.body, swap, setup_at(swap.bike, ledger.facts_of(swap.bike), swap.started), {}};
    const Baseline* ground = ledger.baseline(site.stood.baseline);
    site.described = ground ? setup_of(*ground) : site.stood;
    return site;
}

const StoredReading* stored_at(const SwapSite& site, End end, Phase phase, Point point) {
    if (const StoredReading* own = site.swap.stored({phase, end, point})) return own;
    if (phase != Phase::before || site.stood.stale.contains({end, point})) return nullptr;
    return site.stood.stored(end, point);
}

namespace {

// The chain before, and where the axle goes with the new parts, the wheel hanging as before.
struct Layout {
    SetUp before, described;
    ChainNow was, fitted;
    std::optional<Placed> place;  // nullopt: the swap leaves chain and sprockets
};
Result<Layout> laid(const SwapSite& site) {
    const SetUp before = before_of(site), described = described_of(site, before);
    const auto was = chain_of(site.bike, before, described, before);
    if (!was) return was.error();
    const auto fitted = chain_of(site.bike, refitted(site, before), described, before);
    if (!fitted) return fitted.error();
    Layout all{before, described, *was, *fitted, {}};
    if (!refits_chain(site.swap)) return all;
    const auto place = best_placed(site, *was, *fitted, before);
    if (!place) return place.error();
    all.place = *place;
    return all;
}

// The whole bike after it: new parts, axle and heights as answered.
SetUp after_of(const SwapSite& site, const Layout& all) {
    SetUp after = answered(site, refitted(site, all.before));
    if (const auto from = length(all.before, P::axle_position); from && all.place)
        put(after, End::rear, P::axle_position, computed(P::axle_position, *from + all.place->by));
    after.read_with = after.values;
    return after;
}

}  // namespace

Result<Length> axle_moved_by(const SwapSite& site) {
    const auto all = laid(site);
    if (!all) return all.error();
    return all->place ? all->place->by : mm(0);
}

// The wheel hangs where the answer puts it: a longer unit lets it lower, and the slack on the stand is read there.
Result<ChainAnswer> chain_answer_of(const SwapSite& site) {
    const auto all = laid(site);
    if (!all) return all.error();
    const auto hangs = chain_of(site.bike, after_of(site, *all), all->described, all->before);
    const ChainNow& now = hangs ? *hangs : all->fitted;
    if (!all->place) return answer_with(all->was, now, mm(0), all->before);
    ChainAnswer answer =
        answer_with(all->was, at_arm(now, all->place->run, all->place->arm), all->place->by, all->before);
    answer.in_slot = all->place->in_slot;
    answer.by_count = site.swap.has(SwapPart::chain);
    return answer;
}

std::optional<Attitudes> attitudes_of(const SwapSite& site) {
    const SetUp before = before_of(site), described = described_of(site, before);
    const auto all = laid(site);
    const SetUp after = all ? after_of(site, *all) : answered(site, refitted(site, before));
    const auto was = chassis_of(site.bike, before, described), will = chassis_of(site.bike, after, described);
    if (!was || !will) return std::nullopt;
    for (const State state : {State::rider, State::static_}) {
        const auto a = was->in(state), b = will->in(state);
        if (a && b) return Attitudes{state, *a, *b};
    }
    return std::nullopt;
}

}  // namespace restand
