// A disk that fails. Every call SQLite makes to the disk while one entry is written is failed in turn, once
// and from then on; after each the store must have told the truth: acknowledged means there, refused means
// not there.

#include <sqlite3.h>

#include <cstring>

#include "tests/store/workshop.h"

using namespace restand;

namespace {

// What the shim below does. One test at a time, one thread: plain variables will do.
struct Disk {
    sqlite3_vfs* real = nullptr;
    bool on = false;
    int calls = 0;    // counted while on
    int fail_at = 0;  // the call that fails, from 1; 0: none
    bool for_good = false;
    bool failed = false;
    bool after = false;  // the call does its work and then says that it failed
} disk;

bool fails() {
    if (!disk.on) return false;
    ++disk.calls;
    const bool now =
        disk.fail_at != 0 && (disk.for_good ? disk.calls >= disk.fail_at : disk.calls == disk.fail_at);
    disk.failed = disk.failed || now;
    return now;
}
template <class Work>
int answer(int error, Work work) {
    if (!fails()) return work();
    if (disk.after) work();
    return error;
}

struct File {
    sqlite3_file base;
    sqlite3_file* real() { return reinterpret_cast<sqlite3_file*>(this + 1); }
};
File* file_of(sqlite3_file* f) {
    return reinterpret_cast<File*>(f);
}
sqlite3_file* real(sqlite3_file* f) {
    return file_of(f)->real();
}
const sqlite3_io_methods* m(sqlite3_file* f) {
    return real(f)->pMethods;
}

const sqlite3_io_methods methods = {
    1,
    [](sqlite3_file* f) { return m(f)->xClose(real(f)); },
    [](sqlite3_file* f, void* to, int n, sqlite3_int64 at) { return m(f)->xRead(real(f), to, n, at); },
    [](sqlite3_file* f, const void* from, int n, sqlite3_int64 at) {
        return answer(SQLITE_FULL, [&] { return m(f)->xWrite(real(f), from, n, at); });
    },
    [](sqlite3_file* f, sqlite3_int64 n) {
        return answer(SQLITE_IOERR_TRUNCATE, [&] { return m(f)->xTruncate(real(f), n); });
    },
    [](sqlite3_file* f, int flags) {
        return answer(SQLITE_IOERR_FSYNC, [&] { return m(f)->xSync(real(f), flags); });
    },
    [](sqlite3_file* f, sqlite3_int64* n) { return m(f)->xFileSize(real(f), n); },
    [](sqlite3_file* f, int lock) { return m(f)->xLock(real(f), lock); },
    [](sqlite3_file* f, int lock) { return m(f)->xUnlock(real(f), lock); },
    [](sqlite3_file* f, int* held) { return m(f)->xCheckReservedLock(real(f), held); },
    [](sqlite3_file* f, int op, void* arg) { return m(f)->xFileControl(real(f), op, arg); },
    [](sqlite3_file* f) { return m(f)->xSectorSize(real(f)); },
    [](sqlite3_file* f) { return m(f)->xDeviceCharacteristics(real(f)); },
    nullptr,
    nullptr,
    nullptr,
    nullptr,
    nullptr,
    nullptr};

int open_file(sqlite3_vfs*, const char* name, sqlite3_file* f, int flags, int* out) {
    f->pMethods = nullptr;
    const int code =
        answer(SQLITE_CANTOPEN, [&] { return disk.real->xOpen(disk.real, name, real(f), flags, out); });
    if (code == SQLITE_OK)
        f->pMethods = &methods;
    else if (real(f)->pMethods)
        m(f)->xClose(real(f));
    return code;
}
int delete_file(sqlite3_vfs*, const char* name, int sync) {
    return answer(SQLITE_IOERR_DELETE, [&] { return disk.real->xDelete(disk.real, name, sync); });
}

// In place of SQLite's own way to the disk for as long as it lives.
class FailingDisk {
public:
    FailingDisk() {
        disk = {};
        disk.real = sqlite3_vfs_find(nullptr);
        vfs_ = *disk.real;
        vfs_.zName = "failing";
        vfs_.szOsFile = static_cast<int>(sizeof(File)) + disk.real->szOsFile;
        vfs_.xOpen = [](sqlite3_vfs* v, const char* name, sqlite3_file* f, int flags, int* out) {
            std::memset(static_cast<void*>(f), 0,
                        sizeof(File) + static_cast<std::size_t>(disk.real->szOsFile));
            return open_file(v, name, f, flags, out);
        };
        vfs_.xDelete = delete_file;
        sqlite3_vfs_register(&vfs_, 1);
    }
    ~FailingDisk() {
        sqlite3_vfs_unregister(&vfs_);
        sqlite3_vfs_register(disk.real, 1);
    }

private:
    sqlite3_vfs vfs_;
};

struct FaultCount {
    int refused = 0, stored_in_spite = 0, points = 0;
};

// Fails call n of one append, for n = 1, 2, … until none is left to fail.
FaultCount fail_everywhere(bool for_good, bool after) {
    FaultCount seen;
    for (int n = 1;; ++n) {
        const test::Folder folder;
        const std::string path = folder("w.restand");
        const FailingDisk failing;
        std::vector<Id> promised;
        std::size_t most = 0;
        {
            Store store = test::open(path);
            const auto begun = test::begin_swap(store);
            promised = {begun.person, begun.bike, begun.swap, begun.step, begun.first, begun.second};
            most = promised.size() + 1;
            disk.calls = 0, disk.fail_at = n, disk.for_good = for_good, disk.after = after, disk.on = true;
            const auto written = store.append(encode(PersonBody{"Noor"}));
            disk.on = false;
            if (!disk.failed) return seen;
            ++seen.points;
            const auto stored = store.all();
            if (written) {
                ++seen.stored_in_spite;
                promised.push_back(written->id);
            } else {
                ++seen.refused;
                CHECK_FALSE(written.error().detail.empty());
            }
            // Once the disk answers again the same store goes on.
            if (stored) {
                const auto again = store.append(encode(PersonBody{"Bram"}));
                REQUIRE_MESSAGE(again, "call " << n << ": " << again.error().detail);
                promised.push_back(again->id);
                ++most;
            }
        }
        const Store store = test::open(path, Store::Mode::write);
        INFO("call " << n << (for_good ? " and all after it" : ""));
        const Health health = test::got(store.check());
        CHECK(health.whole);
        CHECK(health.found.empty());
        for (const Id& id : promised) CHECK(test::got(store.find(id)));
        // What was refused with the disk in order again is not there; 'cannot tell' may be either.
        CHECK(test::got(store.all()).size() <= most);
        CHECK(test::got(store.all()).size() >= promised.size());
    }
}

}  // namespace

TEST_CASE("fault: any one call to the disk fails, and the store tells the truth") {
    const FaultCount seen = fail_everywhere(false, false);
    MESSAGE(seen.points << " fault points, " << seen.refused << " refused, " << seen.stored_in_spite
                        << " stored");
    CHECK(seen.points > 10);
    CHECK(seen.refused > 0);
}

TEST_CASE("fault: the disk fails from some call on") {
    const FaultCount seen = fail_everywhere(true, false);
    MESSAGE(seen.points << " fault points, " << seen.refused << " refused, " << seen.stored_in_spite
                        << " stored");
    CHECK(seen.points > 10);
}

TEST_CASE("fault: a commit that was reported as failed but is on disk counts as stored") {
    const FaultCount seen = fail_everywhere(false, true);
    MESSAGE(seen.points << " fault points, " << seen.refused << " refused, " << seen.stored_in_spite
                        << " stored");
    CHECK(seen.stored_in_spite > 0);
    CHECK(seen.refused > 0);
}
