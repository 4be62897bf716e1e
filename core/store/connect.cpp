// Opens a file: does it exist, is it ours, may we write to it? Nothing is changed on disk before that is
// known.

#include <algorithm>
#include <bit>
#include <filesystem>

#include "core/store/impl.h"

namespace restand {

namespace fs = std::filesystem;

Result<Store> Store::open(const std::string& path, Mode mode, std::function<std::int64_t()> wall) {
    auto impl = std::make_unique<Impl>();
    if (wall) impl->wall = std::move(wall);
    impl->path = real_path(path);
    impl->mode = mode;
    std::error_code ignored;
    const auto status = fs::status(impl->path, ignored);
    const bool there = fs::exists(status);
    if (!there && mode != Mode::create) return Error{ErrorCode::not_found, path, ""};
    if (there && !fs::is_regular_file(status)) return Error{ErrorCode::not_ours, path, "not a file"};
    if (!there) {
        // Two processes may create at once: the lock decides before the file exists.
        auto lock = FileLock::take(impl->path + ".lock");
        if (!lock) return Error{lock.error().code, path, lock.error().detail};
        impl->lock = std::move(*lock);
    }
    if (const auto connected = impl->connect(); !connected) {
        Error error = connected.error();
        if (error.subject == impl->path) error.subject = path;  // use the caller's path
        return error;
    }
    return Store(std::move(impl));
}

Outcome Store::Impl::connect() {
    const Outcome opened = open_file();
    if (!opened) disconnect();
    return opened;
}

Store::Impl::~Impl() {
    if (!db || mode == Mode::read) return;
    (void)db.text("PRAGMA journal_mode=DELETE");  // a leftover journal has no work in it, and is harmless
}

void Store::Impl::disconnect() {
    held.reset();
    counting.reset();
    beside_ = {};
    // A running copy keeps the connection open, and with it the lock of an open transaction. An error: no
    // transaction is open.
    if (db) (void)db.run("ROLLBACK");
    db = Database();
}

Outcome Store::Impl::open_file() {
    // Even a read-only open opens for writing: only then can SQLite roll back what a killed process left
    // unfinished.
    const int create = mode == Mode::create ? SQLITE_OPEN_CREATE : 0;
    // Created with access for the owner only; SQLite would let others read it. The journal gets the same
    // permissions.
    if (create) (void)OpenFile(path, OpenFile::How::make);  // SQLite reports what cannot be made
    auto opened = Database::open(path, SQLITE_OPEN_READWRITE | create);
    if (!opened && mode == Mode::read) opened = Database::open(path, SQLITE_OPEN_READONLY);
    if (!opened)
        return Error{folder_writable(path) ? opened.error().code : ErrorCode::read_only, path,
                     opened.error().detail};
    db = std::move(*opened);

    // Whose file is it, and which version? These are the first statements; nothing is written before they are
    // answered.
    const auto found = version_of(db);
    if (!found) return found.error();
    version = *found;
    const bool empty = version == 0;
    if (empty && mode != Mode::create) return Error{ErrorCode::not_ours, path, "empty"};
    if (version > workshop_version && mode != Mode::read)
        return Error{ErrorCode::newer_version, path, std::to_string(version)};

    // Is it writable? A file in a folder without room for its journal may not be.
    if (mode != Mode::read) {
        if (sqlite3_db_readonly(db.get(), "main") == 1) return Error{ErrorCode::read_only, path, "the file"};
        if (!folder_writable(path)) return Error{ErrorCode::read_only, path, "its folder"};
        if (!lock.held()) {
            auto taken = FileLock::take(path + ".lock");
            if (!taken) return Error{taken.error().code, path, taken.error().detail};
            lock = std::move(*taken);
        }
    }
    // It is ours and unlocked: apply settings, create a new file's tables, then compare the tables exactly.
    if (const auto settled = settle(db); !settled) return settled;
    if (empty)
        if (const auto made = make_schema(db, new_device()); !made) return made;
    if (empty) version = workshop_version;
    // Read once from end to end, beside another connection: a small cache is enough.
    if (mode == Mode::read)
        if (const auto only = db.run("PRAGMA query_only=ON; PRAGMA cache_size=-4096"); !only) return only;
    if (version <= workshop_version)
        if (const auto good = check_schema(db, version); !good) return good;
    if (mode != Mode::read)
        if (const auto up = bring_up(); !up) return up;
    if (const auto loaded = load_head(); !loaded || mode == Mode::read) return loaded;
    if (const auto known = remember_state(); !known) return known;
    return trust_clock();
}

// Version 2 had no epochs: its words match this version's, unless a later version's entries were merged into
// it.
Outcome Store::Impl::derive_for_this_version() {
    if (version != 2) return derive_anew(db);
    const auto words = db.number("SELECT words FROM derived");
    auto later = db.prepare("SELECT 1 FROM entry WHERE " + std::string(timed_kinds) +
                            " AND clock_counter>>16>0 LIMIT 1");
    if (!later) return later.error();
    const int code = later->step();
    *later = Statement();
    if (code != SQLITE_DONE && code != SQLITE_ROW) return db.error();
    return words && *words == 1 && code == SQLITE_DONE ? order_time_by_epoch(db) : derive_anew(db);
}

// A file of version 1 gets its derived tables; one of version 2 gets its time line in the order of epochs;
// one whose index of words was found damaged gets a new one. All in one transaction: if killed in the middle,
// the file is unchanged.
Outcome Store::Impl::bring_up() {
    bool wanted = version < workshop_version;
    if (!wanted) {
        const auto whole = db.number("SELECT words FROM derived");
        wanted = whole && *whole == 0;
    }
    if (!wanted) return Done{};
    const bool must = version < workshop_version;
    if (const auto begun = db.run("BEGIN IMMEDIATE"); !begun) return begun;
    auto made = derive_for_this_version();
    // Earlier versions did not advance past clocks they had seen that ran ahead.
    if (made && must) made = go_past_what_was_seen();
    if (made && must) made = db.run(("PRAGMA user_version=" + std::to_string(workshop_version)).c_str());
    if (made) made = db.run("COMMIT");
    if (!made) (void)db.run("ROLLBACK");
    if (made) version = workshop_version;
    // An index that cannot even be deleted leaves the file unchanged: words are then found by reading
    // entries.
    if (!made && !must && made.error().code == ErrorCode::damaged) return Done{};
    return made;
}

// Sets the device's clock to the greatest clock of all entries held.
Outcome Store::Impl::go_past_what_was_seen() {
    const std::string greatest = greatest_clock();
    return db.run(
        ("UPDATE device SET (clock_ms,clock_counter)=(" + greatest + ") WHERE EXISTS(" + greatest + ")")
            .c_str());
}

Outcome Store::Impl::load_head() {
    auto row = db.prepare("SELECT incarnation,number,clock_ms,clock_counter,hash FROM device");
    if (!row) return row.error();
    const int code = row->step();
    if (code == SQLITE_DONE) return Error{ErrorCode::damaged, path, "the device's row is missing"};
    if (code != SQLITE_ROW) return db.error();
    head.device = std::bit_cast<std::uint64_t>(row->integer(0));
    head.number = std::bit_cast<std::uint64_t>(row->integer(1));
    head.clock = {row->integer(2), static_cast<std::uint32_t>(row->integer(3))};
    const auto hash = row->bytes(4);
    if (hash.size() != head.hash.size()) return Error{ErrorCode::damaged, path, "the device's row"};
    std::copy(hash.begin(), hash.end(), head.hash.begin());
    return Done{};
}

// Does an entry have this clock? Our ids begin with the clock's time; another program's id may not.
Result<bool> Store::Impl::is_borne(const Clock& clock) const {
    const Id first = first_id(clock.ms);
    Id last = first;
    std::fill(last.bytes.begin() + 6, last.bytes.end(), std::uint8_t{0xff});
    for (const char* among : {"id BETWEEN ? AND ?", "id NOT BETWEEN ? AND ?"}) {
        auto borne = db.prepare("SELECT 1 FROM entry WHERE " + std::string(among) +
                                " AND clock_ms=? AND clock_counter=? LIMIT 1");
        if (!borne) return borne.error();
        borne->bind_bytes(1, first.bytes);
        borne->bind_bytes(2, last.bytes);
        borne->bind(3, clock.ms);
        borne->bind(4, clock.counter);
        const int code = borne->step();
        if (code == SQLITE_ROW) return true;
        if (code != SQLITE_DONE) return db.error();
    }
    return false;
}

// A device's clock is always that of an entry: its own last one or a received one. A clock that no entry has,
// and that runs ahead of the wall clock or is of a later epoch, comes from a damaged row; it would move all
// later entries ahead.
Outcome Store::Impl::trust_clock() {
    const std::int64_t now = wall();
    if (head.clock.ms <= now && head.clock.epoch() == 0) return Done{};
    const auto borne = is_borne(head.clock);
    if (!borne) return borne.error();
    if (*borne) return Done{};

    head.clock = {};
    auto greatest = db.prepare(greatest_clock());
    if (!greatest) return greatest.error();
    const int code = greatest->step();
    if (code == SQLITE_ROW)
        head.clock = {greatest->integer(0), static_cast<std::uint32_t>(greatest->integer(1))};
    return code == SQLITE_ROW || code == SQLITE_DONE ? Outcome(Done{}) : db.error();
}

Outcome Store::Impl::remember_state() {
    const auto state = db.number("PRAGMA data_version"), size = db.number("PRAGMA page_size");
    const auto page = db.number("SELECT rootpage FROM sqlite_schema WHERE name='device'");
    if (!state || !size || !page) return !state ? state.error() : !size ? size.error() : page.error();
    state_ = *state, page_size_ = *size, device_page_ = *page;
    return Done{};
}

// A lock on a name does not stop a process that uses another name, or one that comes after the lock's file
// was deleted; and a file may be copied over ours without being opened as a database. SQLite's count of
// changes by others detects nearly every case. A clone with the same count is detected by the device's row,
// which must not be read from a cache.
Outcome Store::Impl::still_ours() const {
    const Error replaced{ErrorCode::io, path, "another program replaced or changed the file; open it again"};
    const auto state = db.number("PRAGMA data_version");
    if (!state || *state != state_) return replaced;
    std::string page(static_cast<std::size_t>(page_size_), '\0');
    sqlite3_file* file = nullptr;
    if (sqlite3_file_control(db.get(), "main", SQLITE_FCNTL_FILE_POINTER, &file) != SQLITE_OK || !file ||
        !file->pMethods)
        return replaced;
    const auto at = (device_page_ - 1) * page_size_;
    const int read = file->pMethods->xRead(file, page.data(), static_cast<int>(page.size()), at);
    if (read != SQLITE_OK) return replaced;
    std::string incarnation(8, '\0');
    for (std::size_t i = 0; i < 8; ++i)
        incarnation[i] = static_cast<char>(head.device >> (56 - 8 * i) & 0xff);
    // SQLite stores a number in as few bytes as hold it.
    const auto value = std::bit_cast<std::int64_t>(head.device);
    const bool wide = value > 0x7fffffffffffll || value < -0x800000000000ll;
    if (wide && page.find(incarnation) == std::string::npos) return replaced;
    const std::string hash(head.hash.begin(), head.hash.end());
    if (page.find(hash) == std::string::npos) return replaced;
    return Done{};
}

Outcome Store::Impl::ready() {
    if (db) return Done{};
    // Never creates a new file in the old one's place.
    if (mode == Mode::create) mode = Mode::write;
    return connect();
}

Outcome Store::Impl::writable() const {
    if (mode == Mode::read) return Error{ErrorCode::read_only, path, "opened for reading"};
    // A file that was moved or deleted still accepts writes, but they are lost.
    int moved = 0;
    sqlite3_file_control(db.get(), "main", SQLITE_FCNTL_HAS_MOVED, &moved);
    if (moved) return Error{ErrorCode::io, path, "the file was moved or removed"};
    return Done{};
}

}  // namespace restand
