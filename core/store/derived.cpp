#include "core/store/derived.h"

#include <algorithm>
#include <set>

#include "core/codec/body_json.h"
#include "core/codec/canonical.h"
#include "core/ledger/history.h"

namespace restand {
namespace {

std::string hex(std::span<const std::uint8_t> bytes) {
    constexpr char digits[] = "0123456789abcdef";
    std::string text;
    for (const std::uint8_t b : bytes) text += {digits[b >> 4], digits[b & 15]};
    return text;
}

bool is_timed(const std::string& kind) {
    return kind == "tick" || is_moment(kind);
}

// Reset at once, also after a failure: an active statement would hold the transaction open.
Outcome done(const Database& db, Statement& statement) {
    const bool good = statement.step() == SQLITE_DONE;
    const Error error = good ? Error{} : db.error();
    statement.reset();
    if (good) return Done{};
    return error;
}

void name_parts(std::set<std::string>& names, const Reading& reading) {
    if (is_text(reading.point) && !reading.repeats.empty()) names.insert(reading.repeats.front().text);
}

std::string_view view(const Id& id) {
    return {reinterpret_cast<const char*>(id.bytes.data()), id.bytes.size()};
}

}  // namespace

std::int64_t word_group(std::int64_t clock_ms) {
    return std::clamp<std::int64_t>(clock_ms, 0, (1ll << 42) - 1) << word_shift;
}

std::string bike_mark(const Id& bike) {
    return "b" + hex(bike.bytes);
}
std::string kind_mark(std::string_view kind) {
    return "k" + std::string(kind);
}
std::string epoch_mark(std::uint32_t epoch) {
    return "e" + std::to_string(epoch);
}
std::string part_mark(std::string_view name) {
    const Hash hash = sha256(name);
    return "p" + hex(std::span(hash).first(8));
}

std::vector<std::string> parts_named(const Body& body) {
    std::set<std::string> names;
    if (const auto* b = std::get_if<BaselineBody>(&body))
        for (const BaselineValue& v : b->values) name_parts(names, v.stored.reading);
    const auto of_values = [&](const std::vector<SetValue>& values) {
        for (const SetValue& v : values) name_parts(names, v.reading);
    };
    if (const auto* b = std::get_if<ChangeBody>(&body)) of_values(b->values);
    if (const auto* b = std::get_if<PlanStepBody>(&body)) of_values(b->values);
    if (const auto* b = std::get_if<RecordBody>(&body)) of_values(b->values);
    if (const auto* b = std::get_if<EventBody>(&body)) names.insert(b->tyre);
    if (const auto* b = std::get_if<PartBody>(&body)) names.insert(b->name);
    names.erase("");
    return {names.begin(), names.end()};
}

void GoneSum::add(const Id& id, const Id& through) {
    const Hash hash = sha256(std::string(view(id)) + std::string(view(through)));
    for (std::size_t i = 0; i < sum.size(); ++i) sum[i] ^= hash[i];
    ++count;
}

Outcome Deriver::gone(const Entry& entry) {
    if (entry.supersedes.empty()) return Done{};
    auto insert = db_->prepare("INSERT OR IGNORE INTO " + schema_ + ".gone VALUES(?,?)");
    if (!insert) return insert.error();
    GoneSum more;
    for (const Id& id : entry.supersedes) {
        insert->bind_bytes(1, id.bytes);
        insert->bind_bytes(2, entry.id.bytes);
        if (const auto inserted = done(*db_, *insert); !inserted) return inserted;
        if (sqlite3_changes(db_->get()) > 0) more.add(id, entry.id);
    }
    return schema_ == "main" ? keep_sum(more) : Done{};
}

Outcome Deriver::keep_sum(const GoneSum& more) {
    auto now = sum_kept(*db_);
    if (!now) return now.error();
    for (std::size_t i = 0; i < more.sum.size(); ++i) now->sum[i] ^= more.sum[i];
    auto move = db_->prepare("UPDATE derived SET gone_count=gone_count+?, gone_sum=?");
    if (!move) return move.error();
    move->bind(1, static_cast<std::int64_t>(more.count));
    move->bind_bytes(2, now->sum);
    return done(*db_, *move);
}

WordsRow words_row(const Entry& entry) {
    // A moment that this version cannot read is still on the time line, but without words.
    const auto fact = decode(entry);
    WordsRow row;
    if (fact) {
        const FindBy by = find_by(*fact);
        row = {by.words, by.parts, "", parts_named(fact->body)};
    }
    row.marks = bike_mark(entry.bike) + " " + kind_mark(entry.kind);
    if (entry.clock.epoch() > 0) row.marks += " " + epoch_mark(entry.clock.epoch());
    for (const std::string& name : row.names) row.marks += " " + part_mark(name);
    return row;
}

// Rows of one millisecond are numbered in sequence.
Result<std::int64_t> Deriver::next_row(std::int64_t clock_ms) {
    auto last = db_->prepare("SELECT max(id) FROM " + schema_ + ".words_content WHERE id>=? AND id<?");
    if (!last) return last.error();
    const std::int64_t group = word_group(clock_ms);
    last->bind(1, group);
    last->bind(2, group + (1ll << word_shift));
    const bool found = last->step() == SQLITE_ROW;
    const Error error = found ? Error{} : db_->error();
    const std::int64_t row = found && !last->null(0) ? last->integer(0) + 1 : group;
    if (!found) return error;
    return row;
}

Outcome Deriver::words(const Entry& entry) {
    if (!is_timed(entry.kind)) return Done{};
    const WordsRow by = words_row(entry);
    auto insert_part = db_->prepare("INSERT OR IGNORE INTO " + schema_ + ".part VALUES(?,?)");
    if (!insert_part) return insert_part.error();
    for (const std::string& name : by.names) {
        insert_part->bind_bytes(1, entry.bike.bytes);
        insert_part->bind_text(2, name);
        if (const auto inserted = done(*db_, *insert_part); !inserted) return inserted;
    }
    if (!is_moment(entry.kind)) return Done{};

    const auto row = next_row(entry.clock.ms);
    if (!row) return row.error();
    auto insert =
        db_->prepare("INSERT INTO " + schema_ + ".words(rowid,said,parts,marks,id) VALUES(?,?,?,?,?)");
    if (!insert) return insert.error();
    insert->bind(1, *row);
    insert->bind_text(2, by.said);
    insert->bind_text(3, by.parts);
    insert->bind_text(4, by.marks);
    insert->bind_bytes(5, entry.id.bytes);
    return done(*db_, *insert);
}

Outcome Deriver::all_words(std::span<const Entry* const> entries) {
    for (const Entry* entry : entries)
        if (const auto good = words(*entry); !good) return good;
    // FTS5 writes its index when a savepoint begins: damage shows here, not at the commit of the entries.
    if (const auto written = db_->run("SAVEPOINT written"); !written) return written;
    if (const auto merged = merge_a_little(entries.size()); !merged) return merged;
    return db_->run("RELEASE written");
}

// By default FTS5 merges at every 64th page written, hundreds of pages in one commit: that reading then waits
// 50 ms and more. Here every commit merges about as much as its additions need in the long run.
Outcome Deriver::merge_a_little(std::size_t entries) {
    constexpr std::size_t pages = 16,
                          pages_an_entry = 2;  // a page is merged once per level; a decade has about 9
    auto row = db_->prepare("SELECT v FROM " + schema_ + ".words_config WHERE k='automerge'");
    if (!row) return row.error();
    const bool itself = row->step() != SQLITE_ROW || row->integer(0) != 0;
    *row = Statement();
    auto words = db_->prepare("INSERT INTO " + schema_ + ".words(words,rank) VALUES(?,?)");
    if (!words) return words.error();
    const auto tell = [&](const char* what, std::int64_t value) {
        words->bind_text(1, what);
        words->bind(2, value);
        return done(*db_, *words);
    };
    if (itself)
        if (const auto told = tell("automerge", 0); !told) return told;
    return tell("merge", static_cast<std::int64_t>(pages + pages_an_entry * entries));
}

Outcome Deriver::add(std::span<const Entry* const> entries) {
    for (const Entry* entry : entries)
        if (const auto good = gone(*entry); !good) return good;
    if (std::none_of(entries.begin(), entries.end(), [](const Entry* e) { return is_timed(e->kind); }))
        return Done{};
    if (const auto begun = db_->run("SAVEPOINT words"); !begun) return begun;
    const auto worded = all_words(entries);
    if (worded) return db_->run("RELEASE words");
    if (worded.error().code != ErrorCode::damaged) return worded;
    // An entry is never refused because of its index.
    const auto back = db_->run("ROLLBACK TO words; RELEASE words; UPDATE derived SET words=0");
    if (!back) return back;
    return Done{};
}

Result<GoneSum> sum_kept(const Database& db) {
    auto row = db.prepare("SELECT gone_count, gone_sum FROM main.derived");
    if (!row) return row.error();
    const int code = row->step();
    GoneSum sum;
    if (code == SQLITE_DONE || (code == SQLITE_ROW && row->bytes(1).size() != sum.sum.size()))
        return Error{ErrorCode::damaged, db.path(), "the row of derived tables"};
    if (code != SQLITE_ROW) return db.error();
    sum.count = static_cast<std::uint64_t>(row->integer(0));
    const auto bytes = row->bytes(1);
    std::copy(bytes.begin(), bytes.end(), sum.sum.begin());
    return sum;
}

Result<std::vector<Id>> gone_ids(const Database& db, GoneSum& sum) {
    auto rows = db.prepare("SELECT id, through FROM gone ORDER BY id");
    if (!rows) return rows.error();
    std::vector<Id> ids;
    int code = rows->step();
    for (; code == SQLITE_ROW; code = rows->step()) {
        Id id, through;
        const auto a = rows->bytes(0), b = rows->bytes(1);
        if (a.size() != id.bytes.size() || b.size() != through.bytes.size())
            return Error{ErrorCode::damaged, db.path(), "gone"};
        std::copy(a.begin(), a.end(), id.bytes.begin());
        std::copy(b.begin(), b.end(), through.bytes.begin());
        sum.add(id, through);
        if (ids.empty() || ids.back() != id) ids.push_back(id);
    }
    if (code != SQLITE_DONE) return db.error();
    if (!std::is_sorted(ids.begin(), ids.end())) return Error{ErrorCode::damaged, db.path(), "gone"};
    return ids;
}

namespace {

// Every entry that produces a row in a derived table, one at a time: a decade need not fit in memory.
Outcome derive_all(const Database& db, Deriver& deriver, bool gone, bool words) {
    const std::string which =
        !words ? "length(supersedes)>0" : std::string(timed_kinds) + (gone ? " OR length(supersedes)>0" : "");
    auto rows = db.prepare("SELECT " + std::string(entry_columns) + " FROM main.entry WHERE " + which);
    if (!rows) return rows.error();
    int code = rows->step();
    for (; code == SQLITE_ROW; code = rows->step()) {
        const auto entry = entry_of_row(*rows);
        if (!entry) continue;
        if (gone)
            if (const auto good = deriver.gone(*entry); !good) return good;
        if (words)
            if (const auto good = deriver.words(*entry); !good) return good;
    }
    if (code != SQLITE_DONE) return db.error();
    return Done{};
}

}  // namespace

Outcome derive_anew(const Database& db) {
    const auto dropped = db.run(
        "DROP TABLE IF EXISTS words; DROP TABLE IF EXISTS part; DROP TABLE IF EXISTS gone; "
        "DROP INDEX IF EXISTS entry_time; DROP TABLE IF EXISTS derived");
    if (!dropped) return dropped;
    if (const auto made = db.run(derived_schema().c_str()); !made) return made;
    Deriver deriver(db, "main");
    return derive_all(db, deriver, true, true);
}

Outcome derive_in_memory(const Database& db, bool gone, bool words) {
    if (const auto made = db.run(derived_schema_in_memory(gone, words).c_str()); !made) return made;
    Deriver deriver(db, "temp");
    return derive_all(db, deriver, gone, words);
}

}  // namespace restand
