// Partial reads of the ledger: how a bike was set up, its season, and what another device lacks.

#include <algorithm>
#include <bit>
#include <iterator>
#include <tuple>

#include "core/codec/body_json.h"
#include "core/ledger/setup.h"
#include "core/store/impl.h"
#include "core/store/stretch.h"

namespace restand {
namespace {

void by_clock(std::vector<Entry>& entries) {
    std::sort(entries.begin(), entries.end(), [](const Entry& a, const Entry& b) {
        return std::tie(a.clock, a.id) < std::tie(b.clock, b.id);
    });
}

bool any(const Entry&) {
    return true;
}

bool describes_bike(const Entry& entry) {
    const auto fact = decode(entry);
    const auto* baseline = fact ? std::get_if<BaselineBody>(&fact->body) : nullptr;
    return baseline && describes(*baseline);
}

}  // namespace

Result<std::optional<Entry>> Store::Impl::newest_baseline(const Id& bike, Clock until,
                                                          bool (*fits)(const Entry&)) const {
    auto newest_first = stretches({.until = until});
    std::reverse(newest_first.begin(), newest_first.end());
    for (const Stretch& stretch : newest_first) {
        auto row = db.prepare("SELECT id FROM " + timed() + " WHERE bike=? AND " + timed_kinds +
                              " AND +kind='baseline'" + stretch.where() + not_superseded + " ORDER BY " +
                              stretch.newest_first());
        if (!row) return row.error();
        row->bind_bytes(1, bike.bytes);
        stretch.bind(*row, 2);
        int code = row->step();
        for (; code == SQLITE_ROW; code = row->step()) {
            Id id;
            const auto bytes = row->bytes(0);
            if (bytes.size() != id.bytes.size()) return Error{ErrorCode::damaged, path, "id"};
            std::copy(bytes.begin(), bytes.end(), id.bytes.begin());
            auto found = find(id);
            if (!found || (*found && fits(**found))) return found;
        }
        if (code != SQLITE_DONE) return db.error();
    }
    return std::optional<Entry>();
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

Result<std::vector<Entry>> Store::Impl::setup(const Id& bike, Clock until) const {
    auto ground = newest_baseline(bike, until, any);
    if (!ground) return ground.error();
    std::optional<std::pair<Clock, Id>> after;
    if (*ground) after = {(*ground)->clock, (*ground)->id};
    auto entries = timed_between(bike, "'change','tick'", after, until);
    if (!entries || !*ground) return entries;
    auto described = newest_baseline(bike, until, describes_bike);
    if (!described) return described.error();
    const bool same = *described && (*described)->id == (*ground)->id;
    entries->insert(entries->begin(), std::move(**ground));
    if (*described && !same) entries->insert(entries->begin(), std::move(**described));
    return entries;
}

Result<std::vector<Entry>> Store::setup(const Id& bike, Clock until) const {
    if (const auto ready = impl_->ready(); !ready) return ready.error();
    if (const auto ready = impl_->derived_ready(false); !ready) return ready.error();
    return impl_->in_one_view([&] { return impl_->setup(bike, until); });
}

Result<std::vector<Entry>> Store::season(const Id& bike, Progress* progress) const {
    if (const auto ready = impl_->ready(); !ready) return ready.error();
    if (const auto ready = impl_->derived_ready(false); !ready) return ready.error();
    constexpr const char* kinds =
        "WHERE kind IN ('baseline','change','event','part','reading','record','swap','swap_end','tick') AND "
        "bike=?";
    return impl_->in_one_view([&]() -> Result<std::vector<Entry>> {
        const auto rows_of = [&](const std::string& what, const std::string& more) {
            auto rows = impl_->db.prepare("SELECT " + what + " FROM entry " + kinds + more);
            if (rows) rows->bind_bytes(1, bike.bytes);
            return rows;
        };
        if (progress) {
            auto count = rows_of("count(*)", "");
            if (!count) return count.error();
            if (count->step() != SQLITE_ROW) return impl_->db.error();
            progress->total = static_cast<std::uint64_t>(count->integer(0));
        }
        auto rows = rows_of(entry_columns, not_superseded);
        if (!rows) return rows.error();
        auto entries = impl_->all_of(*rows, progress);
        if (entries) by_clock(*entries);
        if (entries && progress) progress->done = progress->total.load();
        return entries;
    });
}

Result<VersionRanges> Store::ranges() const {
    if (const auto ready = impl_->ready(); !ready) return ready.error();
    if (impl_->held) return *impl_->held;
    VersionRanges held;
    auto rows = impl_->db.prepare("SELECT device,number,hash FROM entry");
    if (!rows) return rows.error();
    int code = rows->step();
    for (; code == SQLITE_ROW; code = rows->step()) {
        Hash hash;
        const auto bytes = rows->bytes(2);
        if (bytes.size() != hash.size()) return Error{ErrorCode::damaged, impl_->path, "hash"};
        std::copy(bytes.begin(), bytes.end(), hash.begin());
        add(held, std::bit_cast<std::uint64_t>(rows->integer(0)),
            std::bit_cast<std::uint64_t>(rows->integer(1)), hash);
    }
    if (code != SQLITE_DONE) return impl_->db.error();
    if (impl_->mode != Mode::read) impl_->held = held;
    return held;
}

Result<std::vector<Entry>> Store::those(const std::vector<Lack>& wanted) const {
    if (const auto ready = impl_->ready(); !ready) return ready.error();
    auto rows = impl_->db.prepare("SELECT " + std::string(entry_columns) + " FROM entry");
    if (!rows) return rows.error();
    std::vector<Entry> entries;
    int code = rows->step();
    for (; code == SQLITE_ROW; code = rows->step()) {
        if (!within(wanted, std::bit_cast<std::uint64_t>(rows->integer(1)),
                    std::bit_cast<std::uint64_t>(rows->integer(2))))
            continue;
        auto entry = entry_of_row(*rows);
        if (!entry) return entry.error();
        entries.push_back(std::move(*entry));
    }
    if (code != SQLITE_DONE) return impl_->db.error();
    by_clock(entries);
    return entries;
}

}  // namespace restand
