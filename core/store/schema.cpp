#include "core/store/schema.h"

#include <algorithm>
#include <bit>
#include <vector>

#include "core/codec/body_json.h"
#include "core/store/store.h"

namespace restand {
namespace {

struct Made {
    const char* name;
    const char* sql;
};
// Sorted by name. Columns that queries seldom need are last, so that long bodies stay on their overflow
// pages. A trigger also refuses an insert over an existing id: INSERT OR REPLACE does not fire the trigger
// for DELETE.
constexpr Made truth[] = {
    {"device",
     "CREATE TABLE device(one INTEGER PRIMARY KEY CHECK(one=1), incarnation INTEGER NOT NULL, "
     "clock_ms INTEGER NOT NULL, clock_counter INTEGER NOT NULL, number INTEGER NOT NULL, "
     "hash BLOB NOT NULL CHECK(length(hash)=32)) STRICT"},
    {"draft", "CREATE TABLE draft(one INTEGER PRIMARY KEY CHECK(one=1), bytes BLOB NOT NULL) STRICT"},
    {"entry",
     "CREATE TABLE entry(id BLOB PRIMARY KEY NOT NULL CHECK(length(id)=16), device INTEGER NOT NULL, "
     "number INTEGER NOT NULL CHECK(number>0), clock_ms INTEGER NOT NULL, "
     "clock_counter INTEGER NOT NULL CHECK(clock_counter>=0), previous BLOB NOT NULL "
     "CHECK(length(previous)=32), "
     "kind TEXT NOT NULL CHECK(length(kind) BETWEEN 1 AND 64), "
     "bike BLOB CHECK(length(bike)=16), about BLOB CHECK(length(about)=16), author BLOB "
     "CHECK(length(author)=16), "
     "supersedes BLOB NOT NULL CHECK(length(supersedes)%16=0), hash BLOB NOT NULL CHECK(length(hash)=32), "
     "body TEXT NOT NULL) STRICT, WITHOUT ROWID"},
    {"entry_about", "CREATE INDEX entry_about ON entry(about) WHERE about IS NOT NULL"},
    {"entry_kept",
     "CREATE TRIGGER entry_kept BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT,'append only'); END"},
    {"entry_kind", "CREATE INDEX entry_kind ON entry(kind,bike)"},
    {"entry_once",
     "CREATE TRIGGER entry_once BEFORE INSERT ON entry WHEN EXISTS(SELECT 1 FROM entry WHERE id=NEW.id) "
     "BEGIN SELECT RAISE(ABORT,'append only'); END"},
    {"entry_same",
     "CREATE TRIGGER entry_same BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT,'append only'); END"},
};

// All that version 2 added, with version 3's changes, in the order of creation; FTS5 makes the tables that
// store `words`.
constexpr Made derived_objects[] = {
    {"derived",
     "CREATE TABLE derived(one INTEGER PRIMARY KEY CHECK(one=1), words INTEGER NOT NULL, "
     "gone_count INTEGER NOT NULL, gone_sum BLOB NOT NULL CHECK(length(gone_sum)=32)) STRICT"},
    {"entry_time",
     "CREATE INDEX entry_time ON entry(bike,clock_counter>>16,clock_ms,clock_counter,id,kind) WHERE kind IN "
     "('baseline','change','event','part','record','swap','tick','way')"},
    {"gone",
     "CREATE TABLE gone(id BLOB NOT NULL CHECK(length(id)=16), through BLOB NOT NULL "
     "CHECK(length(through)=16), PRIMARY KEY(id,through)) STRICT, WITHOUT ROWID"},
    {"part",
     "CREATE TABLE part(bike BLOB NOT NULL, name TEXT NOT NULL, PRIMARY KEY(bike,name)) STRICT, "
     "WITHOUT ROWID"},
    {"words",
     "CREATE VIRTUAL TABLE words USING fts5(said, parts, marks, id UNINDEXED, prefix='1 2 3', "
     "tokenize='unicode61 remove_diacritics 2')"},
};
constexpr const char* entry_time_2 =
    "CREATE INDEX entry_time ON entry(bike,clock_ms,clock_counter,id,kind) WHERE kind IN "
    "('baseline','change','event','part','record','swap','tick','way')";
constexpr Made of_words[] = {
    {"words_config", "CREATE TABLE 'words_config'(k PRIMARY KEY, v) WITHOUT ROWID"},
    {"words_content", "CREATE TABLE 'words_content'(id INTEGER PRIMARY KEY, c0, c1, c2, c3)"},
    {"words_data", "CREATE TABLE 'words_data'(id INTEGER PRIMARY KEY, block BLOB)"},
    {"words_docsize", "CREATE TABLE 'words_docsize'(id INTEGER PRIMARY KEY, sz BLOB)"},
    {"words_idx", "CREATE TABLE 'words_idx'(segid, term, pgno, PRIMARY KEY(segid, term)) WITHOUT ROWID"},
};

std::vector<Made> schema_of(int version) {
    std::vector<Made> all(std::begin(truth), std::end(truth));
    if (version >= 2) {
        all.insert(all.end(), std::begin(derived_objects), std::end(derived_objects));
        all.insert(all.end(), std::begin(of_words), std::end(of_words));
    }
    if (version == 2)
        for (Made& one : all)
            if (one.name == std::string_view("entry_time")) one.sql = entry_time_2;
    std::sort(all.begin(), all.end(),
              [](const Made& a, const Made& b) { return std::string_view(a.name) < b.name; });
    return all;
}

void bind_id(Statement& statement, int at, const Id& id) {
    if (!id.nil()) statement.bind_bytes(at, id.bytes);
}

bool copy_id(Statement& row, int column, Id& id) {
    return row.null(column) || copy_bytes(row.bytes(column), id.bytes);
}

}  // namespace

Result<int> version_of(const Database& db) {
    const auto application = db.number("PRAGMA application_id");
    if (!application) return application.error();
    const auto version = db.number("PRAGMA user_version");
    if (!version) return version.error();
    const auto pages = db.number("PRAGMA page_count");
    if (!pages) return pages.error();
    if (*pages == 0) return 0;
    if (*application != workshop_application_id)
        return Error{ErrorCode::not_ours, db.path(), "another program's"};
    if (*version < 1) return Error{ErrorCode::damaged, db.path(), "version " + std::to_string(*version)};
    return static_cast<int>(*version);
}

// 16 MiB of cache hold the inner pages of a decade's tables: with SQLite's 2 MiB they are read repeatedly.
Outcome settle(const Database& db) {
    const auto run = db.run(
        "PRAGMA synchronous=EXTRA; PRAGMA foreign_keys=ON; PRAGMA cell_size_check=ON; PRAGMA mmap_size=0;"
        "PRAGMA recursive_triggers=ON; PRAGMA temp_store=MEMORY; PRAGMA cache_size=-16384");
    if (!run) return run;
    // A reading connection may not change the mode; it uses the writer's.
    if (sqlite3_db_readonly(db.get(), "main") == 1) return Done{};
    // The journal is kept and its head cleared: as safe as deleting it, without a change of the folder at
    // every commit. A large journal, after a merge, is truncated; the last connection deletes it.
    if (const auto cut = db.number("PRAGMA journal_size_limit=1048576"); !cut) return cut.error();
    const auto mode = db.text("PRAGMA journal_mode=PERSIST");
    if (!mode) return mode.error();
    if (*mode != "persist") return Error{ErrorCode::io, db.path(), "journal mode " + *mode};
    return Done{};
}

Outcome make_schema(const Database& db, std::uint64_t device) {
    std::string sql = "BEGIN EXCLUSIVE; PRAGMA application_id=" + std::to_string(workshop_application_id) +
                      "; PRAGMA user_version=" + std::to_string(workshop_version) + ";";
    // Tables before their indexes and triggers.
    for (const char* first : {"CREATE TABLE", "CREATE INDEX", "CREATE TRIGGER"})
        for (const Made& one : truth)
            if (std::string_view(one.sql).starts_with(first)) sql += std::string(one.sql) + ";";
    sql += derived_schema() + "INSERT INTO device VALUES(1," +
           std::to_string(std::bit_cast<std::int64_t>(device)) + ",0,0,0,zeroblob(32)); COMMIT";
    const auto made = db.run(sql.c_str());
    if (!made) (void)db.run("ROLLBACK");
    return made;
}

std::string derived_schema() {
    std::string sql;
    for (const Made& one : derived_objects) sql += std::string(one.sql) + ";";
    return sql + "INSERT INTO derived VALUES(1,1,0,zeroblob(32));";
}

Outcome order_time_by_epoch(const Database& db) {
    if (const auto dropped = db.run("DROP INDEX entry_time"); !dropped) return dropped;
    for (const Made& one : derived_objects)
        if (one.name == std::string_view("entry_time")) return db.run(one.sql);
    return Done{};
}

std::string greatest_clock() {
    return "SELECT clock_ms,clock_counter FROM entry WHERE clock_counter>>16<=" + std::to_string(last_epoch) +
           " AND clock_ms<=" + std::to_string(last_day_ms) + " ORDER BY " + clock_order_down + " LIMIT 1";
}

std::string derived_schema_in_memory(bool gone, bool words) {
    std::string sql;
    for (const Made& one : derived_objects) {
        const std::string_view text = one.sql, name = one.name;
        const bool wanted = name == "gone" ? gone : words && (name == "part" || name == "words");
        if (!wanted) continue;
        // "CREATE TABLE part(…" becomes "CREATE TABLE temp.part(…".
        const auto at = text.find(name, text.find(" TABLE "));
        sql += "DROP TABLE IF EXISTS temp." + std::string(name) + ";";
        sql += std::string(text.substr(0, at)) + "temp." + std::string(text.substr(at)) + ";";
    }
    return sql;
}

Outcome check_schema(const Database& db, int version) {
    const auto schema = schema_of(version);
    auto rows = db.prepare(
        "SELECT name, sql FROM main.sqlite_schema WHERE name NOT LIKE 'sqlite\\_%' ESCAPE '\\' ORDER BY "
        "name");
    if (!rows) return rows.error();
    std::size_t seen = 0;
    int code = rows->step();
    for (; code == SQLITE_ROW; code = rows->step(), ++seen)
        if (seen == schema.size() || rows->bytes(0) != schema[seen].name ||
            rows->bytes(1) != schema[seen].sql)
            return Error{ErrorCode::damaged, db.path(), "schema: " + std::string(rows->bytes(0))};
    if (code != SQLITE_DONE) return db.error();
    if (seen != schema.size()) return Error{ErrorCode::damaged, db.path(), "schema: a table is missing"};
    return Done{};
}

const char* const entry_columns =
    "id,device,number,clock_ms,clock_counter,previous,kind,bike,about,author,supersedes,hash,body";
const char* const insert_entry = "INSERT INTO entry VALUES(?,?,?,?,?,?,?,?,?,?,?,?,?)";

void bind_entry(Statement& statement, const Entry& entry) {
    static_assert(sizeof(Id) == 16, "ids of a list lie end to end");
    statement.bind_bytes(1, entry.id.bytes);
    statement.bind(2, std::bit_cast<std::int64_t>(entry.device));
    statement.bind(3, std::bit_cast<std::int64_t>(entry.number));
    statement.bind(4, entry.clock.ms);
    statement.bind(5, entry.clock.counter);
    statement.bind_bytes(6, entry.previous);
    statement.bind_text(7, entry.kind);
    bind_id(statement, 8, entry.bike);
    bind_id(statement, 9, entry.about);
    bind_id(statement, 10, entry.by);
    statement.bind_blob(11, entry.supersedes.data(), entry.supersedes.size() * sizeof(Id));
    statement.bind_bytes(12, entry.hash);
    statement.bind_text(13, entry.body);
}

Result<Entry> entry_of_row(Statement& row) {
    Entry entry;
    if (!copy_bytes(row.bytes(0), entry.id.bytes)) return Error{ErrorCode::damaged, "entry", "id"};
    const Error wrong{ErrorCode::damaged, to_text(entry.id), "a field has the wrong size"};
    entry.device = std::bit_cast<std::uint64_t>(row.integer(1));
    entry.number = std::bit_cast<std::uint64_t>(row.integer(2));
    entry.clock.ms = row.integer(3);
    const std::int64_t counter = row.integer(4);
    if (counter < 0 || counter > UINT32_MAX) return wrong;
    entry.clock.counter = static_cast<std::uint32_t>(counter);
    if (!copy_bytes(row.bytes(5), entry.previous)) return wrong;
    entry.kind = row.bytes(6);
    if (!copy_id(row, 7, entry.bike) || !copy_id(row, 8, entry.about) || !copy_id(row, 9, entry.by))
        return wrong;
    const std::string_view ids = row.bytes(10);
    if (ids.size() % sizeof(Id) != 0) return wrong;
    entry.supersedes.resize(ids.size() / sizeof(Id));
    for (std::size_t i = 0; i < entry.supersedes.size(); ++i)
        copy_bytes(ids.substr(i * sizeof(Id), sizeof(Id)), entry.supersedes[i].bytes);
    if (!copy_bytes(row.bytes(11), entry.hash)) return wrong;
    entry.body = row.bytes(12);
    if (const auto good = verify(entry); !good) return good.error();
    return entry;
}

Outcome verify(const Entry& entry) {
    const auto hash = hash_of(entry);
    if (!hash) return Error{ErrorCode::damaged, to_text(entry.id), hash.error().detail};
    if (*hash != entry.hash)
        return Error{ErrorCode::damaged, to_text(entry.id), "its hash differs from its content"};
    return Done{};
}

}  // namespace restand
