#pragma once
// The workshop file's tables, and the check that a file is a workshop. Inside core/store only.

#include "core/ledger/entry.h"
#include "core/store/database.h"

namespace restand {

// application_id and user_version, read before anything else. 0: an empty database, as SQLite makes it.
// Errors: not_ours, damaged, in_use, io.
Result<int> version_of(const Database& db);
// Sets journal mode, sync and other settings; checks the journal mode that SQLite returns.
Outcome settle(const Database& db);
// Creates everything in one transaction, with the device's row.
Outcome make_schema(const Database& db, std::uint64_t device);
// Tables, indexes and triggers must match ours exactly: a foreign trigger could change what is written.
Outcome check_schema(const Database& db, int version);
// Version 2 indexed the time line by time alone. Runs within the open transaction.
Outcome order_time_by_epoch(const Database& db);
// Creates what versions 2 and 3 added, empty (derived.h): in the file, or in memory, where it hides the
// file's.
std::string derived_schema();
std::string derived_schema_in_memory(bool gone, bool words);

// Clock's order in SQL; must match entry_time's text exactly.
inline constexpr const char* clock_order = "clock_counter>>16,clock_ms,clock_counter";
inline constexpr const char* clock_order_down = "clock_counter>>16 DESC,clock_ms DESC,clock_counter DESC";
std::string greatest_clock();   // of those that are possible() (ledger/entry.h): a SELECT of ms and counter

// False if the size differs; nothing is copied then.
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
