#pragma once
// The workshop file's tables, and whether a file is one. Inside core/store only.

#include "core/ledger/entry.h"
#include "core/store/database.h"

namespace restand {

// application_id and user_version, read before anything else. 0: an empty database, as SQLite makes it.
// Errors: not_ours, damaged, in_use, io.
Result<int> version_of(const Database& db);
// Journal, sync and the rest; the journal mode's answer is checked.
Outcome settle(const Database& db);
// Everything in one transaction, with the device's row.
Outcome make_schema(const Database& db, std::uint64_t device);
// The tables, indexes and triggers are word for word ours: a foreign trigger could change what is written.
Outcome check_schema(const Database& db, int version);
// Version 2 had the time line's index by time alone. Within the transaction that is open.
Outcome order_time_by_epoch(const Database& db);
// What versions 2 and 3 added, empty (derived.h): in the file, or beside it in memory, where it hides the file's.
std::string derived_schema();
std::string derived_schema_in_memory(bool gone, bool words);

// Clock's order in SQL, word for word as entry_time has it.
inline constexpr const char* clock_order = "clock_counter>>16,clock_ms,clock_counter";
inline constexpr const char* clock_order_down = "clock_counter>>16 DESC,clock_ms DESC,clock_counter DESC";
std::string greatest_clock();   // of those that are possible() (ledger/entry.h): a SELECT of ms and counter

// False, and nothing copied: another size.
template <std::size_t N>
bool copy_bytes(std::string_view from, std::array<std::uint8_t, N>& to) {
    if (from.size() != N) return false;
    std::copy(from.begin(), from.end(), to.begin());
    return true;
}

// An entry as a row. Columns in the order of `entry_columns`.
extern const char* const entry_columns;
extern const char* const insert_entry;
void bind_entry(Statement& statement, const Entry& entry);  // `entry` must outlive the step
// Error damaged (subject: the id) when a field has the wrong size or the hash differs.
Result<Entry> entry_of_row(Statement& statement);
Outcome verify(const Entry& entry);

}  // namespace restand
