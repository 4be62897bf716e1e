// Union with entries from elsewhere. No order is required: what an entry refers to may arrive later or never.

#include <limits>
#include <map>

#include "core/store/impl.h"

namespace restand {
namespace {

Outcome sound(const Entry& e) {
    const std::string id = to_text(e.id);
    if (e.id.nil()) return Error{ErrorCode::damaged, id, "no id"};
    if (e.kind.empty() || e.kind.size() > 64) return Error{ErrorCode::damaged, id, "kind"};
    if (e.number == 0 || e.number > static_cast<std::uint64_t>(std::numeric_limits<std::int64_t>::max()))
        return Error{ErrorCode::damaged, id, "number"};
    return verify(e);
}

}  // namespace

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
        moved.clock = witness(moved.clock, e.clock, now);
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
