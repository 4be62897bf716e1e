#pragma once
// What a Store holds; shared by store.cpp, opening.cpp, merge.cpp and health.cpp. Inside core/store only.

#include "core/store/file.h"
#include "core/store/schema.h"
#include "core/store/store.h"

namespace restand {

std::int64_t wall_ms();      // Unix time
std::uint64_t new_device();  // random, never 0
Id new_id(Clock clock);      // UUIDv7: the clock's ms, its counter in rand_a, 62 random bits

// The last entry of this device, as its row says.
struct Head {
    std::uint64_t device = 0, number = 0;
    Clock clock;
    Hash hash{};
};

struct Store::Impl {
    std::string path;
    Mode mode = Mode::read;
    int version = 0;  // of the file
    FileLock lock;
    Database db;
    Statement insert_one, move_head;  // kept ready: preparing them costs as much as a tenth of a commit
    Head head;
    std::function<std::int64_t()> wall = wall_ms;

    // Deletes the journal that commits keep: closed, a workshop is one file.
    ~Impl();
    // Opens `db`, checks that it is ours and takes the lock. `db` is empty after an error.
    Outcome connect();
    Outcome load_head();
    // Closes the connection, and what hangs on it first: SQLite keeps it open for a statement's sake.
    void disconnect();
    // Again after a failure; does nothing while the connection is good.
    Outcome ready();
    Outcome writable() const;

    // Inserts and moves the head, in a transaction of its own. After an error the file is as before, or
    // `unknown` is set: nobody can say before the file is opened again.
    Outcome commit(const std::vector<Entry>& entries, const Head& moved, bool& unknown);
    Result<std::vector<Entry>> select(const std::string& where,
                                      const std::vector<std::string>& bytes = {}) const;
    Result<std::optional<Entry>> find(const Id& id) const;
    Result<std::vector<Entry>> opening() const;

private:
    Outcome insert(const std::vector<Entry>& entries, const Head& moved);
    Outcome open_file();
};

}  // namespace restand
