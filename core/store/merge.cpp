// Union with entries from elsewhere. No order is required: what an entry refers to may arrive later or never.

#include <algorithm>
#include <bit>
#include <cstdint>
#include <cstdlib>
#include <limits>
#include <map>
#include <set>
#include <tuple>

#include "core/codec/bundle.h"
#include "core/store/impl.h"
#include "core/store/merging.h"

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

}  // namespace

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
                at->second = at->second || (confirmed(e) && verify(e));
    }
    // Asked only where two entries have one id: every next entry that names this one may have to be verified.
    bool confirmed(const Entry& e) {
        if (named_.empty())
            for (const Entry& next : entries_)
                named_[{next.device, next.number - 1, next.previous}].push_back(&next);
        const auto at = named_.find({e.device, e.number, e.hash});
        if (at == named_.end()) return false;
        // A next entry that is refused itself says nothing. Each is verified once: the first sound one stays.
        auto& nexts = at->second;
        while (!nexts.empty() && !sound(*nexts.back())) nexts.pop_back();
        return !nexts.empty();
    }
    // Another one in these entries is confirmed, and this one is not.
    bool outvoted(const Entry& e) {
        const auto at = settled_.find(e.id);
        return at != settled_.end() && at->second && !confirmed(e);
    }

private:
    using Named = std::tuple<std::uint64_t, std::uint64_t, Hash>;
    const std::vector<Entry>& entries_;
    std::map<Id, bool> settled_;
    std::map<Named, std::vector<const Entry*>> named_;  // the entries that name it as the one before them
};

// See Merged::clock_apart_ms. An entry of epoch 0 is never dated before one that it refers to. Once this
// device's wall clock has been set back behind its own entry, that entry gives no information about the
// clock.
Result<std::int64_t> Store::Impl::clock_apart(const Entry& e, std::int64_t now,
                                              std::uint64_t own_device) const {
    const std::int64_t ms = std::clamp(e.clock.ms, -most_ms, most_ms);
    std::int64_t apart = ms > now + far_ahead_ms ? ms - now : 0;
    if (apart != 0 || e.clock.epoch() == 0) return apart;
    auto own = db.prepare("SELECT clock_ms FROM entry WHERE id=? AND device=?");
    if (!own) return own.error();
    std::vector<Id> seen = e.supersedes;
    seen.insert(seen.end(), {e.about, e.bike, e.by});
    for (const Id& id : seen) {
        own->bind_bytes(1, id.bytes);
        own->bind(2, std::bit_cast<std::int64_t>(own_device));
        const int code = own->step();
        if (code != SQLITE_ROW && code != SQLITE_DONE) return db.error();
        const std::int64_t ours = code == SQLITE_ROW ? std::clamp(own->integer(0), -most_ms, most_ms) : ms;
        own->reset();
        if (ours > ms + far_ahead_ms && ours <= now + far_ahead_ms) apart = std::min(apart, ms - ours);
    }
    return apart;
}

struct Merging::Impl {
    explicit Impl(const std::vector<Entry>& all) : entries(all), rivals(all) {}

    const std::vector<Entry>& entries;
    Rivals rivals;
    std::size_t at = 0;  // the next one to look at
    bool begun = false;
    std::uint64_t device = 0;  // this device's when the merge began; it may go on as a new one
    Store::Merged merged;

    // What is found out in one transaction; it counts when that is committed.
    struct Found {
        Store::Impl::Entries fresh;
        std::map<Id, Hash> taken;
        Head moved;
        Store::Merged merged;
    };
    Outcome look_at(const Entry& e, const Store::Impl& store, Statement& known_hash, std::int64_t now,
                    Found& found);
    bool continues_elsewhere(const Head& head);
};

// Does any of the entries bear one of our own running numbers that we have not used?
bool Merging::Impl::continues_elsewhere(const Head& head) {
    return std::any_of(entries.begin(), entries.end(), [&](const Entry& e) {
        return e.device == head.device && e.number > head.number && !rivals.outvoted(e) && sound(e);
    });
}

