#pragma once
// The same exchange through a table of a PostgreSQL server, for a team that outgrows a folder.
//
//   restand_entry(id bytea, device bigint, number bigint, …, hash bytea, body text)   each content once
//   restand_device(device bigint, name text, at_ms bigint, entries bigint, holds bytea)   one row more at every put
// The role needs INSERT and SELECT only. Rows go in with ON CONFLICT DO NOTHING; they come out by what is missing
// (device and number), never by a serial. Every entry that comes out is verified like one from a file.
// PostgreSQL 14 or newer, the database in UTF8. Cancelled, put() leaves the entries that are in already: they are whole.
// Built where libpq is there; without it every call answers Error{not_found, "PostgreSQL", …}.

#include <chrono>

#include "core/sync/sync_bundle.h"

namespace restand {

// `connection` in libpq's own form: "host=… dbname=… user=…". A password in it is refused: other programs can read it
// there. It comes from PGPASSWORD or from the user's password file. A server that says nothing for so long is given up.
struct PostgresPlace {
    std::string connection;
    std::chrono::seconds patience{60};
};
bool postgres_built_in();
// The tables' SQL, for whoever owns the server; run once, with more rights than the devices have.
std::string_view postgres_schema();
Result<std::vector<Seen>> look(const PostgresPlace& place, const Sender& me);
Result<std::uint64_t> put(const PostgresPlace& place, const Sender& me, const Those& those, Progress* progress = nullptr);
Result<Taken> take(const PostgresPlace& place, const Sender& me, Progress* progress = nullptr);

}  // namespace restand
