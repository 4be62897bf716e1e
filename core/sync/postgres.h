#pragma once
// Sync through two tables of a PostgreSQL server, for a team that is too large for a shared folder.
//
//   restand_entry(id bytea, device bigint, number bigint, …, hash bytea, body text)   each content once
//   restand_device(device bigint, name text, at_ms bigint, entries bigint, holds bytea)   a row per put()
// The role needs INSERT and SELECT only. Rows are inserted with ON CONFLICT DO NOTHING. Missing rows are
// selected by device and number, never by a serial. Every entry read is verified like one from a file.
// PostgreSQL 14 or newer, the database in UTF8. A cancelled put() leaves the entries already inserted: they
// are whole. Built if libpq is available; without it every call returns Error{not_found, "PostgreSQL", …}.

#include <chrono>

#include "core/sync/sync_bundle.h"

namespace restand {

// `connection` in libpq's own form: "host=… dbname=… user=…". A password in it is refused, because other
// programs can read it there; it comes from PGPASSWORD or from the user's password file. `patience`: the
// connection is given up when the server sends nothing for this long.
struct PostgresPlace {
    std::string connection;
    std::chrono::seconds patience{60};
};
bool postgres_built_in();
// The SQL that creates the tables. The owner of the server runs it once; it needs more rights than the
// devices have.
std::string_view postgres_schema();
Result<std::vector<Seen>> look(const PostgresPlace& place, const Sender& me);
Result<std::uint64_t> put(const PostgresPlace& place, const Sender& me, const Those& those,
                          Progress* progress = nullptr);
Result<Taken> take(const PostgresPlace& place, const Sender& me, Progress* progress = nullptr);

}  // namespace restand
