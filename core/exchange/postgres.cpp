#include "core/exchange/postgres.h"

#ifdef RESTAND_POSTGRES

#include <algorithm>
#include <limits>

#include "core/exchange/body_json.h"
#include "core/exchange/parcel_pool.h"
#include "core/exchange/postgres_wire.h"

namespace restand {
namespace {

using postgres::Connection;
using postgres::Parameters;
using postgres::Rows;

constexpr std::size_t rows_a_statement = 500;
constexpr int columns = 13;
constexpr std::string_view column_names =
    "id, device, number, clock_ms, clock_counter, previous, kind, bike, about, by_person, supersedes, hash, "
    "body";

// Ranges as two lists, so that one statement serves any number of them.
void add_ranges(Parameters& p, const Numbers& numbers) {
    std::vector<std::uint64_t> first, last;
    for (const NumberRange& range : numbers) {
        first.push_back(range.first);
        last.push_back(range.last);
    }
    p.int8_list(first);
    p.int8_list(last);
}
// $1 the device, $2 and $3 the ranges.
constexpr std::string_view in_ranges =
    " where device = $1 and exists (select from unnest($2::bigint[], $3::bigint[]) r(a, b)"
    " where number between a and b)";
// 256 characters '0' and '1', as bit_xor gives it.
Hash hash_of_bits(std::string_view bits) {
    Hash hash{};
    for (std::size_t i = 0; i < bits.size() && i < 256; ++i)
        if (bits[i] == '1') hash[i / 8] = static_cast<std::uint8_t>(hash[i / 8] | 0x80u >> i % 8);
    return hash;
}

template <std::size_t N>
bool bytes_into(std::array<std::uint8_t, N>& to, std::string_view bytes) {
    if (bytes.size() != N) return false;
    std::copy(bytes.begin(), bytes.end(), to.begin());
    return true;
}

// A row as an entry; false when a column cannot be what it should.
bool entry_of(const Rows& rows, int row, Entry& e) {
    for (int column = 0; column < columns; ++column)
        if (rows.null(row, column)) return false;
    e.device = rows.number(row, 1);
    e.number = rows.number(row, 2);
    e.clock = {static_cast<std::int64_t>(rows.number(row, 3)),
               static_cast<std::uint32_t>(rows.number(row, 4))};
    e.kind = rows.bytes(row, 6);
    e.body = rows.bytes(row, 12);
    std::string_view ids = rows.bytes(row, 10);
    if (ids.size() % 16 != 0) return false;
    for (; !ids.empty(); ids.remove_prefix(16))
        bytes_into(e.supersedes.emplace_back().bytes, ids.substr(0, 16));
    return bytes_into(e.id.bytes, rows.bytes(row, 0)) && bytes_into(e.previous, rows.bytes(row, 5)) &&
           bytes_into(e.bike.bytes, rows.bytes(row, 7)) && bytes_into(e.about.bytes, rows.bytes(row, 8)) &&
           bytes_into(e.by.bytes, rows.bytes(row, 9)) && bytes_into(e.hash, rows.bytes(row, 11));
}

void add_entry(Parameters& p, const Entry& e) {
    std::string ids;
    for (const Id& id : e.supersedes) ids.append(id.bytes.begin(), id.bytes.end());
    p.bytea(e.id.bytes);
    p.int8(e.device);
    p.int8(e.number);
    p.int8(static_cast<std::uint64_t>(e.clock.ms));
    p.int8(e.clock.counter);
    p.bytea(e.previous);
    p.bytea(e.kind);
    p.bytea(e.bike.bytes);
    p.bytea(e.about.bytes);
    p.bytea(e.by.bytes);
    p.bytea(ids);
    p.bytea(e.hash);
    p.text(e.body);
}

std::string insert_statement(std::size_t rows) {
    std::string text = "insert into restand_entry(" + std::string(column_names) + ") values ";
    for (std::size_t row = 0, n = 0; row < rows; ++row) {
        text += row ? ",(" : "(";
        for (int column = 0; column < columns; ++column) text += (column ? ",$" : "$") + std::to_string(++n);
        text += ")";
    }
    return text + " on conflict do nothing";
}

class TablePool : public Pool {
public:
    explicit TablePool(Connection connection) : server_(std::move(connection)) {}