// Puts the entry among the new ones, or counts it.
Outcome Merging::Impl::look_at(const Entry& e, const Store::Impl& store, Statement& known_hash,
                               std::int64_t now, Found& found) {
    Store::Merged& so_far = found.merged;
    const auto refuse = [&](Error error) {
        so_far.refused.push_back(std::move(error));
        return Done{};
    };
    if (const auto good = sound(e); !good) return refuse(good.error());
    if (rivals.outvoted(e))
        return refuse({ErrorCode::contradiction, to_text(e.id),
                       "; another entry has this id, and its device's next one names it"});
    known_hash.bind_bytes(1, e.id.bytes);
    const int code = known_hash.step();
    if (code != SQLITE_ROW && code != SQLITE_DONE) return store.db.error();
    const auto twice = found.taken.find(e.id);
    const bool known = code == SQLITE_ROW || twice != found.taken.end();
    const std::string_view theirs(reinterpret_cast<const char*>(e.hash.data()), e.hash.size());
    const bool same = code == SQLITE_ROW ? known_hash.bytes(0) == theirs : known && twice->second == e.hash;
    known_hash.reset();
    // Neither is discarded: ours stays in the file, theirs in the bundle, and a person is told.
    if (known && !same)
        return refuse({ErrorCode::contradiction, to_text(e.id),
                       !rivals.confirmed(e)
                           ? "another entry has this id"
                           : "; its device's next entry names it, but this workshop holds another entry "
                             "under its id: go back to a copy made before that one came in"});
    if (known) return ++so_far.known, Done{};
    found.taken.emplace(e.id, e.hash);
    found.fresh.push_back(&e);
    const auto apart = store.clock_apart(e, now, device);
    if (!apart) return apart.error();
    if (std::abs(*apart) > std::abs(so_far.clock_apart_ms)) so_far.clock_apart_ms = *apart;
    found.moved.clock = std::max(found.moved.clock, e.clock);
    // Our own running numbers came from elsewhere: this file is an older copy. Continue as a new device;
    // otherwise two different entries would have one number.
    if (e.device == found.moved.device) found.moved = {new_device(), 0, found.moved.clock, Hash{}};
    return Done{};
}

Merging::Merging(const std::vector<Entry>& entries) : impl_(std::make_unique<Impl>(entries)) {}
Merging::Merging(Merging&&) noexcept = default;
Merging::~Merging() = default;

const Store::Merged& Merging::merged() const {
    return impl_->merged;
}

Result<bool> Merging::step(Store& store, std::size_t most, Progress* progress) {
    Store::Impl& file = *store.impl_;
    if (const auto ready = file.ready(); !ready) return ready.error();
    if (const auto may = file.writable(); !may) return may.error();
    const auto& entries = impl_->entries;
    if (progress && !impl_->begun) progress->total += 2 * entries.size();  // each is verified, and written

    if (!impl_->begun) impl_->device = file.head.device;
    Impl::Found found{{}, {}, file.head, impl_->merged};
    const std::size_t end = impl_->at + std::min(most, entries.size() - impl_->at);
    // Known before the first reading between two steps gets a number.
    const bool as_new_device = !impl_->begun && end < entries.size() && impl_->continues_elsewhere(file.head);
    if (as_new_device) found.moved = {new_device(), 0, file.head.clock, Hash{}};
    // In one view: each look by itself would lock the file and ask for its state.
    const auto looked = file.in_one_view([&]() -> Outcome {
        auto known_hash = file.db.prepare("SELECT hash FROM entry WHERE id=?");
        if (!known_hash) return known_hash.error();
        const std::int64_t now = file.wall();
        for (std::size_t i = impl_->at; i < end; ++i) {
            if (progress && ++progress->done && progress->cancelled)
                return Error{ErrorCode::cancelled, file.path, ""};
            if (const auto good = impl_->look_at(entries[i], file, *known_hash, now, found); !good)
                return good;
        }
        return Done{};
    });
    if (!looked) return looked.error();
    if (progress) progress->done += end - impl_->at - found.fresh.size();
    bool unknown = false;
    if (as_new_device || !found.fresh.empty()) {
        if (const auto written = file.commit(found.fresh, found.moved, unknown, progress); !written) {
            // Merging again is harmless, so 'unknown' is answered by merging again.
            if (unknown) file.disconnect();
            return written.error();
        }
    }
    found.merged.added += found.fresh.size();
    impl_->merged = std::move(found.merged);
    impl_->at = end, impl_->begun = true;
    return end == entries.size();
}

// One transaction: the entries are merged completely or not at all.
Result<Store::Merged> Store::merge(const std::vector<Entry>& entries, Progress* progress) {
    if (progress) progress->total = 0;
    Merging all(entries);
    if (const auto done = all.step(*this, SIZE_MAX, progress); !done) return done.error();
    return all.merged();
}

}  // namespace restand
