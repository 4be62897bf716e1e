// Partial reads of the ledger: how a bike was set up, its season, and what another device lacks.

#include <algorithm>
#include <bit>
#include <cstdint>
#include <iterator>
#include <utility>

#include "core/codec/body_json.h"
#include "core/ledger/described.h"
#include "core/store/impl.h"
#include "core/store/stretch.h"

namespace restand {
namespace {

constexpr const char* season_kinds[] = {"baseline", "change", "event",    "part", "reading",
                                        "record",   "swap",   "swap_end", "tick"};

bool describes_bike(const Entry& entry) {
    const auto fact = decode(entry);
    const auto* baseline = fact ? std::get_if<BaselineBody>(&fact->body) : nullptr;
    return baseline && describes(*baseline);
}

// A baseline's body is read only when the row is wanted.
Result<std::optional<Entry>> baseline_in(const Store::Impl& of, const Id& bike, const Stretch& stretch,
                                         const std::string& order, bool (*fits)(const Entry&)) {
    auto row =
        of.db.prepare("SELECT id FROM " + of.timed() + " WHERE bike=? AND " + timed_kinds +
                      " AND +kind='baseline'" + stretch.where() + not_superseded + " ORDER BY " + order);
    if (!row) return row.error();
    row->bind_bytes(1, bike.bytes);
    stretch.bind(*row, 2);
    int code = row->step();
    for (; code == SQLITE_ROW; code = row->step()) {
        Id id;
        const auto bytes = row->bytes(0);
        if (bytes.size() != id.bytes.size()) return Error{ErrorCode::damaged, of.path, "id"};
        std::copy(bytes.begin(), bytes.end(), id.bytes.begin());
        auto found = of.find(id);
        if (!found || (*found && fits(**found))) return found;
    }
    if (code != SQLITE_DONE) return of.db.error();
    return std::optional<Entry>();
}

}  // namespace

Result<std::optional<Entry>> Store::Impl::newest_baseline(const Id& bike, Clock until) const {
    auto newest_first = stretches({.until = until});
    std::reverse(newest_first.begin(), newest_first.end());
    for (const Stretch& stretch : newest_first) {
        auto found =
            baseline_in(*this, bike, stretch, stretch.newest_first(), [](const Entry&) { return true; });
        if (!found || *found) return found;
    }
    return std::optional<Entry>();
}

Result<std::optional<Entry>> Store::Impl::first_describing(const Id& bike, Clock after, Clock until) const {
    for (const Stretch& stretch : stretches({.after = std::pair{after, Id{}}, .until = until})) {
        auto found = baseline_in(*this, bike, stretch, stretch.oldest_first(), describes_bike);
        if (!found || *found) return found;
    }
    return std::optional<Entry>();
}

Result<Clock> Store::Impl::geometry_typed(const Id& bike) const {
    auto entries = select("WHERE kind='bike' AND bike=?", {blob(bike)});
    if (!entries) return entries.error();
    auto first = find(bike);
    if (!first) return first.error();
    if (*first) entries->push_back(std::move(**first));
    std::vector<Fact> facts;
    for (const Entry& e : *entries)
        if (auto fact = decode(e)) facts.push_back(std::move(*fact));
    std::vector<const Fact*> known;
    for (const Fact& fact : facts) known.push_back(&fact);
    return restand::geometry_typed(known);
}

Result<std::vector<Entry>> Store::Impl::timed_between(const Id& bike, std::string_view kinds,
                                                      const std::optional<std::pair<Clock, Id>>& after,
                                                      Clock until) const {
    std::vector<Entry> all;
    for (const Stretch& stretch : stretches({.after = after, .until = until})) {
        // Entries are looked up by id, from the index: a row's page is read only when the row is wanted.
        auto rows =
            db.prepare("SELECT " + std::string(entry_columns) + " FROM " + timed() + " WHERE bike=? AND " +
                       timed_kinds + " AND +kind IN (" + std::string(kinds) + ")" + stretch.where() +
                       not_superseded + " ORDER BY " + stretch.oldest_first());
        if (!rows) return rows.error();
        rows->bind_bytes(1, bike.bytes);
        stretch.bind(*rows, 2);
        auto some = all_of(*rows, nullptr);
        if (!some) return some.error();
        std::move(some->begin(), some->end(), std::back_inserter(all));
    }
    return all;
}

Result<std::vector<Entry>> Store::Impl::folded(const Id& bike, Clock until) const {
    auto ground = newest_baseline(bike, until);
    if (!ground) return ground.error();
    std::optional<std::pair<Clock, Id>> after;
    if (*ground) after = {(*ground)->clock, (*ground)->id};
    auto entries = timed_between(bike, "'change','tick'", after, until);
    if (entries && *ground) entries->insert(entries->begin(), std::move(**ground));
    return entries;
}

Result<std::vector<Entry>> Store::Impl::setup(const Id& bike, Clock until) const {
    const auto typed = geometry_typed(bike);
    if (!typed) return typed.error();
    auto entries = folded(bike, until), then = folded(bike, *typed);
    if (!entries || !then) return entries ? then : entries;
    auto describing = first_describing(bike, *typed, until);
    if (!describing) return describing.error();
    if (*describing) then->push_back(std::move(**describing));
    for (Entry& e : *then) {
        const bool known = std::any_of(entries->begin(), entries->end(),
                                       [&](const Entry& other) { return other.id == e.id; });
        if (!known) entries->push_back(std::move(e));
    }
    std::sort(entries->begin(), entries->end(), earlier);
    return entries;
}

Result<std::vector<Entry>> Store::setup(const Id& bike, Clock until) const {
    if (const auto ready = impl_->ready(); !ready) return ready.error();
    if (const auto ready = impl_->derived_ready(false); !ready) return ready.error();
    return impl_->in_one_view([&] { return impl_->setup(bike, until); });
}

Result<VersionRanges> Store::ranges() const {
    if (const auto ready = impl_->ready(); !ready) return ready.error();
    if (impl_->held) return *impl_->held;
    Impl::Counting all;
    if (const auto counted = impl_->count(all, SIZE_MAX); !counted) return counted.error();
    if (impl_->mode != Mode::read) impl_->held = all.held;
    return std::move(all.held);
}

Result<bool> Store::count(std::size_t rows) {
    if (const auto ready = impl_->ready(); !ready) return ready.error();
    if (impl_->held || impl_->mode == Mode::read) return true;
    if (!impl_->counting) impl_->counting.emplace();
    const auto ended = impl_->count(*impl_->counting, rows);
    if (!ended) impl_->counting.reset();
    if (ended && *ended) impl_->held = std::exchange(impl_->counting, {})->held;
    return ended;
}

Result<bool> Store::Impl::count(Counting& so_far, std::size_t rows) const {
    auto found = db.prepare("SELECT device,number,hash,id FROM entry WHERE id>? ORDER BY id");
    if (!found) return found.error();
    const Id from = so_far.last;
    found->bind_bytes(1, from.bytes);
    int code = found->step();
    for (; code == SQLITE_ROW && rows > 0; code = found->step(), --rows) {
        Hash hash;
        if (!copy_bytes(found->bytes(2), hash)) return Error{ErrorCode::damaged, path, "hash"};
        if (!copy_bytes(found->bytes(3), so_far.last.bytes)) return Error{ErrorCode::damaged, path, "id"};
        add(so_far.held, std::bit_cast<std::uint64_t>(found->integer(0)),
            std::bit_cast<std::uint64_t>(found->integer(1)), hash);
    }
    if (code != SQLITE_ROW && code != SQLITE_DONE) return db.error();
    if (code == SQLITE_ROW && so_far.last <= from)
        return Error{ErrorCode::damaged, path, "entries out of order"};
    return code == SQLITE_DONE;
}

Result<std::vector<Entry>> Store::those(const std::vector<Lack>& wanted) const {
    Walk walk;
    auto entries = next(walk, SIZE_MAX, &wanted);
    if (entries) std::sort(entries->begin(), entries->end(), earlier);
    return entries;
}

Result<std::vector<Entry>> Store::next(Walk& walk, std::size_t rows, const std::vector<Lack>* wanted) const {
    if (const auto ready = impl_->ready(); !ready) return ready.error();
    auto found =
        impl_->db.prepare("SELECT " + std::string(entry_columns) + " FROM entry WHERE id>? ORDER BY id");
    if (!found) return found.error();
    const Id from = walk.after;
    found->bind_bytes(1, from.bytes);
    std::vector<Entry> entries;
    int code = found->step();
    for (; code == SQLITE_ROW && rows > 0; code = found->step(), --rows) {
        (void)copy_bytes(found->bytes(0), walk.after.bytes);
        if (wanted && !within(*wanted, std::bit_cast<std::uint64_t>(found->integer(1)),
                              std::bit_cast<std::uint64_t>(found->integer(2))))
            continue;
        auto entry = entry_of_row(*found);
        if (!entry) return entry.error();
        entries.push_back(std::move(*entry));
    }
    if (code != SQLITE_ROW && code != SQLITE_DONE) return impl_->db.error();
    walk.ended = code == SQLITE_DONE;
    if (!walk.ended && walk.after <= from)
        return Error{ErrorCode::damaged, impl_->path, "entries out of order"};
    return entries;
}

Result<std::vector<Entry>> Store::next_of_season(const Id& bike, Walk& walk, std::size_t rows) const {
    if (const auto ready = impl_->ready(); !ready) return ready.error();
    if (const auto ready = impl_->derived_ready(false); !ready) return ready.error();
    auto found = impl_->db.prepare("SELECT " + std::string(entry_columns) +
                                   " FROM entry WHERE kind=CAST(? AS TEXT) AND bike=? AND id>?" +
                                   not_superseded + " ORDER BY id LIMIT " + std::to_string(rows));
    if (!found) return found.error();
    const Id from = walk.after;
    found->bind_text(1, season_kinds[walk.kind]);
    found->bind_bytes(2, bike.bytes);
    found->bind_bytes(3, from.bytes);
    auto entries = impl_->all_of(*found, nullptr);
    if (!entries) return entries;
    if (entries->size() == rows) {
        walk.after = entries->back().id;
        return entries;
    }
    walk.after = {};
    walk.ended = ++walk.kind == std::size(season_kinds);
    return entries;
}

}  // namespace restand
