// What the app needs to begin: a few small entries of every kind, whole open swaps, one baseline a bike. The
// readings of closed swaps and the older baselines, which are nearly everything, stay on disk until asked
// for.

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

#include "core/store/impl.h"

namespace restand {
namespace {

constexpr const char* small_kinds = "'person','units','bike','retraction','swap','swap_end'";

std::string blob(const Id& id) {
    return std::string(id.bytes.begin(), id.bytes.end());
}

void add(std::vector<Entry>& to, std::vector<Entry>&& more) {
    std::move(more.begin(), more.end(), std::back_inserter(to));
}

// A swap is open while no end of it stands.
std::set<Id> open_swaps(const std::vector<Entry>& entries) {
    std::set<Id> gone, open;
    for (const Entry& e : entries) gone.insert(e.supersedes.begin(), e.supersedes.end());
    for (const Entry& e : entries)
        if (e.kind == "swap" && !gone.contains(e.id)) open.insert(e.about.nil() ? e.id : e.about);
    for (const Entry& e : entries)
        if (e.kind == "swap_end" && !gone.contains(e.id)) open.erase(e.about);
    return open;
}

// The newest standing baseline of each bike, chosen without reading a body.
Result<std::vector<Id>> newest_baselines(const Database& db, const std::vector<Entry>& entries) {
    auto rows =
        db.prepare("SELECT id,bike,clock_ms,clock_counter,supersedes FROM entry WHERE kind='baseline'");
    if (!rows) return rows.error();
    std::set<std::string> gone;
    const auto supersede = [&gone](std::string_view ids) {
        for (std::size_t i = 0; i + sizeof(Id) <= ids.size(); i += sizeof(Id))
            gone.emplace(ids.substr(i, sizeof(Id)));
    };
    for (const Entry& e : entries)
        for (const Id& id : e.supersedes) gone.insert(blob(id));
    struct Row {
        std::string bike;
        std::int64_t ms, counter;
        std::string id;
    };
    std::vector<Row> list;
    int code = rows->step();
    for (; code == SQLITE_ROW; code = rows->step()) {
        list.push_back(
            {std::string(rows->bytes(1)), rows->integer(2), rows->integer(3), std::string(rows->bytes(0))});
        supersede(rows->bytes(4));
    }
    if (code != SQLITE_DONE) return db.error();
    std::map<std::string, const Row*> newest;
    for (const Row& row : list) {
        if (gone.contains(row.id) || row.id.size() != sizeof(Id)) continue;
        const Row*& best = newest[row.bike];
        if (!best || std::tie(best->ms, best->counter, best->id) < std::tie(row.ms, row.counter, row.id))
            best = &row;
    }
    std::vector<Id> ids;
    for (const auto& [bike, row] : newest)
        std::copy(row->id.begin(), row->id.end(), ids.emplace_back().bytes.begin());
    return ids;
}

// Kinds of a later version may supersede what this one shows. Found by stepping over the index, kind by kind.
Result<std::vector<std::string>> kinds_of(const Database& db) {
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

}  // namespace

Result<std::vector<Entry>> Store::opening() const {
    if (const auto ready = impl_->ready(); !ready) return ready.error();
    // One view of the file, though another process may be writing.
    if (const auto begun = impl_->db.run("BEGIN"); !begun) return begun.error();
    auto entries = impl_->opening();
    (void)impl_->db.run("COMMIT");
    return entries;
}

Result<std::vector<Entry>> Store::Impl::opening() const {
    auto entries = select(std::string("WHERE kind IN (") + small_kinds + ")");
    if (!entries) return entries;

    const auto kinds = kinds_of(db);
    if (!kinds) return kinds.error();
    const std::set<std::string> known = {"person", "units",    "bike",    "retraction", "swap",
                                         "step",   "swap_end", "reading", "baseline"};
    for (const std::string& kind : *kinds) {
        if (known.contains(kind)) continue;
        auto more = select("WHERE kind=CAST(? AS TEXT) AND length(supersedes)>0", {kind});
        if (!more) return more;
        add(*entries, std::move(*more));
    }
    for (const Id& swap : open_swaps(*entries)) {
        auto more = select("WHERE about=? AND kind IN ('step','reading')", {blob(swap)});
        if (!more) return more;
        add(*entries, std::move(*more));
    }
    const auto baselines = newest_baselines(db, *entries);
    if (!baselines) return baselines.error();
    for (const Id& id : *baselines) {
        auto one = select("WHERE id=?", {blob(id)});
        if (!one) return one;
        add(*entries, std::move(*one));
    }
    std::sort(entries->begin(), entries->end(), [](const Entry& a, const Entry& b) {
        return std::tie(a.clock, a.id) < std::tie(b.clock, b.id);
    });
    return entries;
}

}  // namespace restand
