#ifdef RESTAND_POSTGRES
#include "core/exchange/postgres_wire.h"

#include <cstring>

namespace restand::postgres {
namespace {

// The first line says what happened; the rest repeats the statement.
std::string first_line(const char* text) {
    std::string line(text ? text : "");
    if (line.starts_with("ERROR:")) line.erase(0, 6);
    line.erase(0, line.find_first_not_of(' '));
    return line.substr(0, line.find('\n'));
}

// SQLSTATE codes: PostgreSQL 15 documentation, appendix A.
ErrorCode code_of(const char* state) {
    if (!state) return ErrorCode::io;
    if (std::strcmp(state, "42501") == 0 || std::strcmp(state, "25006") == 0) return ErrorCode::read_only;
    if (std::strcmp(state, "42P01") == 0) return ErrorCode::not_found;
    return ErrorCode::io;
}

}  // namespace

void Parameters::add(Type type, std::string bytes, bool binary) {
    types_.push_back(static_cast<Oid>(type));
    values_.push_back(std::move(bytes));
    formats_.push_back(binary ? 1 : 0);
}

std::string Parameters::big_endian(std::uint64_t v, int count) {
    std::string bytes;
    for (int i = count; i-- > 0;) bytes += static_cast<char>(v >> (8 * i) & 0xff);
    return bytes;
}

void Parameters::int8_list(const std::vector<std::uint64_t>& list) {
    std::string text = "{";
    for (const std::uint64_t v : list) {
        if (text.size() > 1) text += ',';
        text += std::to_string(v);
    }
    add(Type::int8_list, text + "}", false);
}

std::uint64_t Rows::changed() const {
    const std::string text = PQcmdTuples(result_.get());
    return text.empty() ? 0 : std::strtoull(text.c_str(), nullptr, 10);
}

std::string_view Rows::bytes(int row, int column) const {
    return {PQgetvalue(result_.get(), row, column),
            static_cast<std::size_t>(PQgetlength(result_.get(), row, column))};
}

std::uint64_t Rows::number(int row, int column) const {
    std::uint64_t v = 0;
    for (const char c : bytes(row, column)) v = v << 8 | static_cast<unsigned char>(c);
    return v;
}

Result<Connection> Connection::open(const std::string& connection) {
    // What stands first may be changed by the person's own words, what stands behind may not.
    const char* keys[] = {"connect_timeout", "fallback_application_name", "tcp_user_timeout",
                          "dbname",          "client_encoding",           nullptr};
    const char* values[] = {"10", "restand", "30000", connection.c_str(), "UTF8", nullptr};
    Connection opened(PQconnectdbParams(keys, values, 1));
    PGconn* c = opened.connection_.get();
    if (!c || PQstatus(c) != CONNECTION_OK)
        return Error{ErrorCode::io, "PostgreSQL", c ? first_line(PQerrorMessage(c)) : "no memory"};
    PQsetNoticeProcessor(
        c, [](void*, const char*) {}, nullptr);
    const char* encoding = PQparameterStatus(c, "server_encoding");
    if (!encoding || std::strcmp(encoding, "UTF8") != 0)
        return Error{ErrorCode::io, "PostgreSQL",
                     std::string("the database must be in UTF8, not in ") + (encoding ? encoding : "?")};
    return opened;
}

Result<Rows> Connection::run(const std::string& statement, const Parameters& p) {
    std::vector<const char*> values;
    std::vector<int> lengths;
    for (const std::string& value : p.values_) {
        values.push_back(value.c_str());
        lengths.push_back(static_cast<int>(value.size()));
    }
    Rows rows(PQexecParams(connection_.get(), statement.c_str(), static_cast<int>(values.size()),
                           p.types_.data(), values.data(), lengths.data(), p.formats_.data(), 1));
    const PGresult* result = rows.result_of();
    const auto status = PQresultStatus(result);
    if (status == PGRES_TUPLES_OK || status == PGRES_COMMAND_OK) return rows;
    const char* state = result ? PQresultErrorField(result, PG_DIAG_SQLSTATE) : nullptr;
    return Error{code_of(state), "PostgreSQL", first_line(PQerrorMessage(connection_.get()))};
}

}  // namespace restand::postgres
#endif
