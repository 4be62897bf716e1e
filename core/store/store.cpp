#include "core/store/store.h"

#include <bit>

#include "core/codec/body_json.h"
#include "core/codec/bundle.h"
#include "core/store/impl.h"

namespace restand {
namespace {

constexpr std::size_t stored_draft_cap = 1 << 20;

Outcome acceptable(const NewEntry& entry) {
    if (entry.kind.empty() || entry.kind.size() > 64)
        return Error{ErrorCode::out_of_range, "kind", "1 to 64 bytes"};
    if (entry.body.size() > body_cap)
        return Error{ErrorCode::too_large, entry.kind, std::to_string(body_cap)};
    return Done{};
}

// Numbers and chains the entry after `head`, and moves the head.
Result<Entry> placed(const NewEntry& wanted, Head& head, std::int64_t now_ms) {
    if (const auto good = acceptable(wanted); !good) return good.error();
    Entry e;
    e.clock = tick(head.clock, now_ms);
    e.id = new_id(e.clock);
    e.device = head.device;
    e.number = head.number + 1;
    e.previous = head.hash;
    e.kind = wanted.kind;
    e.bike = wanted.bike;
    e.about = wanted.about;
    e.by = wanted.by;
    e.supersedes = wanted.supersedes;
    e.body = wanted.body;
    const auto hash = hash_of(e);
    if (!hash) return hash.error();
    e.hash = *hash;
    head = {e.device, e.number, e.clock, e.hash};
    return e;
}

}  // namespace

Store::Store(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}
Store::Store(Store&&) noexcept = default;
Store& Store::operator=(Store&&) noexcept = default;
Store::~Store() = default;

void Store::close_after_exception() {
    impl_->disconnect();
}

bool Store::writable() const {
    return impl_->mode != Mode::read;
}
std::string Store::path() const {
    return impl_->path;
}
std::uint64_t Store::device() const {
    return impl_->head.device;
}

Clock Store::clock() const {
    return impl_->head.clock;
}

// Writing
// ------------------------------------------------------------------------------------------------------

Result<Entry> Store::append(const NewEntry& entry) {
    auto written = append_all({entry});
    if (!written) return written.error();
    return std::move(written->front());
}

Result<std::vector<Entry>> Store::append_all(const std::vector<NewEntry>& entries) {
    return impl_->append(entries, false);
}

Result<std::vector<Entry>> Store::append_new_bike(const std::vector<NewEntry>& entries) {
    return impl_->append(entries, true);
}

Result<std::vector<Entry>> Store::Impl::append(const std::vector<NewEntry>& wanted, bool of_first) {
    if (const auto good = ready(); !good) return good.error();
    if (const auto may = writable(); !may) return may.error();
    if (wanted.empty()) return std::vector<Entry>{};

    Head moved = head;
    std::vector<Entry> entries;
    for (NewEntry one : wanted) {
        if (of_first && !entries.empty()) one.bike = entries.front().id;
        auto entry = placed(one, moved, wall());
        if (!entry) return entry.error();
        entries.push_back(std::move(*entry));
    }
    bool unknown = false;
    Entries each;
    for (const Entry& e : entries) each.push_back(&e);
    const auto committed = commit(each, moved, unknown);
    if (committed) return entries;
    if (!unknown) return committed.error();

    // The disk decides: reopen it and look for the last entry; all of them are stored or none.
    disconnect();
    Error error = committed.error();
    if (const auto again = ready(); !again) {
        error.detail += "; cannot tell whether it is stored";
        return error;
    }
    const auto stored = find(entries.back().id);
    if (stored && *stored) return entries;
    error.detail += stored ? "; not stored" : "; cannot tell whether it is stored";
    return error;
}

// Another file in place of ours is refused as a disk error: typed values are then kept in the emergency
// folder.
Outcome Store::Impl::begin_writing() {
    const auto begun = db.run("BEGIN IMMEDIATE");
    if (!begun) {
        const auto code = begun.error().code;
        const bool other = code == ErrorCode::not_ours || code == ErrorCode::damaged;
        return other ? Outcome(Error{ErrorCode::io, path, begun.error().detail}) : begun;
    }
    const auto ours = still_ours();
    if (!ours) (void)db.run("ROLLBACK");
    return ours;
}

Outcome Store::Impl::commit(const Entries& entries, const Head& moved, bool& unknown, Progress* progress) {
    unknown = false;
    if (const auto begun = begin_writing(); !begun) return begun;
    if (const auto inserted = insert(entries, moved, progress); !inserted) {
        // A failed rollback leaves the same uncertainty as a failed commit.
        unknown = !db.run("ROLLBACK") && sqlite3_get_autocommit(db.get()) == 0;
        unknown = unknown || inserted.error().code == ErrorCode::io;
        return inserted;
    }
    if (const auto committed = db.run("COMMIT"); !committed) {
        unknown = true;
        return committed;
    }
    head = moved;
    ++commits_;
    for (const Entry* e : entries) {
        if (held) add(*held, e->device, e->number, e->hash);
        // An entry behind the last one counted is still to come.
        if (counting && e->id <= counting->last) add(counting->held, e->device, e->number, e->hash);
    }
    return Done{};
}

Outcome Store::Impl::insert(const Entries& entries, const Head& moved, Progress* progress) {
    // Reset at once, also after a failure: an active statement would hold the transaction open.
    const auto run = [this](Statement& statement) -> Outcome {
        if (statement.step() == SQLITE_DONE) return statement.reset(), Done{};
        const Error error = db.error();
        statement.reset();
        return error;
    };
    auto insert_one = db.prepare(insert_entry);
    if (!insert_one) return insert_one.error();
    for (const Entry* entry : entries) {
        bind_entry(*insert_one, *entry);
        if (const auto inserted = run(*insert_one); !inserted) return inserted;
        if (progress && ++progress->done && progress->cancelled) return Error{ErrorCode::cancelled, path, ""};
    }
    if (const auto derived = derive.add(entries); !derived) return derived;
    auto move_head = db.prepare("UPDATE device SET incarnation=?,number=?,clock_ms=?,clock_counter=?,hash=?");
    if (!move_head) return move_head.error();
    move_head->bind(1, std::bit_cast<std::int64_t>(moved.device));
    move_head->bind(2, std::bit_cast<std::int64_t>(moved.number));
    move_head->bind(3, moved.clock.ms);
    move_head->bind(4, moved.clock.counter);
    move_head->bind_bytes(5, moved.hash);
    return run(*move_head);
}

Outcome Store::keep_draft(const std::string& bytes) {
    if (const auto ready = impl_->ready(); !ready) return ready;
    if (const auto may = impl_->writable(); !may) return may;
    if (bytes.size() > stored_draft_cap)
        return Error{ErrorCode::too_large, "draft", std::to_string(stored_draft_cap)};
    auto row = impl_->db.prepare(
        "INSERT INTO draft VALUES(1,?) ON CONFLICT(one) DO UPDATE SET bytes=excluded.bytes");
    if (!row) return row.error();
    row->bind_blob(1, bytes.data(), bytes.size());
    if (const auto begun = impl_->begin_writing(); !begun) return begun;
    Outcome kept = row->step() == SQLITE_DONE ? Outcome(Done{}) : Outcome(impl_->db.error());
    *row = Statement();
    if (kept) kept = impl_->db.run("COMMIT");
    if (!kept) (void)impl_->db.run("ROLLBACK");
    return kept;
}

// Reading
// ------------------------------------------------------------------------------------------------------

Result<std::string> Store::draft() const {
    if (const auto ready = impl_->ready(); !ready) return ready.error();
    auto row = impl_->db.prepare("SELECT bytes FROM draft");
    if (!row) return row.error();
    const int code = row->step();
    if (code == SQLITE_DONE) return std::string();
    if (code != SQLITE_ROW) return impl_->db.error();
    return std::string(row->bytes(0));
}

Result<std::vector<Entry>> Store::Impl::select(const std::string& where,
                                               const std::vector<std::string>& bytes) const {
    auto rows = db.prepare("SELECT " + std::string(entry_columns) + " FROM entry " + where);
    if (!rows) {
        if (version > workshop_version) return Error{ErrorCode::newer_version, path, std::to_string(version)};
        return rows.error();
    }
    int at = 0;
    for (const std::string& one : bytes) rows->bind_blob(++at, one.data(), one.size());
    return all_of(*rows, nullptr);
}

Result<std::vector<Entry>> Store::Impl::all_of(Statement& rows, Progress* progress) const {
    std::vector<Entry> entries;
    int code = rows.step();
    for (; code == SQLITE_ROW; code = rows.step()) {
        auto entry = entry_of_row(rows);
        if (!entry) return entry.error();
        entries.push_back(std::move(*entry));
        if (!progress) continue;
        ++progress->done;
        if (progress->cancelled) return Error{ErrorCode::cancelled, path, ""};
    }
    if (code != SQLITE_DONE) return db.error();
    return entries;
}

Result<std::optional<Entry>> Store::Impl::find(const Id& id) const {
    auto found = select("WHERE id=?", {blob(id)});
    if (!found) return found.error();
    if (found->empty()) return std::optional<Entry>();
    return std::optional<Entry>(std::move(found->front()));
}

Result<std::optional<Entry>> Store::find(const Id& id) const {
    if (const auto ready = impl_->ready(); !ready) return ready.error();
    return impl_->find(id);
}

std::string blob(const Id& id) {
    return std::string(id.bytes.begin(), id.bytes.end());
}

Result<std::vector<Entry>> Store::of_bike(const Id& bike, const std::string& kind) const {
    if (const auto ready = impl_->ready(); !ready) return ready.error();
    // CAST: bound as bytes, compared as text.
    return impl_->select(std::string("WHERE bike=? AND kind=CAST(? AS TEXT) ORDER BY ") + clock_order + ",id",
                         {blob(bike), kind});
}

Result<std::vector<Entry>> Store::about(const Id& what) const {
    if (const auto ready = impl_->ready(); !ready) return ready.error();
    return impl_->select(std::string("WHERE about=? ORDER BY ") + clock_order + ",id", {blob(what)});
}

Result<std::vector<Entry>> Store::all() const {
    if (const auto ready = impl_->ready(); !ready) return ready.error();
    return impl_->select(std::string("ORDER BY ") + clock_order + ",id");
}

}  // namespace restand
