#pragma once
// Wraps libpq with Result: a connection, statements with binary parameters, rows. For core/sync only; needs
// libpq.

#include <libpq-fe.h>

#include <array>
#include <chrono>
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "core/quantity/result.h"

namespace restand::postgres {

enum class Type { int8 = 20, int4 = 23, text = 25, bytea = 17, int8_list = 1016 };

// Parameters in the order of $1, $2 … Numbers are in network byte order, as the protocol requires.
class Parameters {
public:
    void int8(std::uint64_t v) { add(Type::int8, big_endian(v, 8), true); }
    void int4(std::uint32_t v) { add(Type::int4, big_endian(v, 4), true); }
    void text(std::string v) { add(Type::text, std::move(v), true); }
    void bytea(std::string v) { add(Type::bytea, std::move(v), true); }
    template <std::size_t N>
    void bytea(const std::array<std::uint8_t, N>& v) {
        bytea(std::string(v.begin(), v.end()));
    }
    void int8_list(const std::vector<std::uint64_t>& list);  // as text: "{1,5,9}"

private:
    friend class Connection;
    void add(Type type, std::string bytes, bool binary);
    static std::string big_endian(std::uint64_t v, int count);
    std::vector<Oid> types_;
    std::vector<std::string> values_;
    std::vector<int> formats_;
};

class Rows {
public:
    explicit Rows(PGresult* result) : result_(result, PQclear) {}
    int count() const { return PQntuples(result_.get()); }
    std::uint64_t changed() const;  // rows that an insert added
    bool null(int row, int column) const { return PQgetisnull(result_.get(), row, column) != 0; }
    std::string_view bytes(int row, int column) const;  // binary form
    std::uint64_t number(int row, int column) const;    // of an int4 or int8
    PGresult* result_of() const { return result_.get(); }

private:
    std::unique_ptr<PGresult, void (*)(PGresult*)> result_;
};

// Errors of open() and run(), subject "PostgreSQL": io (detail: first line of the server's message),
// read_only (a right is missing), not_found (a table is missing). Of open() also contradiction: `connection`
// has a password.
class Connection {
public:
    static Result<Connection> open(const std::string& connection, std::chrono::seconds patience);
    Result<Rows> run(const std::string& statement, const Parameters& parameters = {});

private:
    Connection(PGconn* c, std::chrono::seconds patience) : connection_(c, PQfinish), patience_(patience) {}
    // Waits until the socket can be read or, if `sending`, written. False: nothing happened for `patience`.
    bool wait(bool sending) const;
    Result<Rows> answer();
    std::unique_ptr<PGconn, void (*)(PGconn*)> connection_;
    std::chrono::seconds patience_;
};

}  // namespace restand::postgres
