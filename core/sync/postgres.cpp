#include "core/sync/postgres.h"

#ifdef RESTAND_POSTGRES

#include <algorithm>
#include <limits>
#include <map>
#include <set>

#include "core/codec/body_json.h"
#include "core/codec/bundle.h"
#include "core/sync/postgres_rows.h"
#include "core/sync/sync_pool.h"

namespace restand {
namespace {

using postgres::add_ranges;
using postgres::Connection;
using postgres::Parameters;
using postgres::Rows;

constexpr std::size_t rows_a_statement = 500;
constexpr std::uint64_t rows_a_look = 4000;

// 256 characters '0' and '1', as bit_xor gives it.
Hash hash_of_bits(std::string_view bits) {
    Hash hash{};
    for (std::size_t i = 0; i < bits.size() && i < 256; ++i)
        if (bits[i] == '1') hash[i / 8] = static_cast<std::uint8_t>(hash[i / 8] | 0x80u >> i % 8);
    return hash;
}

class TablePool : public Pool {
public:
    explicit TablePool(Connection connection) : server_(std::move(connection)) {}

    Result<VersionRanges> ranges() override;
    Result<VersionRange> within(std::uint64_t device, const Numbers& numbers) override;
    Result<std::uint64_t> write(const std::vector<Entry>& entries) override;
    Result<std::uint64_t> finish() override { return std::uint64_t{0}; }
    Outcome read(std::uint64_t device, const Numbers& numbers, Taken& taken) override;

    Outcome write_holds(const Sender& me);
    Result<std::vector<Sender>> senders();
    Result<std::uint64_t> renew(const Sender& me, const Those& those);
    Outcome begin_snapshot();

