#ifdef RESTAND_POSTGRES
#include "core/sync/postgres_wire.h"

#include <poll.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <optional>

namespace restand::postgres {
namespace {

// The first line is the message; the rest repeats the statement.
std::string first_line(const char* text) {
    std::string line(text ? text : "");
    if (line.starts_with("ERROR:")) line.erase(0, 6);
    line.erase(0, line.find_first_not_of(' '));
    return line.substr(0, line.find('\n'));
}

// SQLSTATE codes: PostgreSQL 15 documentation, appendix A.
ErrorCode code_of_state(const char* state) {
    if (!state) return ErrorCode::io;
    if (std::strcmp(state, "42501") == 0 || std::strcmp(state, "25006") == 0) return ErrorCode::read_only;
    if (std::strcmp(state, "42P01") == 0) return ErrorCode::not_found;
    return ErrorCode::io;
}

// If the connection string cannot be parsed, anything that looks like a password counts as one: libpq's error
// message would repeat it.
bool holds_password(const std::string& connection) {
    const std::unique_ptr<PQconninfoOption, void (*)(PQconninfoOption*)> options(
        PQconninfoParse(connection.c_str(), nullptr), PQconninfoFree);
    for (const PQconninfoOption* one = options.get(); one && one->keyword; ++one)
        if (one->val &&
            (std::strcmp(one->keyword, "password") == 0 || std::strcmp(one->keyword, "sslpassword") == 0))
            return true;
    if (options) return false;
    std::string words = connection;
    for (char& c : words) c = static_cast<char>(c >= 'A' && c <= 'Z' ? c + 32 : c);
    return words.find("password") != std::string::npos || words.find('@') != std::string::npos;
}

Error broken(PGconn* c) {
    return {ErrorCode::io, "PostgreSQL", first_line(PQerrorMessage(c))};
}
Error silent(std::chrono::seconds patience) {
    return {ErrorCode::io, "PostgreSQL",
            "the server has not answered for " + std::to_string(patience.count()) + " s, it is given up"};
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

Result<Connection> Connection::open(const std::string& connection, std::chrono::seconds patience) {
    if (holds_password(connection))
        return Error{
            ErrorCode::contradiction, "PostgreSQL",
            "a password is not taken from the connection's words, where other programs can read it: put it "
            "into the environment as PGPASSWORD, or into the user's password file"};
    // The user's connection string may override the keys before "dbname", but not those after it.
    const char* keys[] = {"connect_timeout", "fallback_application_name", "tcp_user_timeout",
                          "dbname",          "client_encoding",           nullptr};
    const char* values[] = {"10", "restand", "30000", connection.c_str(), "UTF8", nullptr};
    Connection opened(PQconnectdbParams(keys, values, 1), patience);
    PGconn* c = opened.connection_.get();
    if (!c || PQstatus(c) != CONNECTION_OK)
        return Error{ErrorCode::io, "PostgreSQL", c ? first_line(PQerrorMessage(c)) : "no memory"};
    PQsetnonblocking(c, 1);
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
    PGconn* c = connection_.get();
    if (PQsendQueryParams(c, statement.c_str(), static_cast<int>(values.size()), p.types_.data(),
                          values.data(), lengths.data(), p.formats_.data(), 1) != 1)
        return broken(c);
    for (int left = PQflush(c); left != 0; left = PQflush(c)) {
        if (left < 0) return broken(c);
        if (!wait(true)) return silent(patience_);
        // Read while sending: a server that already answers would otherwise wait for us to read.
        if (PQconsumeInput(c) != 1) return broken(c);
    }
    return answer();
}

bool Connection::wait(bool sending) const {
    pollfd one{PQsocket(connection_.get()), static_cast<short>(POLLIN | (sending ? POLLOUT : 0)), 0};
    const auto until = std::chrono::steady_clock::now() + patience_;
    for (;;) {
        const auto left =
            std::chrono::ceil<std::chrono::milliseconds>(until - std::chrono::steady_clock::now());
        const int ready = ::poll(&one, 1, static_cast<int>(std::max<std::int64_t>(left.count(), 0)));
        if (ready >= 0 || errno != EINTR) return ready != 0;
    }
}

// Reads the answer to its end and returns the statement's only result.
Result<Rows> Connection::answer() {
    PGconn* c = connection_.get();
    std::optional<Rows> rows;
    for (;;) {
        while (PQisBusy(c)) {
            if (!wait(false)) return silent(patience_);
            if (PQconsumeInput(c) != 1) return broken(c);
        }
        PGresult* result = PQgetResult(c);
        if (!result) break;
        rows.emplace(result);
    }
    const PGresult* result = rows ? rows->result_of() : nullptr;
    const auto status = PQresultStatus(result);
    if (status == PGRES_TUPLES_OK || status == PGRES_COMMAND_OK) return std::move(*rows);
    const char* state = result ? PQresultErrorField(result, PG_DIAG_SQLSTATE) : nullptr;
    return Error{code_of_state(state), "PostgreSQL", first_line(PQerrorMessage(c))};
}

}  // namespace restand::postgres
#endif
