#pragma once
// What speaks against taking a bike out, as far as it is recorded. A rule says from which milestone on it
// counts; each is common practice, no source. The list says what is known and no more: the licensed person
// and the event's rules decide.

#include <span>

#include "core/ledger/jobs.h"
#include "core/ledger/trend.h"

namespace restand {

enum class ReadyRule {
    open_job,            // it has to be done before then. `subject`: the job
    open_swap,           // parts are out, or not set yet. `subject`: the swap
    open_way,            // a restore plan is under way
    not_verified,        // kept without being checked, or not restored. `subject`: the baseline
    no_heights,          // an end of which neither the static nor the rider's height is known
    heights_moved,       // an end whose settings changed since its heights were read
    heights_old,         // the static or the rider's height is older than they keep. `amount`: days
    coils_touch,         // before full travel. `amount`: by how many mm
    beyond_adjuster,     // a setting that no part fitted can have
    chain_short,         // no slack is left at the tight spot. `amount`: mm too short
    chain_new,           // its slack was not read since the swap that fitted it
    chain_worn,          // beyond the bike's limit. `amount`: percent
    part_due,            // a part beyond its service limit. `subject`: the part; `amount`: share of the limit
    two_baselines,       // two devices kept one each. `subject`: the newer one
    two_descriptions,    // two devices described the bike differently
};
inline constexpr std::size_t ready_rule_count = static_cast<std::size_t>(ReadyRule::two_descriptions) + 1;
std::string_view key(ReadyRule rule);       // "open_job"
// Counts for this milestone and what follows it (counts_for()). nullopt: a job says its own.
std::optional<Milestone> counts_from(ReadyRule rule);
inline constexpr std::int64_t heights_keep_days = 90;   // judgement, no source

struct ReadyItem {
    ReadyRule rule;
    std::optional<End> end{};               // where it is about one of them
    Id subject{};
    std::string name{};                     // of the job or part
    double amount = 0;
    friend bool operator==(const ReadyItem&, const ReadyItem&) = default;
};
// What the set-up does not say. `jobs`: open_jobs(). `parts`: part_use(); the ledger holds their entries only
// as far as they are loaded. `now_ms`: the present, UTC.
struct ReadyFrom {
    std::span<const OpenJob> jobs;
    std::span<const PartUse> parts;
    std::int64_t now_ms = 0;
};
// Jobs in the order to do them, then the rules in their order.
std::vector<ReadyItem> ready_items(const Ledger& ledger, const Bike& bike, Milestone milestone,
                                   const ReadyFrom& from);

// A new chain settles on its first run: true until its slack is read after the swap that fitted it. `now`:
// setup_now().
bool new_chain_due(const Ledger& ledger, const SetUp& now);

}  // namespace restand
