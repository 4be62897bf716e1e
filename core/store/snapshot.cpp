#include "core/store/snapshot.h"

#include "core/store/database.h"
#include "core/store/impl.h"

namespace restand {

struct Snapshot::Impl {
    const Store::Impl* store = nullptr;
    sqlite3* from = nullptr;  // the store's connection at the start; the running copy keeps it alive
    Database to;
    std::unique_ptr<sqlite3_backup, int (*)(sqlite3_backup*)> copy{
        nullptr, &sqlite3_backup_finish};  // before `to` goes
};

Snapshot::Snapshot(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}
Snapshot::Snapshot(Snapshot&&) noexcept = default;
Snapshot& Snapshot::operator=(Snapshot&&) noexcept = default;
Snapshot::~Snapshot() = default;

Result<Snapshot> Snapshot::begin(const Store& store, const std::string& to) {
    if (const auto ready = store.impl_->ready(); !ready) return ready.error();
    // Access for the owner only, whatever SQLite would set; never through a link.
    if (!OpenFile(to, OpenFile::How::make))
        return Error{folder_writable(to) ? ErrorCode::io : ErrorCode::read_only, to, "cannot be made"};
    auto impl = std::make_unique<Impl>();
    impl->store = store.impl_.get();
    impl->from = store.impl_->db.get();
    auto opened = Database::open(to, SQLITE_OPEN_READWRITE);
    if (!opened) return opened.error();
    impl->to = std::move(*opened);
    // The copy is synced once, at the end, by other code; a torn copy is discarded. No journal, though a
    // defensive connection would require one: cancelling would then truncate the file, and a person who
    // closes the app would wait for that.
    sqlite3_db_config(impl->to.get(), SQLITE_DBCONFIG_DEFENSIVE, 0, nullptr);
    if (const auto set =
            impl->to.run("PRAGMA synchronous=OFF; PRAGMA journal_mode=OFF; PRAGMA cache_size=-2048");
        !set)
        return set.error();
    impl->copy.reset(sqlite3_backup_init(impl->to.get(), "main", impl->from, "main"));
    if (!impl->copy) return impl->to.error();
    return Snapshot(std::move(impl));
}

Result<bool> Snapshot::step(std::chrono::milliseconds most, int pages) {
    if (impl_->store->db.get() != impl_->from)
        return Error{ErrorCode::cancelled, impl_->to.path(), "opened anew"};
    const auto until = std::chrono::steady_clock::now() + most;
    int code = SQLITE_OK;
    do {
        code = sqlite3_backup_step(impl_->copy.get(), pages);
    } while (code == SQLITE_OK && std::chrono::steady_clock::now() < until);
    if (code == SQLITE_OK) return false;
    if (code == SQLITE_BUSY || code == SQLITE_LOCKED)
        return Error{ErrorCode::in_use, impl_->store->path, sqlite3_errstr(code)};
    if (code == SQLITE_DONE) code = sqlite3_backup_finish(impl_->copy.release());
    if (code == SQLITE_OK) {
        impl_->to = Database();
        return true;
    }
    return Error{code == SQLITE_READONLY ? ErrorCode::read_only : ErrorCode::io, impl_->to.path(),
                 sqlite3_errstr(code)};
}

Result<std::uint64_t> Snapshot::entries_in(const Store& store) {
    if (const auto ready = store.impl_->ready(); !ready) return ready.error();
    const auto count = store.impl_->db.number("SELECT count(*) FROM entry");
    if (!count) return count.error();
    return static_cast<std::uint64_t>(*count);
}

}  // namespace restand
