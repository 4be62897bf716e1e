#pragma once
// Entries as rows of restand_entry, there and back. Inside core/sync only, and only where libpq is.

#include "core/sync/sync_pool.h"
#include "core/sync/postgres_wire.h"

namespace restand::postgres {

// What is asked for by read_entry(), in its order. A row that is larger than any entry can be comes without its
// body: neither the server nor this device takes up memory for it.
std::string entry_columns();
// Errors: damaged (a column cannot be what it should, or the hash is not of this content), too_large. The subject
// names the entry.
Result<Entry> read_entry(const Rows& rows, int row);

// Its parameters are filled by add_entry(), once a row.
std::string insert_entries(std::size_t rows);
void add_entry(Parameters& to, const Entry& entry);

// What a row says, byte by byte, in 32 bytes: by the server as SQL, and of an entry as add_entry() puts it there. Two
// that are equal are one row; `hash` alone says only what a row claims.
std::string_view row_digest();
Hash row_digest(const Entry& entry);

// $1 the device, $2 and $3 the ranges of add_ranges().
std::string_view in_ranges();
void add_ranges(Parameters& to, const Numbers& numbers);

}  // namespace restand::postgres
