#include "core/store/database.h"

#include <algorithm>
#include <mutex>
#include <new>

namespace restand {
namespace {

constexpr int busy_ms = 5000;  // the longest time that a reader of the file delays a commit

ErrorCode code_of_sqlite(int code) {
    switch (code & 0xff) {
        case SQLITE_NOTADB:
            return ErrorCode::not_ours;
        case SQLITE_NOMEM:  // only under a HeapBound: the file asks for more than it can need
        case SQLITE_CORRUPT:
        case SQLITE_CONSTRAINT:
            return ErrorCode::damaged;
        case SQLITE_READONLY:
        case SQLITE_PERM:
        case SQLITE_AUTH:
            return ErrorCode::read_only;
        case SQLITE_BUSY:
        case SQLITE_LOCKED:
            return ErrorCode::in_use;
        case SQLITE_TOOBIG:
            return ErrorCode::too_large;
        default:
            return ErrorCode::io;
    }
}

// Bounds what a file may demand, since it may come from anywhere (SQLite: "Defense Against The Dark Arts").
void limit(sqlite3* db) {
    constexpr int limits[][2] = {{SQLITE_LIMIT_LENGTH, 64 << 20},   {SQLITE_LIMIT_SQL_LENGTH, 100'000},
                                 {SQLITE_LIMIT_COLUMN, 100},        {SQLITE_LIMIT_EXPR_DEPTH, 10},
                                 {SQLITE_LIMIT_COMPOUND_SELECT, 3}, {SQLITE_LIMIT_VDBE_OP, 25'000},
                                 {SQLITE_LIMIT_FUNCTION_ARG, 8},    {SQLITE_LIMIT_ATTACHED, 0},
                                 {SQLITE_LIMIT_TRIGGER_DEPTH, 10},  {SQLITE_LIMIT_LIKE_PATTERN_LENGTH, 50}};
    for (const auto& [which, most] : limits) sqlite3_limit(db, which, most);

    constexpr int settings[][2] = {{SQLITE_DBCONFIG_DEFENSIVE, 1},
                                   {SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0},
                                   {SQLITE_DBCONFIG_DQS_DML, 0},
                                   {SQLITE_DBCONFIG_DQS_DDL, 0},
                                   {SQLITE_DBCONFIG_ENABLE_VIEW, 0},
                                   {SQLITE_DBCONFIG_ENABLE_FKEY, 1},
                                   {SQLITE_DBCONFIG_ENABLE_LOAD_EXTENSION, 0}};
    for (const auto& [which, on] : settings) sqlite3_db_config(db, which, on, nullptr);
}

}  // namespace

KeptStatements::~KeptStatements() {
    for (const auto& [sql, stmt] : idle_) sqlite3_finalize(stmt);
}

sqlite3_stmt* KeptStatements::take(std::string_view sql) {
    const auto found = idle_.find(sql);
    if (found == idle_.end()) return nullptr;
    sqlite3_stmt* stmt = found->second;
    idle_.erase(found);
    return stmt;
}

bool KeptStatements::keep(sqlite3_stmt* stmt) noexcept {
    constexpr std::size_t enough = 64;
    if (idle_.size() >= enough) return false;
    try {
        idle_.emplace(sqlite3_sql(stmt), stmt);
        return true;
    } catch (const std::bad_alloc&) {
        return false;
    }
}

void Statement::GiveBack::operator()(sqlite3_stmt* stmt) const noexcept {
    sqlite3_reset(stmt);
    sqlite3_clear_bindings(stmt);
    const auto to = kept.lock();
    if (!to || std::string_view(sqlite3_sql(stmt)).starts_with("PRAGMA") || !to->keep(stmt))
        sqlite3_finalize(stmt);
}

void Statement::bind_text(int at, std::string_view v) {
    sqlite3_bind_text64(stmt_.get(), at, v.data(), v.size(), SQLITE_STATIC, SQLITE_UTF8);
}

void Statement::bind_blob(int at, const void* data, std::size_t size) {
    // A null pointer would bind NULL; an empty blob is not NULL.
    if (size == 0) return void(sqlite3_bind_zeroblob(stmt_.get(), at, 0));
    sqlite3_bind_blob64(stmt_.get(), at, data, size, SQLITE_STATIC);
}

std::string_view Statement::bytes(int column) {
    const void* data = sqlite3_column_blob(stmt_.get(), column);
    const int size = sqlite3_column_bytes(stmt_.get(), column);
    return data ? std::string_view(static_cast<const char*>(data), static_cast<std::size_t>(size)) : "";
}

Result<Database> Database::open(const std::string& path, int flags) {
    // The connection is made even when opening fails, and must be closed then too.
    sqlite3* raw = nullptr;
    const int code = sqlite3_open_v2(path.c_str(), &raw, flags | SQLITE_OPEN_FULLMUTEX, nullptr);
    Database database;
    database.db_.reset(raw);
    database.kept_ = std::make_shared<KeptStatements>();
    database.path_ = path;
    if (code != SQLITE_OK) return Error{code_of_sqlite(code), path, raw ? sqlite3_errmsg(raw) : "no memory"};
    sqlite3_extended_result_codes(raw, 1);
    sqlite3_busy_timeout(raw, busy_ms);
    limit(raw);
    return database;
}

namespace {
// All bounds in this process: the first sets one, later ones add to it, the last removes it.
struct HeapBounds {
    std::mutex mutex;
    int alive = 0;
    std::int64_t before = 0;
};
HeapBounds& heap_bounds() {
    static HeapBounds all;
    return all;
}
}  // namespace

HeapBound::HeapBound(const Database& db) {
    const auto pages = db.number("PRAGMA page_count"), size = db.number("PRAGMA page_size");
    const std::int64_t file = pages && size ? *pages * *size : 0;
    const std::int64_t more = std::max<std::int64_t>(8 << 20, file / 4);
    const std::lock_guard lock(heap_bounds().mutex);
    const std::int64_t now = sqlite3_hard_heap_limit64(-1);
    const bool first = heap_bounds().alive++ == 0;
    if (first) heap_bounds().before = now;
    sqlite3_hard_heap_limit64((first ? sqlite3_memory_used() : now) + more);
}

HeapBound::~HeapBound() {
    const std::lock_guard lock(heap_bounds().mutex);
    if (--heap_bounds().alive == 0) sqlite3_hard_heap_limit64(heap_bounds().before);
}

Result<Statement> Database::prepare(std::string_view sql) const {
    sqlite3_stmt* raw = kept_->take(sql);
    if (raw) return Statement(raw, kept_);
    const int code = sqlite3_prepare_v3(db_.get(), sql.data(), static_cast<int>(sql.size()),
                                        SQLITE_PREPARE_PERSISTENT, &raw, nullptr);
    if (code != SQLITE_OK) return error();
    return Statement(raw, kept_);
}

Outcome Database::run(const char* sql) const {
    if (sqlite3_exec(db_.get(), sql, nullptr, nullptr, nullptr) != SQLITE_OK) return error();
    return Done{};
}

Result<std::int64_t> Database::number(std::string_view sql) const {
    auto statement = prepare(sql);
    if (!statement) return statement.error();
    if (statement->step() != SQLITE_ROW) return error();
    return statement->integer(0);
}

Result<std::string> Database::text(std::string_view sql) const {
    auto statement = prepare(sql);
    if (!statement) return statement.error();
    if (statement->step() != SQLITE_ROW) return error();
    return std::string(statement->bytes(0));
}

Error Database::error() const {
    return {code_of_sqlite(sqlite3_errcode(db_.get())), path_, sqlite3_errmsg(db_.get())};
}

}  // namespace restand
