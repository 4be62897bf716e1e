// The chain's answer, and the bike before and after as set-ups.

#include "core/ledger/swap_answer.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

namespace restand {
namespace {

using P = Point;

constexpr std::array heights = {P::ride_height_topped_out, P::ride_height_static, P::ride_height_rider};  // by State

// A computed number as a reading of its own, exact.
Take computed(Point point, double value, Unit unit) {
    char text[32];
    const auto end = std::to_chars(text, text + sizeof text, value, std::chars_format::fixed, 6).ptr;
    return {{point, {Typed{std::string(text, end), unit}}, {}, {}}, {}, {}, 0, {}, false};
}

void put(SetUp& setup, End end, Point point, Take take) {
    setup.stale.erase({end, point});
    setup.values[{end, point}] = std::move(take);
}

// What was read at this phase, over a set-up.
void lay_over(SetUp& setup, const Swap& swap, Phase phase) {
    for (const auto& [spot, takes] : swap.takes)
        if (spot.phase == phase && !takes.empty()) put(setup, spot.end, spot.point, *swap.take(spot));
    setup.read_with = setup.values;
}

SetUp before_of(const SwapSite& site) {
    SetUp setup = site.stood;
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
    for (const auto& [spot, takes] : site.swap.takes)
        if (spot.phase == Phase::new_part && !takes.empty() && replaces(site.swap, spot.end, spot.point))
            put(setup, spot.end, spot.point, *site.swap.take(spot));
    // A tyre of which nothing is known is as large as the one before.
    setup.read_with = setup.values;
    return setup;
}

// And at the heights and settings that the ends' answers give.
SetUp answered(const SwapSite& site, SetUp setup) {
    for (const End end : {End::rear, End::front}) {
        const auto input = case_of(site, end);
        const auto answer = input ? restore(input->swap_case) : Result<Answer>(input.error());
        if (!answer) continue;
        for (std::size_t i = 0; i < heights.size(); ++i)
            if (const auto& standing = answer->predicted_detent.standing[i])
                put(setup, end, heights[i], computed(heights[i], in_mm(standing->height), Unit::mm));
    }
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
std::optional<Placed> placed(const SwapSite& site, const ChainNow& was, const ChainNow& fitted, int links, const SetUp& before) {
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
std::vector<int> counts(const SwapSite& site, int links) {
    if (const Take* read = site.swap.take({Phase::new_part, End::rear, P::chain_links}))
        return {static_cast<int>(std::lround(measured(read->reading).value))};
    std::vector<int> list = {links};
    for (int by = 2; by <= 8; by += 2) list.insert(list.end(), {links - by, links + by});
    return list;
}

Error fits_nowhere() {
    return {ErrorCode::no_solution, "chain", "no even count of links near the old one"};
}

// The first count whose axle lies in its slot; none: the one that comes nearest.
Result<Placed> best_placed(const SwapSite& site, const ChainNow& was, const ChainNow& fitted, const SetUp& before) {
    std::optional<Placed> best;
    for (const int links : counts(site, was.run.links)) {
        const auto p = placed(site, was, fitted, links, before);
        if (!p) continue;
        if (p->in_slot && length(before, P::axle_position)) return *p;
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

Result<ChainAnswer> chain_answer_of(const SwapSite& site) {
    const SetUp before = before_of(site);
    const SetUp described = described_of(site, before);
    const auto was = chain_of(site.bike, before, described, before);
    if (!was) return was.error();
    const auto fitted = chain_of(site.bike, refitted(site, before), described, before);
    if (!fitted) return fitted.error();
    if (!refits_chain(site.swap)) {
        const auto will = chain_of(site.bike, answered(site, refitted(site, before)), described, before);
        return answer_with(*was, will ? *will : *fitted, mm(0), before);
    }
    const auto place = best_placed(site, *was, *fitted, before);
    if (!place) return place.error();
    ChainAnswer answer = answer_with(*was, at_arm(*fitted, place->run, place->arm), place->by, before);
    answer.in_slot = place->in_slot;
    answer.by_count = site.swap.has(SwapPart::chain);
    return answer;
}

std::optional<Attitudes> attitudes_of(const SwapSite& site) {
    const SetUp before = before_of(site);
    const SetUp described = described_of(site, before);
    SetUp after = answered(site, refitted(site, before));
    if (const auto chain = chain_answer_of(site); chain && chain->axle_from)
        put(after, End::rear, P::axle_position,
            computed(P::axle_position, in_mm(*chain->axle_from + chain->axle_by), Unit::mm));
    after.read_with = after.values;
    const auto was = chassis_of(site.bike, before, described), will = chassis_of(site.bike, after, described);
    if (!was || !will) return std::nullopt;
    for (const State state : {State::rider, State::static_}) {
        const auto a = was->in(state), b = will->in(state);
        if (a && b) return Attitudes{state, *a, *b};
    }
    return std::nullopt;
}

}  // namespace restand