    Result<Holdings> holdings() override;
    Result<Holding> within(std::uint64_t device, const Numbers& numbers) override;
    Result<std::uint64_t> write(const std::vector<Entry>& entries) override;
    Result<std::uint64_t> finish() override { return std::uint64_t{0}; }
    Outcome read(std::uint64_t device, const Numbers& numbers, Taken& taken) override;

    Outcome write_holds(const Sender& me);
    Result<std::vector<Sender>> senders();
    Outcome begin_snapshot();

    Progress* progress = nullptr;

private:
    Result<Holdings> ranges(const std::string& where, const Parameters& parameters);
    Outcome fetch(Taken& taken);
    Connection server_;
};

// Islands of numbers without a gap: the number less its rank is one and the same within an island. bit_xor is
// there from PostgreSQL 14 on.
Result<Holdings> TablePool::ranges(const std::string& where, const Parameters& parameters) {
    const auto rows = server_.run(
        "select device, min(number), max(number), count(*),"
        " bit_xor(('x' || encode(hash, 'hex'))::bit(256))::text"
        " from (select device, number, hash,"
        " number - dense_rank() over (partition by device order by number) as island from restand_entry" +
            where + ") numbered group by device, island order by device, min(number)",
        parameters);
    if (!rows) return rows.error();
    Holdings all;
    for (int row = 0; row < rows->count(); ++row) {
        const std::uint64_t first = rows->number(row, 1), last = rows->number(row, 2);
        if (first == 0 || last < first) return Error{ErrorCode::damaged, "PostgreSQL", "an entry's number"};
        Holding& holding = all[rows->number(row, 0)];
        holding.numbers.push_back({first, last});
        holding.count += rows->number(row, 3);
        add_sum(holding.sum, hash_of_bits(rows->bytes(row, 4)));
    }
    return all;
}

Result<Holdings> TablePool::holdings() {
    return ranges("", {});
}

Result<Holding> TablePool::within(std::uint64_t device, const Numbers& numbers) {
    Parameters p;
    p.int8(device);
    add_ranges(p, numbers);
    auto all = ranges(std::string(in_ranges), p);
    if (!all) return all.error();
    return (*all)[device];
}

// Sorted by key, so that two devices that put the same entries at once wait for each other in one order only.
Result<std::uint64_t> TablePool::write(const std::vector<Entry>& entries) {
    std::vector<const Entry*> sorted;
    for (const Entry& entry : entries) sorted.push_back(&entry);
    std::sort(sorted.begin(), sorted.end(), [](const Entry* a, const Entry* b) {
        return std::tie(a->id, a->hash) < std::tie(b->id, b->hash);
    });
    std::uint64_t added = 0;
    for (std::size_t at = 0; at < sorted.size(); at += rows_a_statement) {
        if (cancelled(progress)) return cancelled_error();
        const std::size_t count = std::min(rows_a_statement, sorted.size() - at);
        Parameters p;
        for (std::size_t i = 0; i < count; ++i) add_entry(p, *sorted[at + i]);
        const auto inserted = server_.run(insert_statement(count), p);
        if (!inserted) return inserted.error();
        added += inserted->changed();
    }
    return added;
}

Outcome TablePool::read(std::uint64_t device, const Numbers& numbers, Taken& taken) {
    if (numbers.empty()) return Done{};
    Parameters p;
    p.int8(device);
    add_ranges(p, numbers);
    const auto declared =
        server_.run("declare entries no scroll cursor for select " + std::string(column_names) +
                        " from restand_entry" + std::string(in_ranges) + " order by number, id, hash",
                    p);
    if (!declared) return declared.error();
    if (const auto fetched = fetch(taken); !fetched) return fetched.error();
    const auto closed = server_.run("close entries");
    if (!closed) return closed.error();
    return Done{};
}

Outcome TablePool::fetch(Taken& taken) {
    for (;;) {
        if (cancelled(progress)) return cancelled_error();
        const auto rows = server_.run("fetch 2000 from entries");
        if (!rows) return rows.error();
        if (rows->count() == 0) return Done{};
        for (int row = 0; row < rows->count(); ++row) {
            Entry entry;
            const bool whole = entry_of(*rows, row, entry);
            const auto hash = whole ? hash_of(entry) : Result<Hash>(Error{ErrorCode::damaged, "", ""});
            if (hash && *hash == entry.hash)
                taken.entries.push_back(std::move(entry));
            else
                taken.refused.push_back({ErrorCode::damaged, "PostgreSQL, entry " + to_text(entry.id),
                                         "its hash differs from its content"});
        }
        if (progress) progress->done += static_cast<std::uint64_t>(rows->count());
    }
}

// What is said of a device is true for as long as it holds no less; so the row with the most entries is the
// newest, whatever the clocks say.
Outcome TablePool::write_holds(const Sender& me) {
    std::uint64_t entries = 0;
    for (const auto& [device, holding] : me.holds) entries += holding.count;
    Parameters p;
    p.int8(me.device);
    std::string name = me.name;
    std::erase(name, '\0');  // the one character that text cannot hold
    p.text(name);
    p.int8(static_cast<std::uint64_t>(me.at_ms));
    p.int8(entries);
    p.bytea(write_parcel({me, {}}));
    const auto written = server_.run(
        "insert into restand_device(device, name, at_ms, entries, holds) values ($1, $2, $3, $4, $5)", p);
    if (!written) return written.error();
    return Done{};
}

Result<std::vector<Sender>> TablePool::senders() {
    const auto rows = server_.run(
        "select distinct on (device) device, holds from restand_device"
        " order by device, entries desc, at_ms desc");
    if (!rows) return rows.error();
    std::vector<Sender> all;
    for (int row = 0; row < rows->count(); ++row) {
        auto parcel = read_parcel(rows->bytes(row, 1));
        if (parcel && parcel->sender.device == rows->number(row, 0)) all.push_back(std::move(parcel->sender));
    }
    return all;
}

// What is summed up and what is fetched must be the same entries.
Outcome TablePool::begin_snapshot() {
    const auto begun = server_.run("begin transaction isolation level repeatable read, read only");
    if (!begun) return begun.error();
    return Done{};
}

}  // namespace

bool postgres_built_in() {
    return true;
}

Result<std::vector<Seen>> look(const PostgresPlace& place, const Sender& me) {
    auto server = Connection::open(place.connection, place.patience);
    if (!server) return server.error();
    TablePool pool(std::move(*server));
    auto senders = pool.senders();
    if (!senders) return senders.error();
    return seen_by(me, std::move(*senders));
}

Result<std::uint64_t> put(const PostgresPlace& place, const Sender& me, const Those& those,
                          Progress* progress) {
    auto server = Connection::open(place.connection, place.patience);
    if (!server) return server.error();
    TablePool pool(std::move(*server));
    pool.progress = progress;
    auto written = put_into(pool, me, those, progress);
    if (!written) return written;
    if (const auto held = pool.write_holds(me); !held) return held.error();
    return written;
}

Result<Taken> take(const PostgresPlace& place, const Sender& me, Progress* progress) {
    auto server = Connection::open(place.connection, place.patience);
    if (!server) return server.error();
    TablePool pool(std::move(*server));
    pool.progress = progress;
    if (const auto begun = pool.begin_snapshot(); !begun) return begun.error();
    Taken taken;
    if (const auto took = take_from(pool, me, taken, progress); !took) return took.error();
    return taken;
}

}  // namespace restand

#else

namespace restand {
namespace {

Error absent() {
    return {ErrorCode::not_found, "PostgreSQL", "this Restand was built without it"};
}

}  // namespace

bool postgres_built_in() {
    return false;
}
Result<std::vector<Seen>> look(const PostgresPlace&, const Sender&) {
    return absent();
}
Result<std::uint64_t> put(const PostgresPlace&, const Sender&, const Those&, Progress*) {
    return absent();
}
Result<Taken> take(const PostgresPlace&, const Sender&, Progress*) {
    return absent();
}

}  // namespace restand

#endif

namespace restand {

// bytea for what a hostile file could fill with anything; the body is JSON, so it is text. Two entries that
// bear one id are both kept, as in a folder; a device is told of the second when it takes it.
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
  body text not null,
  primary key (id, hash)
);
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
