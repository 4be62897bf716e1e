// Union with entries from elsewhere. No order is required: what an entry refers to may arrive later or never.

#include <algorithm>
#include <bit>
#include <cstdlib>
#include <limits>
#include <map>
#include <set>
#include <tuple>

#include "core/codec/bundle.h"
#include "core/store/impl.h"

namespace restand {
namespace {

constexpr std::int64_t most_ms = 1ll << 60;  // a foreign clock may have any value

Outcome sound(const Entry& e) {
    const std::string id = to_text(e.id);
    if (e.id.nil()) return Error{ErrorCode::damaged, id, "no id"};
    if (e.kind.empty() || e.kind.size() > 64) return Error{ErrorCode::damaged, id, "kind"};
    if (std::max(e.body.size(), e.supersedes.size() * sizeof(Id)) > body_cap)
        return Error{ErrorCode::too_large, id, std::to_string(body_cap) + " bytes"};
    if (!possible(e.clock)) return Error{ErrorCode::damaged, id, "no clock shows this date"};
    if (e.number == 0 || e.number > static_cast<std::uint64_t>(std::numeric_limits<std::int64_t>::max()))
        return Error{ErrorCode::damaged, id, "number"};
    return verify(e);
}

// Two entries with one id, each whole in itself: anybody can reuse an id seen elsewhere. A device's next
// entry contains the hash of the one before it, so it confirms which of the two the device wrote.
class Rivals {
public:
    explicit Rivals(const std::vector<Entry>& entries) : entries_(entries) {
        std::map<Id, const Entry*> first;
        for (const Entry& e : entries) {
            const auto [at, fresh] = first.emplace(e.id, &e);
            if (!fresh && at->second->hash != e.hash) settled_.emplace(e.id, false);
        }
        // Is one of them confirmed?
        if (settled_.empty()) return;
        for (const Entry& e : entries)
            if (const auto at = settled_.find(e.id); at != settled_.end())
                at->second = at->second || (borne_out(e) && verify(e));
    }
    bool borne_out(const Entry& e) {
        if (named_.empty())
            for (const Entry& next : entries_) named_.insert({next.device, next.number - 1, next.previous});
        return named_.contains({e.device, e.number, e.hash});
    }
    // Another one in these entries is confirmed, and this one is not.
    bool beaten(const Entry& e) {
        const auto at = settled_.find(e.id);
        return at != settled_.end() && at->second && !borne_out(e);
    }

private:
    const std::vector<Entry>& entries_;
    std::map<Id, bool> settled_;
    std::set<std::tuple<std::uint64_t, std::uint64_t, Hash>> named_;
};

}  // namespace

// See Merged::clock_apart_ms. An entry of epoch 0 is never dated before one that it refers to. Once this
// device's wall clock has been set back behind its own entry, that entry gives no information about the
// clock.
Result<std::int64_t> Store::Impl::clock_apart(const Entry& e, std::int64_t now) const {
    const std::int64_t ms = std::clamp(e.clock.ms, -most_ms, most_ms);
    std::int64_t apart = ms > now + far_ahead_ms ? ms - now : 0;
    if (apart != 0 || e.clock.epoch() == 0) return apart;
    auto own = db.prepare("SELECT clock_ms FROM entry WHERE id=? AND device=?");
    if (!own) return own.error();
    std::vector<Id> seen = e.supersedes;
    seen.insert(seen.end(), {e.about, e.bike, e.by});
    for (const Id& id : seen) {
        own->bind_bytes(1, id.bytes);
        own->bind(2, std::bit_cast<std::int64_t>(head.device));
        const int code = own->step();
        if (code != SQLITE_ROW && code != SQLITE_DONE) return db.error();
        const std::int64_t ours = code == SQLITE_ROW ? std::clamp(own->integer(0), -most_ms, most_ms) : ms;
        own->reset();
        if (ours > ms + far_ahead_ms && ours <= now + far_ahead_ms) apart = std::min(apart, ms - ours);
    }
    return apart;
}

// The new ones of `entries`; the others are counted in `merged`. Advances the clock of `moved`.
Result<std::vector<Entry>> Store::Impl::unseen(const std::vector<Entry>& entries, Merged& merged, Head& moved,
                                               Progress* progress) {
    std::vector<Entry> fresh;
    std::map<Id, Hash> taken;
    auto known_hash = db.prepare("SELECT hash FROM entry WHERE id=?");
    if (!known_hash) return known_hash.error();
    const std::int64_t now = wall();
    Rivals rivals(entries);
    for (const Entry& e : entries) {
        if (progress && ++progress->done && progress->cancelled) return Error{ErrorCode::cancelled, path, ""};
        if (const auto good = sound(e); !good) {
            merged.refused.push_back(good.error());
            continue;
        }
        if (rivals.beaten(e)) {
            merged.refused.push_back({ErrorCode::contradiction, to_text(e.id),
                                      "; another entry has this id, and its device's next one names it"});
            continue;
        }
        known_hash->bind_bytes(1, e.id.bytes);
        const int code = known_hash->step();
        if (code != SQLITE_ROW && code != SQLITE_DONE) return db.error();
        const auto twice = taken.find(e.id);
        const bool known = code == SQLITE_ROW || twice != taken.end();
        const std::string_view theirs(reinterpret_cast<const char*>(e.hash.data()), e.hash.size());
        const bool same =
            code == SQLITE_ROW ? known_hash->bytes(0) == theirs : known && twice->second == e.hash;
        known_hash->reset();
        if (known && !same) {
            // Neither is discarded: ours stays in the file, theirs in the bundle, and a person is told.
            merged.refused.push_back(
                {ErrorCode::contradiction, to_text(e.id),
                 !rivals.borne_out(e)
                     ? "another entry has this id"
                     : "; its device's next entry names it, but this workshop holds another entry "
                       "under its id: go back to a copy made before that one came in"});
            continue;
        }
        if (known) {
            ++merged.known;
            continue;
        }
        taken.emplace(e.id, e.hash);
        fresh.push_back(e);
        const auto apart = clock_apart(e, now);
        if (!apart) return apart.error();
        if (std::abs(*apart) > std::abs(merged.clock_apart_ms)) merged.clock_apart_ms = *apart;
        moved.clock = std::max(moved.clock, e.clock);
        // Our own running numbers came from elsewhere: this file is an older copy. Continue as a new device;
        // otherwise two different entries would have one number.
        if (e.device == moved.device) moved = {new_device(), 0, moved.clock, Hash{}};
    }
    return fresh;
}

Result<Store::Merged> Store::merge(const std::vector<Entry>& entries, Progress* progress) {
    if (const auto ready = impl_->ready(); !ready) return ready.error();
    if (const auto may = impl_->writable(); !may) return may.error();
    if (progress) progress->total = 2 * entries.size();  // each is verified, and written

    Merged merged;
    Head moved = impl_->head;
    const auto fresh = impl_->unseen(entries, merged, moved, progress);
    if (!fresh) return fresh.error();
    merged.added = fresh->size();
    if (progress) progress->done = entries.size() + (entries.size() - fresh->size());
    // One transaction: a bundle is merged completely or not at all.
    if (fresh->empty()) return merged;
    bool unknown = false;
    if (const auto committed = impl_->commit(*fresh, moved, unknown, progress); !committed) {
        // Merging again is harmless, so 'unknown' is answered by merging again.
        if (unknown) impl_->disconnect();
        return committed.error();
    }
    return merged;
}

}  // namespace restand