    Progress* progress = nullptr;

private:
    Result<VersionRanges> number_ranges(const std::string& where, const Parameters& parameters);
    Result<std::set<Hash>> digests(std::uint64_t device, const Numbers& numbers);
    Outcome fetch(Taken& taken);
    Connection server_;
};

// Finds islands of numbers without a gap: within an island, number minus rank is constant. bit_xor needs
// PostgreSQL 14.
Result<VersionRanges> TablePool::number_ranges(const std::string& where, const Parameters& parameters) {
    const auto rows = server_.run(
        "select device, min(number), max(number), count(*),"
        " bit_xor(('x' || encode(hash, 'hex'))::bit(256))::text"
        " from (select device, number, hash,"
        " number - dense_rank() over (partition by device order by number) as island from restand_entry" +
            where + ") numbered group by device, island order by device, min(number)",
        parameters);
    if (!rows) return rows.error();
    VersionRanges all;
    for (int row = 0; row < rows->count(); ++row) {
        const std::uint64_t first = rows->number(row, 1), last = rows->number(row, 2);
        if (first == 0 || last < first) return Error{ErrorCode::damaged, "PostgreSQL", "an entry's number"};
        VersionRange& range = all[rows->number(row, 0)];
        range.numbers.push_back({first, last});
        range.count += rows->number(row, 3);
        add_sum(range.sum, hash_of_bits(rows->bytes(row, 4)));
    }
    return all;
}

Result<VersionRanges> TablePool::ranges() {
    return number_ranges("", {});
}

Result<VersionRange> TablePool::within(std::uint64_t device, const Numbers& numbers) {
    Parameters p;
    p.int8(device);
    add_ranges(p, numbers);
    auto all = number_ranges(std::string(postgres::in_ranges()), p);
    if (!all) return all.error();
    return (*all)[device];
}

// Sorted by key, so that two devices that put the same entries at the same time lock rows in the same order.
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
        for (std::size_t i = 0; i < count; ++i) postgres::add_entry(p, *sorted[at + i]);
        const auto inserted = server_.run(postgres::insert_entries(count), p);
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
    const auto declared = server_.run("declare entries no scroll cursor for select " +
                                          postgres::entry_columns() + " from restand_entry" +
                                          std::string(postgres::in_ranges()) + " order by number, id, hash",
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
        // A row has 1 MiB at the most, so 250 rows fit into memory.
        const auto rows = server_.run("fetch 250 from entries");
        if (!rows) return rows.error();
        if (rows->count() == 0) return Done{};
        for (int row = 0; row < rows->count(); ++row) {
            auto entry = postgres::read_entry(*rows, row);
            if (entry)
                taken.entries.push_back(std::move(*entry));
            else
                taken.refused.push_back(entry.error());
        }
        if (progress) progress->done += static_cast<std::uint64_t>(rows->count());
    }
}

// A statement about a device stays true as long as the device holds no less. So the row with the most entries
// is the newest, whatever the clocks say, provided that the place's entries confirm it (Heard).
Outcome TablePool::write_holds(const Sender& me) {
    std::uint64_t entries = 0;
    for (const auto& [device, range] : me.holds) entries += range.count;
    Parameters p;
    p.int8(me.device);
    std::string name = me.name;
    std::erase(name, '\0');  // the one character that text cannot hold
    p.text(name);
    p.int8(static_cast<std::uint64_t>(me.at_ms));
    p.int8(entries);
    p.bytea(write_sync_bundle({me, {}}));
    const auto written = server_.run(
        "insert into restand_device(device, name, at_ms, entries, holds) values ($1, $2, $3, $4, $5)", p);
    if (!written) return written.error();
    return Done{};
}

// Reads every row, because a forged row may claim to be the newest. All reads use one snapshot of the server.
Result<std::vector<Sender>> TablePool::senders() {
    if (const auto begun = begin_snapshot(); !begun) return begun.error();
    auto there = ranges();
    if (!there) return there.error();
    Heard heard(*this, std::move(*there));
    const auto declared = server_.run(
        "declare words no scroll cursor for select device, left(name, 256),"
        " case when octet_length(holds) <= " +
        std::to_string(body_cap) +
        " then holds end"
        " from restand_device order by entries desc, at_ms desc");
    if (!declared) return declared.error();
    for (;;) {
        if (cancelled(progress)) return cancelled_error();
        const auto rows = server_.run("fetch 250 from words");
        if (!rows) return rows.error();
        if (rows->count() == 0) break;
        for (int row = 0; row < rows->count(); ++row) {
            const std::uint64_t device = rows->number(row, 0);
            auto sync_bundle = rows->null(row, 2) ? Result<SyncBundle>(Error{ErrorCode::too_large, "", ""})
                                                  : read_sync_bundle(rows->bytes(row, 2));
            if (!sync_bundle || sync_bundle->sender.device != device)
                heard.unreadable(device, std::string(rows->bytes(row, 1)));
            else if (const auto taken = heard.hear(std::move(sync_bundle->sender)); !taken)
                return taken.error();
        }
    }
    if (const auto ended = server_.run("commit"); !ended) return ended.error();
    return heard.believed();
}

// The hash column is only a claim of the row, so the place may seem to hold an entry that nobody can take.
// For entries that another device lacks, the digest of the whole row is compared, and the entry is put again
// if it differs.
Result<std::uint64_t> TablePool::renew(const Sender& me, const Those& those) {
    const auto others = senders();
    if (!others) return others.error();
    std::map<std::uint64_t, Numbers> lacked;
    for (const Sender& other : *others)
        if (other.device != me.device)
            for (const Lack& lack : lacking(other.holds, me.holds))
                lacked[lack.device] = united(lacked[lack.device], lack.numbers);
    std::uint64_t written = 0;
    for (const auto& [device, numbers] : lacked)
        for (const Numbers& piece : pieces(numbers, rows_a_look)) {
            if (cancelled(progress)) return cancelled_error();
            const auto there = digests(device, piece);
            if (!there) return there.error();
            auto entries = those({{device, piece, count_of(piece), false}});
            if (!entries) return entries.error();
            std::erase_if(*entries, [&](const Entry& e) { return there->contains(postgres::row_digest(e)); });
            const auto wrote = write(*entries);
            if (!wrote) return wrote.error();
            written += *wrote;
        }
    return written;
}

Result<std::set<Hash>> TablePool::digests(std::uint64_t device, const Numbers& numbers) {
    Parameters p;
    p.int8(device);
    add_ranges(p, numbers);
    const auto rows = server_.run("select " + std::string(postgres::row_digest()) + " from restand_entry" +
                                      std::string(postgres::in_ranges()) +
                                      " and octet_length(body) <= " + std::to_string(body_cap),
                                  p);
    if (!rows) return rows.error();
    std::set<Hash> all;
    for (int row = 0; row < rows->count(); ++row) {
        const std::string_view bytes = rows->bytes(row, 0);
        Hash hash{};
        if (bytes.size() == hash.size()) std::copy(bytes.begin(), bytes.end(), hash.begin());
        all.insert(hash);
    }
    return all;
}

// The rows that are summed and the rows that are fetched must be the same, so both use one snapshot.
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
    const auto renewed = pool.renew(me, those);
    if (!renewed) return renewed;
    if (const auto held = pool.write_holds(me); !held) return held.error();
    return *written + *renewed;
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
