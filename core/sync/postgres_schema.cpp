#include "core/sync/postgres.h"

namespace restand {

// bytea for columns that a hostile file could fill with any bytes; the body is JSON, so it is text. Two
// entries with one id are both kept, as in a folder; a device reports the second when it takes it. The unique
// index covers all columns: with a key of id and hash only, a row with other content would keep the entry
// out. (The index uses the md5 of the body, because an index cannot hold a long text.)
std::string_view postgres_schema() {
    return R"(create table restand_entry (
  id bytea not null check (octet_length(id) = 16),
  device bigint not null,
  number bigint not null check (number > 0),
  clock_ms bigint not null,
  clock_counter bigint not null,
  previous bytea not null check (octet_length(previous) = 32),
  kind bytea not null,
  bike bytea not null check (octet_length(bike) = 16),
  about bytea not null check (octet_length(about) = 16),
  by_person bytea not null check (octet_length(by_person) = 16),
  supersedes bytea not null check (octet_length(supersedes) % 16 = 0),
  hash bytea not null check (octet_length(hash) = 32),
  body text not null
);
create unique index restand_entry_once on restand_entry (sha256(id || int8send(device) || int8send(number) ||
  int8send(clock_ms) || int8send(clock_counter) || previous || int4send(octet_length(kind)) || kind || bike ||
  about || by_person || int4send(octet_length(supersedes)) || supersedes || hash || decode(md5(body), 'hex')));
create index restand_entry_number on restand_entry (device, number) include (hash);
create table restand_device (
  device bigint not null,
  name text not null,
  at_ms bigint not null,
  entries bigint not null,
  holds bytea not null
);
create index restand_device_newest on restand_device (device, entries, at_ms);
)";
}

}  // namespace restand
