#pragma once
// A thin SQLite wrapper: one connection with the store's settings, statements that close themselves, and
// SQLite's codes as the core's errors. Inside core/store only.

#include <sqlite3.h>

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <unordered_map>

#include "core/quantity/result.h"

namespace restand {

// A connection's statements that nobody uses now, ready to run again: preparing one takes as long as finding
// some rows. They go with the connection.
class KeptStatements {
public:
    KeptStatements() = default;
    KeptStatements(const KeptStatements&) = delete;
    KeptStatements& operator=(const KeptStatements&) = delete;
    ~KeptStatements();
    sqlite3_stmt* take(std::string_view sql);  // nullptr: none of this text
    bool keep(sqlite3_stmt* stmt) noexcept;    // false: there are enough, or no memory

private:
    std::unordered_multimap<std::string_view, sqlite3_stmt*> idle_;  // the texts are the statements' own
};

// Given back to its connection at its end, or finalised if the connection is gone.
class Statement {
public:
    Statement() = default;
    Statement(sqlite3_stmt* stmt, std::weak_ptr<KeptStatements> kept)
        : stmt_(stmt, GiveBack{std::move(kept)}) {}
    explicit operator bool() const { return stmt_ != nullptr; }

    // Parameters count from 1, columns from 0. Bound bytes must outlive the step.
    void bind(int at, std::int64_t v) { sqlite3_bind_int64(stmt_.get(), at, v); }
    void bind_text(int at, std::string_view v);
    void bind_blob(int at, const void* data, std::size_t size);
    template <class Array>
    void bind_bytes(int at, const Array& v) {
        bind_blob(at, v.data(), v.size());
    }

    int step() { return sqlite3_step(stmt_.get()); }  // SQLITE_ROW, SQLITE_DONE or an error
    void reset() { sqlite3_reset(stmt_.get()), sqlite3_clear_bindings(stmt_.get()); }
    std::int64_t integer(int column) { return sqlite3_column_int64(stmt_.get(), column); }
    std::string_view bytes(int column);  // text or blob; valid until the next step
    bool null(int column) { return sqlite3_column_type(stmt_.get(), column) == SQLITE_NULL; }

private:
    struct GiveBack {
        std::weak_ptr<KeptStatements> kept;
        void operator()(sqlite3_stmt* stmt) const noexcept;
    };
    std::unique_ptr<sqlite3_stmt, GiveBack> stmt_;
};

// While it lives, SQLite in this process may allocate only what it already uses plus a quarter of the file (8
// MB at least): a damaged index of words asks for a gigabyte. An allocation above the bound fails as damaged.
// The bound is per process: it includes what other threads' stores allocate meanwhile.
class HeapBound {
public:
    explicit HeapBound(const class Database& db);
    HeapBound(const HeapBound&) = delete;
    HeapBound& operator=(const HeapBound&) = delete;
    ~HeapBound();
};

class Database {
public:
    Database() = default;
    // Opens and applies the safety settings; reads nothing yet. `flags` as sqlite3_open_v2.
    static Result<Database> open(const std::string& path, int flags);
    explicit operator bool() const { return db_ != nullptr; }
    sqlite3* get() const { return db_.get(); }
    const std::string& path() const { return path_; }

    // A kept one of the same text, if there is one; none is kept of a PRAGMA, which may act when prepared.
    Result<Statement> prepare(std::string_view sql) const;
    Outcome run(const char* sql) const;                       // without rows
    Result<std::int64_t> number(std::string_view sql) const;  // first column of the first row
    Result<std::string> text(std::string_view sql) const;
    // The last failure in the core's terms; subject = path, detail = SQLite's words.
    Error error() const;

private:
    std::unique_ptr<sqlite3, int (*)(sqlite3*)> db_{nullptr, &sqlite3_close_v2};
    std::shared_ptr<KeptStatements> kept_;  // declared after the connection: closed before it
    std::string path_;
};

}  // namespace restand
