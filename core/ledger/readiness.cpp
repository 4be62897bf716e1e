#include "core/ledger/readiness.h"

#include <algorithm>
#include <array>

#include "core/ledger/chassis.h"
#include "core/ledger/day.h"
#include "core/ledger/described.h"
#include "core/machine/chain.h"

namespace restand {

namespace {

struct RuleFacts {
    ReadyRule rule;
    std::string_view key;
    std::optional<Milestone> from;
};
using enum ReadyRule;
constexpr std::array<RuleFacts, ready_rule_count> rules = {{
    {open_job, "open_job", std::nullopt},
    {open_swap, "open_swap", Milestone::dyno},
    {open_way, "open_way", Milestone::shakedown},
    {not_verified, "not_verified", Milestone::shakedown},
    {no_heights, "no_heights", Milestone::shakedown},
    {heights_moved, "heights_moved", Milestone::shakedown},
    {heights_old, "heights_old", Milestone::scrutineering},
    {coils_touch, "coils_touch", Milestone::shakedown},
    {beyond_adjuster, "beyond_adjuster", Milestone::shakedown},
    {chain_short, "chain_short", Milestone::dyno},
    {chain_new, "chain_new", Milestone::scrutineering},  // the shakedown is its first run
    {chain_worn, "chain_worn", Milestone::dyno},
    {part_due, "part_due", Milestone::dyno},
    {two_baselines, "two_baselines", Milestone::shakedown},
    {two_descriptions, "two_descriptions", Milestone::shakedown},
}};

// Collects what counts for one milestone.
struct Items {
    const Ledger& ledger;
    const Bike& bike;
    Milestone milestone;
    const SetUp now;
    std::vector<ReadyItem> items{};

    void add(ReadyItem item) {
        const auto from = counts_from(item.rule);
        if (from && !counts_for(*from, milestone)) return;
        items.push_back(std::move(item));
    }
    void jobs(std::span<const OpenJob> jobs) {
        for (const OpenJob& open : jobs)
            if (open.needed && counts_for(*open.needed, milestone))
                add({.rule = open_job, .subject = open.job->id, .name = open.job->body.what});
    }
    void unfinished() {
        if (const Swap* swap = ledger.open_swap(bike.id)) add({.rule = open_swap, .subject = swap->id});
        if (const RestorePlan* plan = ledger.open_plan(bike.id)) add({.rule = open_way, .subject = plan->id});
        const Baseline* last = ledger.newest_baseline(bike.id);
        if (last && last->body.judged != Judged::not_said && last->body.judged != Judged::restored)
            add({.rule = not_verified, .subject = last->id});
    }
    void heights(std::int64_t now_ms) {
        for (const End end : {End::rear, End::front}) {
            std::int64_t oldest = INT64_MAX;  // of the bike on its wheels; topped out says only the length
            bool moved = false;
            for (const Point height : {Point::ride_height_static, Point::ride_height_rider})
                if (const StoredReading* read = now.stored(end, height)) {
                    oldest = std::min(oldest, read->at.ms);
                    moved = moved || now.stale.contains({end, height});
                }
            if (oldest == INT64_MAX) {
                add({.rule = no_heights, .end = end});
                continue;
            }
            if (moved && moved_since_read(now, end)) add({.rule = heights_moved, .end = end});
            const std::int64_t days = (now_ms - oldest) / day_ms;
            if (days > heights_keep_days)
                add({.rule = heights_old, .end = end, .amount = static_cast<double>(days)});
        }
    }
    void settings() {
        for (const End end : {End::rear, End::front})
            if (const auto apart = coils_apart(now, end); apart && *apart < mm(0))
                add({.rule = coils_touch, .end = end, .amount = -in_mm(*apart)});
        if (cannot_be_set(bike.body, now)) add({.rule = beyond_adjuster});
    }
    void chain() {
        const SetUp described = setup_described(ledger, bike.id).value_or(now);
        if (const auto run = chain_of(bike.body, now, described); run && run->too_short())
            add({.rule = chain_short, .amount = -in_mm(run->tight.excess)});
        if (new_chain_due(ledger, now)) add({.rule = chain_new});
        const auto length = now.length(End::rear, Point::chain_gauge_length);
        const auto links = now.number(End::rear, Point::chain_gauge_links);
        const auto limit = bike.body.chain_limit_percent;
        if (!length || !links || !limit || *links < 1) return;
        const double worn =
            elongation_percent(bike.body.mechanism.pitch(), static_cast<int>(*links), *length);
        if (worn >= *limit) add({.rule = chain_worn, .amount = worn});
    }
    void parts(std::span<const PartUse> uses) {
        for (const PartUse& use : uses)
            if (use.share >= 1)
                add({.rule = part_due, .subject = use.part, .name = use.name, .amount = use.share});
    }
    void rivals() {
        const Baseline* last = ledger.newest_baseline(bike.id);
        if (last && rivals_of(ledger, *last).size() > 1) add({.rule = two_baselines, .subject = last->id});
        if (!bike.rivals.empty()) add({.rule = two_descriptions});
    }
};

}  // namespace

std::string_view key(ReadyRule rule) {
    return rules[static_cast<std::size_t>(rule)].key;
}

std::optional<Milestone> counts_from(ReadyRule rule) {
    return rules[static_cast<std::size_t>(rule)].from;
}

std::vector<ReadyItem> ready_items(const Ledger& ledger, const Bike& bike, Milestone milestone,
                                   const ReadyFrom& from) {
    Items found{ledger, bike, milestone, setup_now(ledger, bike.id)};
    found.jobs(from.jobs);
    found.unfinished();
    found.heights(from.now_ms);
    found.settings();
    found.chain();
    found.parts(from.parts);
    found.rivals();
    return std::move(found.items);
}

bool new_chain_due(const Ledger& ledger, const SetUp& now) {
    const auto swaps = ledger.swaps(now.bike);  // newest first
    const auto fitted = std::find_if(swaps.begin(), swaps.end(), [](const Swap* swap) {
        return swap->kept && swap->has(SwapPart::chain);
    });
    if (fitted == swaps.end()) return false;
    const StoredReading* slack = now.stored(End::rear, Point::chain_slack);
    return !slack || slack->swap == (*fitted)->id || slack->at < (*fitted)->started;
}

}  // namespace restand
