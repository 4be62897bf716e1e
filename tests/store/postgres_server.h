#pragma once
// A PostgreSQL server of the test's own, from Debian's package: in a folder that goes away, on a socket in
// it, deaf to the network. Its programs refuse to run as root, so they run as the package's user then.

#include <pwd.h>
#include <signal.h>
#include <unistd.h>

#include <memory>
#include <optional>

#include "core/sync/postgres.h"
#include "tests/store/workshop.h"

namespace restand::test {

class PostgresServer {
public:
    // nullptr where there is no server to start.
    static std::shared_ptr<PostgresServer> started() {
        const auto programs = folder_of_programs();
        if (!programs) return nullptr;
        std::shared_ptr<PostgresServer> server(new PostgresServer(*programs));
        return server->start() ? server : nullptr;
    }
    ~PostgresServer() { run("pg_ctl", "-D '" + data() + "' -m immediate stop"); }

    // A database of its own with the tables, and a role that may only insert and select.
    PostgresPlace place(const std::string& name) {
        check(sql("owner", "postgres", "create database " + name), "a database");
        check(sql("owner", name, std::string(postgres_schema())), "the tables");
        check(sql("owner", name, "grant select, insert on restand_entry, restand_device to team"), "rights");
        return {"host=" + folder_("") + " user=team dbname=" + name};
    }
    // Whether the statements went through; what was printed is in `said`.
    bool sql(const std::string& role, const std::string& database, const std::string& statements) {
        write_bytes(folder_("statements.sql"), statements);
        const bool good = run("psql", "-X -q -t -A -v ON_ERROR_STOP=1 -h '" + folder_("") + "' -U " + role +
                                          " -d " + database + " -f '" + folder_("statements.sql") + "'");
        said = bytes_of(folder_("said"));
        return good;
    }
    std::string said;
    // Every process of the server stands still, or goes on; its sockets stay open.
    void freeze(bool frozen) {
        const std::string first = bytes_of(data() + "/postmaster.pid");
        const int server = std::atoi(first.c_str());
        check(server > 1, "the server's number");
        for (const auto& at : std::filesystem::directory_iterator("/proc")) {
            const int process = std::atoi(at.path().filename().c_str());
            const std::string stat = process > 1 ? bytes_of(at.path() / "stat") : "";
            const std::size_t behind_name = stat.rfind(") ");
            const bool child =
                behind_name != std::string::npos && std::atoi(stat.c_str() + behind_name + 4) == server;
            if (child || process == server) ::kill(process, frozen ? SIGSTOP : SIGCONT);
        }
    }

private:
    explicit PostgresServer(std::string programs)
        : programs_(std::move(programs)), folder_(Folder::On::disk) {
        const passwd* user = geteuid() == 0 ? ::getpwnam("postgres") : nullptr;
        if (!user) return;
        become_ = "setpriv --reuid=postgres --regid=postgres --clear-groups ";
        check(::chown(folder_("").c_str(), user->pw_uid, user->pw_gid) == 0, "the folder's owner");
    }
    static std::optional<std::string> folder_of_programs() {
        std::error_code none;
        for (const auto& at : std::filesystem::directory_iterator("/usr/lib/postgresql", none))
            if (std::filesystem::exists(at.path() / "bin/initdb")) return (at.path() / "bin").string();
        return std::nullopt;
    }
    std::string data() const { return folder_("data"); }
    bool run(const std::string& program, const std::string& words) {
        const std::string command = "cd / && " + become_ + "'" + programs_ + "/" + program + "' " + words +
                                    " >'" + folder_("said") + "' 2>&1 </dev/null";
        return std::system(command.c_str()) == 0;
    }
    bool start() {
        return run("initdb", "-D '" + data() + "' -U owner -A trust -E UTF8 --locale=C --no-sync") &&
               run("pg_ctl", "-D '" + data() + "' -w -l '" + folder_("log") + "' -o \"-k '" + folder_("") +
                                 "' -c listen_addresses='' -c fsync=off\" start") &&
               sql("owner", "postgres", "create role team login");
    }

    std::string programs_, become_;
    Folder folder_;
};

// One server for all cases; it ends with the program. nullptr where there is none.
inline PostgresServer* server() {
    static const auto started = postgres_built_in() ? PostgresServer::started() : nullptr;
    if (!started)
        MESSAGE("PostgreSQL is not built in, or no server is installed (Debian: postgresql): skipped");
    return started.get();
}

}  // namespace restand::test
