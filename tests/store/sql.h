#pragma once
// A workshop file changed behind the store's back, by plain SQL.

#include <doctest/doctest.h>
#include <sqlite3.h>

#include <string>

namespace restand::test {

inline void sql(const std::string& path, const std::string& text) {
    sqlite3* db = nullptr;
    sqlite3_open(path.c_str(), &db);
    const int code = sqlite3_exec(db, text.c_str(), nullptr, nullptr, nullptr);
    CHECK_MESSAGE(code == SQLITE_OK, text << ": " << sqlite3_errmsg(db));
    sqlite3_close(db);
}

// Back to the first version: what a file looked like before it had derived tables.
inline void make_version_1(const std::string& path) {
    sql(path,
        "DROP TABLE words; DROP TABLE part; DROP TABLE gone; DROP INDEX entry_time; DROP TABLE derived; "
        "PRAGMA user_version=1");
}

}  // namespace restand::test
