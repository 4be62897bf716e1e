// Union with entries from elsewhere. No order is required: what an entry refers to may arrive later or never.

#include <algorithm>
#include <bit>
#include <cstdlib>
#include <limits>
#include <map>

#include "core/store/impl.h"

namespace restand {
namespace {

constexpr std::int64_t most_ms = 1ll << 60;   // a foreign clock may say anything

Outcome sound(const Entry& e) {
    const std::string id = to_text(e.id);
    if (e.id.nil()) return Error{ErrorCode::damaged, id, "no id"};
    if (e.kind.empty() || e.kind.size() > 64) return Error{ErrorCode::damaged, id, "kind"};
    if (!possible(e.clock)) return Error{ErrorCode::damaged, id, "no clock shows this date"};
    if (e.number == 0 || e.number > static_cast<std::uint64_t>(std::numeric_limits<std::int64_t>::max()))
        return Error{ErrorCode::damaged, id, "number"};
    return verify(e);
}

}  // namespace

// See Merged::clock_apart_ms. An entry of epoch 0 never lies before one that it refers to. Once this device's wall
// clock has been set back behind its own entry, that one tells nothing of the clock any more.
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

// What is new of `entries`; the rest is counted in `merged`. Moves the clock of `moved` along.
Result<std::vector<Entry>> Store::Impl::unseen(const std::vector<Entry>& entries, Merged& merged, Head& moved,
                                               Progress* progress) {
    std::vector<Entry> fresh;
    std::map<Id, Hash> taken;
    auto known_hash = db.prepare("SELECT hash FROM entry WHERE id=?");
    if (!known_hash) return known_hash.error();
    const std::int64_t now = wall();
    for (const Entry& e : entries) {
        if (progress && ++progress->done && progress->cancelled)
            return Error{ErrorCode::cancelled, path, ""};
        if (const auto good = sound(e); !good) {
            merged.refused.push_back(good.error());
            continue;
        }
        known_hash->bind_bytes(1, e.id.bytes);
        const int code = known_hash->step();
        if (code != SQLITE_ROW && code != SQLITE_DONE) return db.error();
        const auto twice = taken.find(e.id);
        const bool known = code == SQLITE_ROW || twice != taken.end();
        const std::string_view theirs(reinterpret_cast<const char*>(e.hash.data()), e.hash.size());
        const bool same = code == SQLITE_ROW ? known_hash->bytes(0) == theirs : known && twice->second == e.hash;
        known_hash->reset();
        if (known && !same) {
            // Neither is thrown away: ours stays in the file, theirs in the bundle, and a person is told.
            merged.refused.push_back({ErrorCode::contradiction, to_text(e.id), "another entry has this id"});
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
        // Our own running numbers from elsewhere: this file is an older copy. Go on as a new device, or two
        // different entries would bear one number.
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
    // One transaction: a bundle is in whole or not at all.
    if (fresh->empty()) return merged;
    bool unknown = false;
    if (const auto committed = impl_->commit(*fresh, moved, unknown, progress); !committed) {
        // Merging again is harmless, so the answer to 'unknown' is to do it again.
        if (unknown) impl_->disconnect();
        return committed.error();
    }
    return merged;
}

}  // namespace restand
