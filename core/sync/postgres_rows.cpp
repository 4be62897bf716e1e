#ifdef RESTAND_POSTGRES

#include "core/sync/postgres_rows.h"

#include <algorithm>

#include "core/codec/body_json.h"
#include "core/codec/bundle.h"
#include "core/codec/canonical.h"

namespace restand::postgres {
namespace {

constexpr int row_columns = 13;
constexpr std::string_view column_names =
    "id, device, number, clock_ms, clock_counter, previous, kind, bike, about, by_person, supersedes, hash, "
    "body";

template <std::size_t N>
bool bytes_into(std::array<std::uint8_t, N>& to, std::string_view bytes) {
    if (bytes.size() != N) return false;
    std::copy(bytes.begin(), bytes.end(), to.begin());
    return true;
}

// False if a column has an impossible value.
bool fill(const Rows& rows, int row, Entry& e) {
    for (int column = 0; column < row_columns; ++column)
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
    return bytes_into(e.previous, rows.bytes(row, 5)) && bytes_into(e.bike.bytes, rows.bytes(row, 7)) &&
           bytes_into(e.about.bytes, rows.bytes(row, 8)) && bytes_into(e.by.bytes, rows.bytes(row, 9)) &&
           bytes_into(e.hash, rows.bytes(row, 11));
}

std::string ids_of(const Entry& e) {
    std::string ids;
    for (const Id& id : e.supersedes) ids.append(id.bytes.begin(), id.bytes.end());
    return ids;
}

// The format of int8send and int4send.
void append_big_endian(std::string& to, std::uint64_t v, int count) {
    for (int i = count; i-- > 0;) to += static_cast<char>(v >> (8 * i) & 0xff);
}

}  // namespace

std::string entry_columns() {
    const std::string cap = std::to_string(body_cap);
    // `kind` and `supersedes` may have any length as well.
    const std::string fits = "octet_length(body) <= " + cap + " and octet_length(supersedes) <= " + cap +
                             " and octet_length(kind) <= 64";
    std::string names(column_names);
    for (const std::string_view name : {"kind", "supersedes", "body"}) {
        const std::size_t at = names.rfind(std::string(", ") + std::string(name)) + 2;
        names.replace(at, name.size(), "case when " + fits + " then " + std::string(name) + " end");
    }
    return names;
}

Result<Entry> read_entry(const Rows& rows, int row) {
    Entry entry;
    const bool named = !rows.null(row, 0) && bytes_into(entry.id.bytes, rows.bytes(row, 0));
    const std::string subject = "PostgreSQL, entry " + to_text(entry.id);
    if (rows.null(row, row_columns - 1))
        return Error{ErrorCode::too_large, subject, std::to_string(body_cap) + " bytes"};
    const bool whole = named && fill(rows, row, entry);
    const auto hash = whole ? hash_of(entry) : Result<Hash>(Error{ErrorCode::damaged, "", ""});
    if (hash && *hash == entry.hash) return entry;
    return Error{ErrorCode::damaged, subject, "its hash differs from its content"};
}

std::string insert_entries(std::size_t rows) {
    std::string text = "insert into restand_entry(" + std::string(column_names) + ") values ";
    for (std::size_t row = 0, n = 0; row < rows; ++row) {
        text += row ? ",(" : "(";
        for (int column = 0; column < row_columns; ++column)
            text += (column ? ",$" : "$") + std::to_string(++n);
        text += ")";
    }
    return text + " on conflict do nothing";
}

void add_entry(Parameters& p, const Entry& e) {
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
    p.bytea(ids_of(e));
    p.bytea(e.hash);
    p.text(e.body);
}

std::string_view row_digest() {
    return "sha256(id || int8send(device) || int8send(number) || int8send(clock_ms) || "
           "int8send(clock_counter)"
           " || previous || int4send(octet_length(kind)) || kind || bike || about || by_person"
           " || int4send(octet_length(supersedes)) || supersedes || hash || convert_to(body, 'UTF8'))";
}

Hash row_digest(const Entry& e) {
    std::string bytes;
    const auto raw = [&](const auto& array) { bytes.append(array.begin(), array.end()); };
    const auto sized = [&](const std::string& text) {
        append_big_endian(bytes, text.size(), 4);
        bytes += text;
    };
    raw(e.id.bytes);
    append_big_endian(bytes, e.device, 8);
    append_big_endian(bytes, e.number, 8);
    append_big_endian(bytes, static_cast<std::uint64_t>(e.clock.ms), 8);
    append_big_endian(bytes, e.clock.counter, 8);
    raw(e.previous);
    sized(e.kind);
    raw(e.bike.bytes);
    raw(e.about.bytes);
    raw(e.by.bytes);
    sized(ids_of(e));
    raw(e.hash);
    return sha256(bytes + e.body);
}

std::string_view in_ranges() {
    return " where device = $1 and exists (select from unnest($2::bigint[], $3::bigint[]) r(a, b)"
           " where number between a and b)";
}

// The ranges are two lists, so that one statement works for any number of ranges.
void add_ranges(Parameters& p, const Numbers& numbers) {
    std::vector<std::uint64_t> first, last;
    for (const NumberRange& number_range : numbers) {
        first.push_back(number_range.first);
        last.push_back(number_range.last);
    }
    p.int8_list(first);
    p.int8_list(last);
}

}  // namespace restand::postgres

#endif
