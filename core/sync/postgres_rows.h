#pragma once
// Converts entries to rows of restand_entry and back. For core/sync only; needs libpq.

#include "core/sync/sync_pool.h"
#include "core/sync/postgres_wire.h"

namespace restand::postgres {

// The columns that read_entry() reads, in its order. A row that is larger than the largest entry is sent
// without its body, so that neither the server nor this device uses memory for it.
std::string entry_columns();
// Errors: damaged (a column has an impossible value, or the hash does not match the content), too_large. The
// subject names the entry.
Result<Entry> read_entry(const Rows& rows, int row);

// add_entry() fills its parameters; it is called once per row.
std::string insert_entries(std::size_t rows);
void add_entry(Parameters& to, const Entry& entry);

// The SHA-256 of all columns of a row: as SQL for the server, and computed for an entry as add_entry() writes
// it. Equal digests mean equal rows. The column `hash` alone is not enough: it is only what the row claims.
std::string_view row_digest();
Hash row_digest(const Entry& entry);

// $1: the device; $2 and $3: the ranges from add_ranges().
std::string_view in_ranges();
void add_ranges(Parameters& to, const Numbers& numbers);

}  // namespace restand::postgres
