// Bringing a file of version 1 up is one transaction: killed anywhere in it, the file is of version 1 or of
// this one, whole.

#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <random>

#include "core/store/old_version.h"
#include "tests/sanitized.h"
#include "tests/store/season.h"
#include "tests/store/sql.h"

using namespace restand;

namespace {

// The file's own word, at its place in the header (SQLite file format, 1.3: user version at 60, big-endian).
int version_in(const std::string& path) {
    return test::bytes_of(path).at(63);
}

// A child that opens for writing, and says when it begins and when it has done so: neither fork nor exit
// counts.
struct Opener {
    pid_t child;
    int says;
    explicit Opener(const std::string& path) {
        int ends[2];
        REQUIRE(::pipe(ends) == 0);
        child = ::fork();
        if (child == 0) {
            (void)!::write(ends[1], "b", 1);
            (void)Store::open(path, Store::Mode::write);
            (void)!::write(ends[1], "d", 1);
            ::pause();
            ::_exit(0);
        }
        ::close(ends[1]);
        says = ends[0];
    }
    void wait() const {
        char word;
        CHECK(::read(says, &word, 1) == 1);
    }
    ~Opener() {
        ::kill(child, SIGKILL);
        ::waitpid(child, nullptr, 0);
        ::close(says);
    }
};

// How long it takes when nobody kills it, on this machine and in this build.
std::chrono::microseconds whole_upgrade(const std::string& path) {
    const Opener opener(path);
    opener.wait();
    const auto start = std::chrono::steady_clock::now();
    opener.wait();
    return std::chrono::duration_cast<std::chrono::microseconds>(std::chrono::steady_clock::now() - start);
}

void open_and_kill(const std::string& path, unsigned after_us) {
    const Opener opener(path);
    opener.wait();
    ::usleep(after_us);
}

}  // namespace

TEST_CASE("upgrade: killed in the middle of it, the file is of one version or the other, and whole") {
    // On a disk, where the commit waits for it: the moment that matters is long enough to be hit.
    const test::Folder folder(test::Folder::On::disk);
    std::mt19937 random(1);
    const std::string path = folder("w.restand");
    std::vector<Entry> all;
    {
        Store store = test::open(folder("first"));
        test::write_season(store, random, 120);
        all = test::got(store.all());
    }
    test::make_version_1(folder("first"));
    test::sql(folder("first"), "VACUUM");
    std::vector<std::chrono::microseconds> whole(5);
    for (auto& one : whole) {
        std::filesystem::copy_file(folder("first"), path, std::filesystem::copy_options::overwrite_existing);
        one = whole_upgrade(path);
        REQUIRE(version_in(path) == workshop_version);
    }
    std::sort(whole.begin(), whole.end());
    std::uniform_int_distribution<unsigned> moment(0, static_cast<unsigned>(3 * whole[2].count() / 2));
    int old = 0, in_the_middle = 0, brought_up = 0;
    // Until the commit itself was hit as well, which is short.
    for (int run = 0; run < 60 || (in_the_middle == 0 && run < 600); ++run) {
        std::filesystem::copy_file(folder("first"), path, std::filesystem::copy_options::overwrite_existing);
        std::filesystem::remove(path + "-journal");
        open_and_kill(path, moment(random));
        const bool hot = std::ifstream(path + "-journal", std::ios::binary).get() > 0;
        in_the_middle += hot;
        {
            const Store reader = test::open(path, Store::Mode::read);  // rolls back what was under way
            CHECK(test::got(reader.check()).found.empty());
            CHECK(test::got(reader.all()) == all);
        }
        const int version = version_in(path);
        CHECK((version == 1 || version == workshop_version));
        ++(version == 1 ? old : brought_up);
        const Store store = test::open(path, Store::Mode::write);
        CHECK(test::got(store.check()).found.empty());
        CHECK(test::got(store.all()) == all);
    }
    MESSAGE(old << " still of version 1, " << in_the_middle << " with a hot journal, " << brought_up
                << " brought up");
    if (!test::sanitized) CHECK(in_the_middle > 0);  // slower, it spends less of its time there
    CHECK(brought_up > 0);
    CHECK(old > 0);
}

TEST_CASE(
    "upgrade: the file as it was is kept beside it, byte for byte and once; without room for it nothing is "
    "changed") {
    const test::Folder folder;
    const std::string path = folder("w.restand");
    const std::string before =
        test::bytes_of(std::string(RESTAND_SOURCE_DIR) + "/tests/fixtures/first.restand");
    const std::string kept = path + ".version-1-20260314-091500";
    constexpr std::int64_t now = 1'773'479'700'000;  // 2026-03-14 09:15:00 UTC, by `date -u`
    test::write_bytes(path, before);
    SUBCASE("kept") {
        const auto opened = test::got(open_keeping_old(path, Store::Mode::write, now));
        CHECK(opened.old_version == 1);
        CHECK(opened.old_kept == kept);
        CHECK(version_in(path) == workshop_version);
        CHECK(test::bytes_of(kept) == before);
        CHECK(test::got(test::open(kept, Store::Mode::read).all()) == test::got(opened.store.all()));
    }
    SUBCASE("a start that was killed behind the copy made it already") {
        test::write_bytes(kept, before);
        CHECK(test::got(open_keeping_old(path, Store::Mode::write, now + 60'000)).old_kept == kept);
        CHECK_FALSE(std::filesystem::exists(path + ".version-1-20260314-091600"));
    }
    SUBCASE("another state of the same version is there: neither is written over") {
        test::write_bytes(kept, "another");
        CHECK(test::got(open_keeping_old(path, Store::Mode::write, now)).old_kept ==
              path + ".version-1-20260314-091501");
        CHECK(test::bytes_of(kept) == "another");
    }
    SUBCASE("no copy can be made") {
        // A folder in the way of the copy's own name, which cannot be removed.
        std::filesystem::create_directories(kept + ".part/full");
        const auto refused = open_keeping_old(path, Store::Mode::write, now);
        REQUIRE_FALSE(refused);
        CHECK(refused.error().subject == kept + ".part");
        CHECK(test::bytes_of(path) == before);
        CHECK(test::got(test::open(path, Store::Mode::read).all()).size() > 10);
    }
    SUBCASE("of this version: nothing is kept") {
        test::open(path, Store::Mode::write);
        const auto opened = test::got(open_keeping_old(path, Store::Mode::write, now));
        CHECK(opened.old_kept == "");
        CHECK_FALSE(std::filesystem::exists(kept));
    }
}
