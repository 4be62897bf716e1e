// The store beside SQLite alone, in one run: a copy and its check, pages of the time line, an import.
//   bench_sqlite        makes a decade's file (decade.h) in a folder of its own
//   bench_sqlite FILE   uses that file; makes it if it is missing
//   bench_sqlite FILE import | pages | copy   one of the three alone

#include <sqlite3.h>

#include <fstream>
#include <iterator>

#include "core/codec/sha256.h"
#include "core/store/backup.h"
#include "core/store/store.h"
#include "core/sync/sync_bundle.h"
#include "tests/bench/decade.h"

using namespace restand;
using namespace bench;

namespace {

// A connection as a program without a store would use it.
class Bare {
public:
    explicit Bare(const std::string& path) {
        check(sqlite3_open(path.c_str(), &db_) == SQLITE_OK, "the file opens");
    }
    Bare(const Bare&) = delete;
    ~Bare() {
        for (sqlite3_stmt* one : statements_) sqlite3_finalize(one);
        sqlite3_close(db_);
    }
    void run(const std::string& sql) {
        check(sqlite3_exec(db_, sql.c_str(), nullptr, nullptr, nullptr) == SQLITE_OK, sqlite3_errmsg(db_));
    }
    sqlite3_stmt* prepare(const std::string& sql) {
        sqlite3_stmt* made = nullptr;
        check(sqlite3_prepare_v2(db_, sql.c_str(), -1, &made, nullptr) == SQLITE_OK, sqlite3_errmsg(db_));
        return statements_.emplace_back(made);
    }
    // The size of all values of all rows: nothing is left unread.
    static std::size_t read_all(sqlite3_stmt* rows) {
        std::size_t bytes = 0;
        while (sqlite3_step(rows) == SQLITE_ROW)
            for (int i = 0; i < sqlite3_column_count(rows); ++i)
                if (sqlite3_column_blob(rows, i))
                    bytes += static_cast<std::size_t>(sqlite3_column_bytes(rows, i));
        sqlite3_reset(rows);
        return bytes;
    }

private:
    sqlite3* db_ = nullptr;
    std::vector<sqlite3_stmt*> statements_;
};

// One hash of the file's bytes.
void hash_of_file(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    std::vector<char> block(1 << 20);
    Sha256 sum;
    while (in.read(block.data(), static_cast<std::streamsize>(block.size())) || in.gcount() > 0)
        sum.add({block.data(), static_cast<std::size_t>(in.gcount())});
    (void)sum.finish();
}

// Both hash with the same library.
bool copying(const Folder& folder, const std::string& path) {
    const Store store = must(Store::open(path, Store::Mode::write));
    const std::string copies = folder / "copies", plain = folder / "plain.db";
    std::int64_t now = begun_ms;
    Beside times;
    times.run(
        3, [&] { check(must(back_up(store, copies, now += 3'600'000)).good, "the copy is whole"); },
        [&] {
            std::filesystem::remove(plain);
            Bare(path).run("VACUUM INTO '" + plain + "'");
            Bare copy(plain);
            check(Bare::read_all(copy.prepare("PRAGMA integrity_check")) == 2, "its structure is whole");
            hash_of_file(plain);
        });
    return times.report("a copy and its check", "VACUUM INTO, integrity_check, one hash", 1.8);
}

bool pages(const std::string& path, const Id& bike) {
    const Store store = must(Store::open(path, Store::Mode::write));
    Bare file(path);
    const std::string kinds = "kind IN ('baseline','change','event','part','record','swap','tick','way')";
    bool fine = true;
    const auto page = [&](const char* what, const std::string& more, HistoryQuery query) {
        query.bike = bike;
        sqlite3_stmt* rows = file.prepare(
            "SELECT e.* FROM (SELECT id FROM entry INDEXED BY entry_time WHERE bike=? AND " + kinds + more +
            " ORDER BY clock_counter>>16 DESC,clock_ms DESC,clock_counter DESC,id DESC LIMIT " +
            std::to_string(query.limit) + ") k JOIN entry e ON e.id=k.id");
        sqlite3_bind_blob(rows, 1, bike.bytes.data(), static_cast<int>(bike.bytes.size()), SQLITE_STATIC);
        Beside times;
        times.run(
            101, [&] { check(must(store.history(query)).moments.size() == query.limit, "a full page"); },
            [&] { check(Bare::read_all(rows) > 0, "a page"); });
        fine &= times.report(what, "the same rows by a kept statement", 5);
    };
    page("newest page of a bike", " AND +kind<>'tick'", {});
    HistoryQuery baselines;
    baselines.kinds = {"baseline"};
    page("page of its baselines", " AND +kind='baseline'", baselines);
    return fine;
}

// A file of 15 800 entries that are all new; and the same rows inserted into the same table and indexes.
bool importing(const Folder& folder) {
    constexpr int entries_in_file = 15'800, runs = 5;
    Decade decade;
    while (decade.count() < entries_in_file) decade.next(decade.count() % bike_count);
    const SyncBundle made{{}, decade.take()};
    const std::string bundle = write_sync_bundle(made);
    std::string schema;
    {
        const Store store = must(Store::open(folder / "empty.restand", Store::Mode::create));
        Bare empty(folder / "empty.restand");
        sqlite3_stmt* rows = empty.prepare(
            "SELECT sql||';' FROM sqlite_schema WHERE tbl_name='entry' AND type IN ('table','index') AND sql "
            "NOT NULL"
            " ORDER BY type DESC");
        while (sqlite3_step(rows) == SQLITE_ROW)
            schema += reinterpret_cast<const char*>(sqlite3_column_text(rows, 0));
        sqlite3_reset(rows);
    }
    const std::string ours = folder / "import.restand", theirs = folder / "import.db";
    Beside times;
    times.run(
        runs,
        [&] {
            std::filesystem::remove(ours);
            Store store = must(Store::open(ours, Store::Mode::create));
            const auto read = must(read_sync_bundle(bundle, nullptr, Verified::by_merge));
            check(must(store.merge(read.entries)).added == made.entries.size(), "all of it is new");
        },
        [&] {
            std::filesystem::remove(theirs);
            Bare db(theirs);
            db.run(schema + "BEGIN");
            sqlite3_stmt* insert = db.prepare("INSERT INTO entry VALUES(?,?,?,?,?,?,?,?,?,?,?,?,?)");
            for (const Entry& e : made.entries) {
                const auto blob = [&](int at, const void* bytes, std::size_t size) {
                    sqlite3_bind_blob(insert, at, bytes, static_cast<int>(size), SQLITE_STATIC);
                };
                const auto number = [&](int at, std::uint64_t v) {
                    sqlite3_bind_int64(insert, at, static_cast<std::int64_t>(v));
                };
                const auto id = [&](int at, const Id& v) {
                    if (v.nil()) return void(sqlite3_bind_null(insert, at));
                    blob(at, v.bytes.data(), v.bytes.size());
                };
                const auto text = [&](int at, const std::string& v) {
                    sqlite3_bind_text(insert, at, v.data(), static_cast<int>(v.size()), SQLITE_STATIC);
                };
                id(1, e.id);
                number(2, e.device), number(3, e.number), number(4, static_cast<std::uint64_t>(e.clock.ms));
                number(5, e.clock.counter);
                blob(6, e.previous.data(), e.previous.size());
                text(7, e.kind);
                id(8, e.bike), id(9, e.about), id(10, e.by);
                sqlite3_bind_zeroblob(insert, 11, 0);
                if (!e.supersedes.empty()) blob(11, e.supersedes.data(), e.supersedes.size() * sizeof(Id));
                blob(12, e.hash.data(), e.hash.size());
                text(13, e.body);
                check(sqlite3_step(insert) == SQLITE_DONE, "a row");
                sqlite3_reset(insert);
            }
            db.run("COMMIT");
        });
    return times.report("import of 15 800 entries", "the same rows inserted", 4);
}

}  // namespace

int main(int argc, char** argv) {
    const Folder folder;
    const std::string path = argc > 1 ? argv[1] : folder / "decade.restand";
    const std::string only = argc > 2 ? argv[2] : "";
    Decade decade;
    if (!std::filesystem::exists(path)) {
        Store store = must(Store::open(path, Store::Mode::create));
        decade.write(store, entries_wanted);
    }
    bool fine = true;
    if (only.empty() || only == "import") fine &= importing(folder);
    if (only.empty() || only == "pages") fine &= pages(path, decade.bike(3));
    if (only.empty() || only == "copy") fine &= copying(folder, path);
    return fine ? 0 : 1;
}
