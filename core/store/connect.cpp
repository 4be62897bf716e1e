// Opening a file: is it there, is it ours, may we write to it? Nothing is changed on disk before that is
// known.

#include <fcntl.h>
#include <unistd.h>

#include <algorithm>
#include <bit>
#include <filesystem>

#include "core/store/impl.h"

namespace restand {
namespace {

namespace fs = std::filesystem;

// What cannot be made is SQLite's to say.
void make_private(const std::string& path) {
    const int fd = ::open(path.c_str(), O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
    if (fd >= 0) ::close(fd);
}

}  // namespace

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
        // Two that create at once: the lock decides before the file is there.
        auto lock = FileLock::take(impl->path + ".lock");
        if (!lock) return Error{lock.error().code, path, lock.error().detail};
        impl->lock = std::move(*lock);
    }
    if (const auto connected = impl->connect(); !connected) {
        Error error = connected.error();
        if (error.subject == impl->path) error.subject = path;  // as the caller calls it
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
    release_statements();
    (void)db.text("PRAGMA journal_mode=DELETE");  // a journal that stays is empty of work, and harmless
}

void Store::Impl::release_statements() {
    insert_one = Statement();
    move_head = Statement();
    derive = Deriver(db, "main");
}

void Store::Impl::disconnect() {
    release_statements();
    held.reset();
    beside_ = {};
    // A copy that is under way keeps the connection alive, and with it the lock of an open transaction. An error: none
    // is open.
    if (db) (void)db.run("ROLLBACK");
    db = Database();
}

Outcome Store::Impl::open_file() {
    // Reading opens for writing too: only so can SQLite roll back what a killed process left half done.
    const int create = mode == Mode::create ? SQLITE_OPEN_CREATE : 0;
    // The owner's alone from its first byte on; SQLite would let others read it. Its journal is made as it is.
    if (create) make_private(path);
    auto opened = Database::open(path, SQLITE_OPEN_READWRITE | create);
    if (!opened && mode == Mode::read) opened = Database::open(path, SQLITE_OPEN_READONLY);
    if (!opened)
        return Error{folder_writable(path) ? opened.error().code : ErrorCode::read_only, path,
                     opened.error().detail};
    db = std::move(*opened);

    // Whose is it, and how old? The first statements of all; nothing is written before they are answered.
    const auto found = version_of(db);
    if (!found) return found.error();
    version = *found;
    const bool empty = version == 0;
    if (empty && mode != Mode::create) return Error{ErrorCode::not_ours, path, "empty"};
    if (version > workshop_version && mode != Mode::read)
        return Error{ErrorCode::newer_version, path, std::to_string(version)};

    // May it be written to? A file in a folder without room for its journal may not either.
    if (mode != Mode::read) {
        if (sqlite3_db_readonly(db.get(), "main") == 1) return Error{ErrorCode::read_only, path, "the file"};
        if (!folder_writable(path)) return Error{ErrorCode::read_only, path, "its folder"};
        if (!lock.held()) {
            auto taken = FileLock::take(path + ".lock");
            if (!taken) return Error{taken.error().code, path, taken.error().detail};
            lock = std::move(*taken);
        }
    }
    // Ours, and free: settings, a new file's tables, and then the tables word for word.
    if (const auto settled = settle(db); !settled) return settled;
    if (empty)
        if (const auto made = make_schema(db, new_device()); !made) return made;
    if (empty) version = workshop_version;
    // Read once from end to end, beside another connection: a small cache will do.
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

// Version 2 knew no epochs: its words are as this version has them, unless a later one's entries were merged into it.
Outcome Store::Impl::derive_for_this_version() {
    if (version != 2) return derive_anew(db);
    const auto words = db.number("SELECT words FROM derived");
    auto later = db.prepare("SELECT 1 FROM entry WHERE " + std::string(timed_kinds) + " AND clock_counter>>16>0 LIMIT 1");
    if (!later) return later.error();
    const int code = later->step();
    *later = Statement();
    if (code != SQLITE_DONE && code != SQLITE_ROW) return db.error();
    return words && *words == 1 && code == SQLITE_DONE ? order_time_by_epoch(db) : derive_anew(db);
}

// A file of version 1 gets its derived tables, one of version 2 its time line in the order of epochs; one whose index
// of words was found damaged gets a new one. All in one transaction: killed in the middle, the file is what it was.
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
    // Earlier versions did not go past what they had seen of clocks that ran ahead.
    if (made && must) made = go_past_what_was_seen();
    if (made && must)
        made = db.run(("PRAGMA user_version=" + std::to_string(workshop_version)).c_str());
    if (made) made = db.run("COMMIT");
    if (!made) (void)db.run("ROLLBACK");
    if (made) version = workshop_version;
    // An index that cannot even be thrown away leaves the file as it is: words are then found by reading.
    if (!made && !must && made.error().code == ErrorCode::damaged) return Done{};
    return made;
}

// The greatest clock of all that is held becomes the device's.
Outcome Store::Impl::go_past_what_was_seen() {
    const std::string greatest = greatest_clock();
    return db.run(("UPDATE device SET (clock_ms,clock_counter)=(" + greatest + ") WHERE EXISTS(" + greatest + ")").c_str());
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

// Does an entry bear this clock? Its id begins with the clock's time; one of another program's may not.
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

// A device's clock is always that of an entry, its own last or one it was given. One that runs ahead of the wall, or
// is of a later epoch, and that no entry bears comes from a damaged row; it would go before everything that follows.
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
    if (code == SQLITE_ROW) head.clock = {greatest->integer(0), static_cast<std::uint32_t>(greatest->integer(1))};
    return code == SQLITE_ROW || code == SQLITE_DONE ? Outcome(Done{}) : db.error();
}

Outcome Store::Impl::remember_state() {
    const auto state = db.number("PRAGMA data_version"), size = db.number("PRAGMA page_size");
    const auto page = db.number("SELECT rootpage FROM sqlite_schema WHERE name='device'");
    if (!state || !size || !page) return !state ? state.error() : !size ? size.error() : page.error();
    state_ = *state, page_size_ = *size, device_page_ = *page;
    return Done{};
}

// A lock on a name keeps nobody out who comes by another one, or after the lock's file was deleted; and a file may be
// copied over ours without being opened as one. SQLite's count of changes by others tells nearly always; a clone with as
// many changes as ours is told by the device's row, which no cache may answer for.
Outcome Store::Impl::still_ours() const {
    const Error replaced{ErrorCode::io, path, "another program replaced or changed the file; open it again"};
    const auto state = db.number("PRAGMA data_version");
    if (!state || *state != state_) return replaced;
    std::string page(static_cast<std::size_t>(page_size_), '\0');
    sqlite3_file* file = nullptr;
    if (sqlite3_file_control(db.get(), "main", SQLITE_FCNTL_FILE_POINTER, &file) != SQLITE_OK || !file || !file->pMethods)
        return replaced;
    const auto at = (device_page_ - 1) * page_size_;
    const int read = file->pMethods->xRead(file, page.data(), static_cast<int>(page.size()), at);
    if (read != SQLITE_OK) return replaced;
    std::string incarnation(8, '\0');
    for (std::size_t i = 0; i < 8; ++i) incarnation[i] = static_cast<char>(head.device >> (56 - 8 * i) & 0xff);
    // SQLite writes a number in as few bytes as hold it.
    const auto value = std::bit_cast<std::int64_t>(head.device);
    const bool wide = value > 0x7fffffffffffll || value < -0x800000000000ll;
    if (wide && page.find(incarnation) == std::string::npos) return replaced;
    const std::string hash(head.hash.begin(), head.hash.end());
    if (page.find(hash) == std::string::npos) return replaced;
    return Done{};
}

Outcome Store::Impl::ready() {
    if (db) return Done{};
    // Never a new file in the old one's place.
    if (mode == Mode::create) mode = Mode::write;
    return connect();
}

Outcome Store::Impl::writable() const {
    if (mode == Mode::read) return Error{ErrorCode::read_only, path, "opened for reading"};
    // A file that was moved or deleted still takes writes, into nowhere.
    int moved = 0;
    sqlite3_file_control(db.get(), "main", SQLITE_FCNTL_HAS_MOVED, &moved);
    if (moved) return Error{ErrorCode::io, path, "the file was moved or removed"};
    return Done{};
}

}  // namespace restand
