// Union with entries from elsewhere. No order is required: what an entry refers to may arrive later or never.

#include <limits>
#include <set>

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

Result<Store::Merged> Store::merge(const std::vector<Entry>& entries, Progress*) {
    if (const auto ready = impl_->ready(); !ready) return ready.error();
    if (const auto may = impl_->writable(); !may) return may.error();

    Merged merged;
    Head moved = impl_->head;
    std::vector<Entry> fresh;
    std::set<Id> taken;
    const std::int64_t now = impl_->wall();
    for (const Entry& e : entries) {
        if (const auto good = sound(e); !good) {
            merged.refused.push_back(good.error());
            continue;
        }
        const auto known = impl_->find(e.id);
        if (!known) return known.error();
        const bool twice = taken.contains(e.id);
        if (*known && (*known)->hash != e.hash) {
            // Neither is thrown away: ours stays in the file, theirs in the bundle, and a person is told.
            merged.refused.push_back({ErrorCode::contradiction, to_text(e.id), "another entry has this id"});
            continue;
        }
        if (*known || twice) {
            ++merged.known;
            continue;
        }
        taken.insert(e.id);
        fresh.push_back(e);
        moved.clock = witness(moved.clock, e.clock, now);
        // Our own running numbers from elsewhere: this file is an older copy. Go on as a new device, or two
        // different entries would bear one number.
        if (e.device == moved.device && e.number > moved.number)
            moved = {new_device(), 0, moved.clock, Hash{}};
    }
    // One transaction: a bundle is in whole or not at all.
    if (fresh.empty()) return merged;
    bool unknown = false;
    if (const auto committed = impl_->commit(fresh, moved, unknown); !committed) {
        // Merging again is harmless, so the answer to 'unknown' is to do it again.
        if (unknown) impl_->disconnect();
        return committed.error();
    }
    merged.added = fresh.size();
    return merged;
}

}  // namespace restand
