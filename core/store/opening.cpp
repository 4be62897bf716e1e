// What the app needs to begin: a few small entries of every kind, complete open swaps and restore plans, how
// each bike is set up now. The readings of closed swaps, the older baselines and the events, which are nearly
// everything, stay on disk until asked for.

#include <algorithm>
#include <map>
#include <set>

#include "core/codec/body_json.h"
#include "core/store/impl.h"

namespace restand {
namespace {

constexpr const char* small_kinds = "'person','units','bike','retraction','swap','swap_end','device','pick'";
constexpr std::size_t most_rivals = 50;

void append_to(std::vector<Entry>& to, std::vector<Entry>&& more) {
    std::move(more.begin(), more.end(), std::back_inserter(to));
}

// A swap is open while none of its end entries stands.
std::set<Id> open_swaps(const std::vector<Entry>& entries) {
    std::set<Id> gone, open;
    for (const Entry& e : entries) gone.insert(e.supersedes.begin(), e.supersedes.end());
    for (const Entry& e : entries)
        if (e.kind == "swap" && !gone.contains(e.id)) open.insert(e.about.nil() ? e.id : e.about);
    for (const Entry& e : entries)
        if (e.kind == "swap_end" && !gone.contains(e.id)) open.erase(e.about);
    return open;
}

// Kinds of a later version may supersede what this one shows. Found by stepping over the index, kind by kind.
Result<std::vector<std::string>> kinds_in(const Database& db) {
    auto next = db.prepare("SELECT min(kind) FROM entry WHERE kind>CAST(? AS TEXT)");
    if (!next) return next.error();
    std::vector<std::string> kinds;
    for (std::string last;; kinds.push_back(last)) {
        next->bind_blob(1, last.data(), last.size());
        if (next->step() != SQLITE_ROW) return db.error();
        if (next->null(0)) return kinds;
        last = next->bytes(0);
        next->reset();
    }
}

// What is superseded by an entry that is not among `entries` would appear to stand.
void drop_unexplained(std::vector<Entry>& entries, const std::vector<Id>& gone) {
    std::set<Id> explained;
    for (const Entry& e : entries) explained.insert(e.supersedes.begin(), e.supersedes.end());
    std::erase_if(entries, [&](const Entry& e) {
        return std::binary_search(gone.begin(), gone.end(), e.id) && !explained.contains(e.id);
    });
}

}  // namespace

// The sum over `gone` is checked first: a lost row would restore an entry that was retracted.
Result<std::vector<Id>> Store::Impl::verified_gone() {
    for (const bool last : {false, true}) {
        if (const auto ready = derived_ready(false); !ready) return ready.error();
        GoneSum sum;
        auto ids = gone_ids(db, sum);
        if (!has_derived() || (last && ids)) return ids;
        const auto kept = sum_kept(db);
        if (ids && kept && *kept == sum) return ids;
        if (const auto anew = distrust_gone(); !anew) return anew.error();
    }
    return Error{ErrorCode::damaged, path, "gone"};
}

Result<std::vector<Entry>> Store::opening() const {
    if (const auto ready = impl_->ready(); !ready) return ready.error();
    const auto gone = impl_->verified_gone();
    if (!gone) return gone.error();
    // One view of the file, even while another process writes.
    auto entries = impl_->in_one_view([this] { return impl_->opening(); });
    if (entries) drop_unexplained(*entries, *gone);
    return entries;
}

// Baselines based on the same one as `newest`: from two devices that did not know of each other. They are no
// older than their base, as a device's clock never falls behind an entry that it has seen.
Outcome Store::Impl::add_rivals(const Entry& newest, std::vector<Entry>& to) const {
    const auto fact = decode(newest);
    const auto* body = fact ? std::get_if<BaselineBody>(&fact->body) : nullptr;
    if (!body || body->based_on.nil()) return Done{};
    const auto parent = find(body->based_on);
    if (!parent) return parent.error();
    if (!*parent) return Done{};
    auto later =
        timed_between(newest.bike, "'baseline'", std::pair{(*parent)->clock, (*parent)->id}, newest.clock);
    if (!later) return later.error();
    for (Entry& e : *later) {
        if (e.id == newest.id || to.size() > most_rivals) continue;
        const auto other = decode(e);
        const auto* theirs = other ? std::get_if<BaselineBody>(&other->body) : nullptr;
        if (theirs && theirs->based_on == body->based_on) to.push_back(std::move(e));
    }
    return Done{};
}

// Each bike's current set-up, including rival baselines.
Outcome Store::Impl::add_setups(std::vector<Entry>& to) const {
    const auto bikes = timed_bikes();
    if (!bikes) return bikes.error();
    for (const Id& bike : *bikes) {
        auto now = setup(bike, Clock{INT64_MAX, UINT32_MAX});
        if (!now) return now.error();
        std::vector<Entry> rivals;
        const auto newest =
            std::find_if(now->rbegin(), now->rend(), [](const Entry& e) { return e.kind == "baseline"; });
        if (newest != now->rend())
            if (const auto found = add_rivals(*newest, rivals); !found) return found;
        append_to(to, std::move(*now));
        append_to(to, std::move(rivals));
    }
    return Done{};
}

// The set-up of the bike when a swap began: values that the swap does not read are taken from it, also after
// a newer baseline.
Outcome Store::Impl::add_ground(const Id& swap, std::vector<Entry>& to) const {
    const auto begun = find(swap);
    if (!begun) return begun.error();
    if (!*begun) return Done{};
    auto ground = setup((*begun)->bike, (*begun)->clock);
    if (!ground) return ground.error();
    append_to(to, std::move(*ground));
    return Done{};
}

// Restore plans without a standing end, and the steps ticked off on them; how those ended of which a step is
// in `to`, as part of a set-up.
Outcome Store::Impl::add_plans(std::vector<Entry>& to) const {
    auto plans = select(std::string("WHERE kind='way'") + not_superseded);
    if (!plans) return plans.error();
    std::set<Id> set_by;
    for (const Entry& e : to)
        if (e.kind == "tick") set_by.insert(e.about);
    for (Entry& plan : *plans) {
        auto ends = select(std::string("WHERE about=? AND kind='way_end'") + not_superseded, {blob(plan.id)});
        if (!ends) return ends.error();
        if (!ends->empty()) {
            if (!set_by.contains(plan.id)) continue;
            to.push_back(std::move(plan));
            append_to(to, std::move(*ends));
            continue;
        }
        auto steps = select(std::string("WHERE about=? AND kind='tick'") + not_superseded, {blob(plan.id)});
        if (!steps) return steps.error();
        to.push_back(std::move(plan));
        append_to(to, std::move(*steps));
    }
    return Done{};
}

Result<std::vector<Entry>> Store::Impl::opening() const {
    auto entries = select(std::string("WHERE kind IN (") + small_kinds + ")");
    if (!entries) return entries;

    const auto kinds = kinds_in(db);
    if (!kinds) return kinds.error();
    for (const std::string& kind : *kinds) {
        if (is_kind(kind)) continue;
        auto more = select("WHERE kind=CAST(? AS TEXT) AND length(supersedes)>0", {kind});
        if (!more) return more;
        append_to(*entries, std::move(*more));
    }
    for (const Id& swap : open_swaps(*entries)) {
        auto more = select("WHERE about=? AND kind IN ('step','reading')", {blob(swap)});
        if (!more) return more;
        append_to(*entries, std::move(*more));
        if (const auto good = add_ground(swap, *entries); !good) return good.error();
    }
    auto parts = select(std::string("WHERE kind IN ('part','shelf','job')") + not_superseded);
    if (!parts) return parts;
    append_to(*entries, std::move(*parts));
    if (const auto good = add_setups(*entries); !good) return good.error();
    if (const auto good = add_plans(*entries); !good) return good.error();

    // A step may belong to an open plan and to the set-up: each entry once, by clock.
    std::sort(entries->begin(), entries->end(), earlier);
    entries->erase(std::unique(entries->begin(), entries->end(),
                               [](const Entry& a, const Entry& b) { return a.id == b.id; }),
                   entries->end());
    return entries;
}

}  // namespace restand
