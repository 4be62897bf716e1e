#pragma once
// Tables derived from entries; they may be deleted and rebuilt. Filled in the same transaction as their
// entries. Inside core/store only.
//
//   gone     which entry is superseded, and by which
//   words    FTS5, one row per moment: its text, the parts it names, and marks
//   part     names of all parts ever fitted to a bike
//   derived  one row: count of gone's rows and XOR of their SHA-256; whether `words` is whole
//   entry_time (an index) the moments and ticks of a bike in order of their clocks
//
// A row of `words` is numbered ms · 2^20 + a running number within the millisecond, so that the newest of an
// epoch come first without sorting. Within one millisecond the reader sorts; it queries epoch by epoch. Marks
// are separate words: 'b' + bike, 'k' + kind, 'e' + the clock's epoch (none for epoch 0), 'p' + the first 8
// bytes of the SHA-256 of a part's name, so that every filter is one query.
// Part names, words and bikes from a foreign file never reach SQL as text.

#include <functional>
#include <map>
#include <span>

#include "core/ledger/body.h"
#include "core/quantity/progress.h"
#include "core/store/schema.h"

namespace restand {

struct Fact;

inline constexpr const char* timed_kinds =   // must match the index's text exactly
    "kind IN ('baseline','change','event','part','record','swap','tick','way')";
inline constexpr const char* not_superseded =
    " AND NOT EXISTS(SELECT 1 FROM gone WHERE gone.id=entry.id)";
inline constexpr int word_shift = 20;
std::int64_t word_group(std::int64_t clock_ms);   // the first row number of a millisecond

std::string bike_mark(const Id& bike);
std::string kind_mark(std::string_view kind);
std::string part_mark(std::string_view name);
std::string epoch_mark(std::uint32_t epoch);      // of a clock; entries of epoch 0 have none
std::vector<std::string> words_of(std::string_view text);   // of a search
std::vector<std::string> parts_named(const Body& body);   // tyres and parts, each once, by name

// The search terms of a moment, as in its row of `words`.
struct WordsRow {
    std::string said, parts, marks;
    std::vector<std::string> names;               // of parts
};
WordsRow words_row(const Entry& entry);

// Count and XOR over `gone`.
struct GoneSum {
    std::uint64_t count = 0;
    Hash sum{};
    void add(const Id& id, const Id& through);
    friend bool operator==(const GoneSum&, const GoneSum&) = default;
};

// Puts rows for entries into the tables of one schema: "main", or "temp" (in memory, hiding the file's).
class Deriver {
public:
    Deriver(const Database& db, std::string schema) : db_(&db), schema_(std::move(schema)) {}
    // Error: of the file; the state of the tables is then unknown until the transaction is rolled back.
    Outcome gone(const Entry& entry);
    Outcome words(const Entry& entry);
    // Both, for all entries. A damaged index of words is marked as damaged and stops nothing.
    Outcome add(std::span<const Entry* const> entries);

private:
    Outcome all_words(std::span<const Entry* const> entries);
    Outcome merge_a_little(std::size_t entries);
    Result<std::int64_t> next_row(std::int64_t clock_ms);
    Outcome keep_sum(const GoneSum& more);

    const Database* db_;
    std::string schema_;
};

Result<GoneSum> sum_kept(const Database& db);                  // what `derived` says
Result<std::vector<Id>> gone_ids(const Database& db, GoneSum& sum);   // ascending, each once

// Deletes the file's own tables and rebuilds them, in the open transaction.
Outcome derive_anew(const Database& db);
// Builds them in memory, beside the file. Entries that cannot be read are skipped.
Outcome derive_in_memory(const Database& db, bool gone, bool words);

}  // namespace restand
