// A disk that goes wrong under a season; tests/faults/disk_faults.cpp does the same at every call of a longer
// one.

#include <doctest/doctest.h>

#include <sched.h>
#include <signal.h>
#include <sys/mount.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include "tests/store/disk_faults_run.h"
#include "tests/store/workshop.h"

using namespace restand;
using How = test::Fault::How;

namespace {

test::FaultTally run_with_fault(How how, bool for_good, std::uint64_t first) {
    test::Script season;
    season.weekends = 1;
    // Every seventh call; the ways begin at different ones, so that together they meet them all.
    const auto tally = test::fail_everywhere(season, how, for_good, first, 7);
    MESSAGE(tally.text());
    CHECK(tally.violations() == 0);
    CHECK(tally.struck > 20);
    return tally;
}

}  // namespace

TEST_CASE("disk fault: any one call fails, and the store tells the truth") {
    CHECK(run_with_fault(How::fail, false, 1).refused > 0);
}
TEST_CASE("disk fault: every call from some one on fails") {
    CHECK(run_with_fault(How::fail, true, 2).refused > 0);
}
TEST_CASE("disk fault: a call is done and says that it failed") {
    CHECK(run_with_fault(How::fail_late, false, 3).stored_in_spite > 0);
    run_with_fault(How::fail_late, true, 4);
}
TEST_CASE("disk fault: half a write, then the disk is full") {
    CHECK(run_with_fault(How::shorten, false, 5).refused > 0);
    run_with_fault(How::shorten, true, 6);
}
TEST_CASE("disk fault: the disk is full from some write on") {
    CHECK(run_with_fault(How::full, true, 7).refused > 0);
}
TEST_CASE("disk fault: a call that is silently lost harms nothing, or the harm is named") {
    CHECK(run_with_fault(How::lose, false, 1).named > 0);
    // Control: a disk that swallows everything from then on and says yes cannot be seen through.
    test::Script season;
    season.weekends = 1;
    const auto tally = test::fail_everywhere(season, How::lose, true, 4, 7);
    MESSAGE(tally.text());
    CHECK(tally.missing > 10);
}

TEST_CASE("disk fault: a stick pulled out, or failing, while entries are put on it") {
    for (const How how : {How::fail, How::fail_late, How::shorten, How::full, How::lose})
        for (const bool for_good : {true, false}) {
            const auto tally = test::pull_the_stick(how, for_good);
            MESSAGE(tally.text());
            CHECK(tally.violations() == 0);
            CHECK(tally.struck > 0);
        }
    for (const bool empty : {false, true}) {
        const auto tally = test::cut_the_stick(20, 1, empty);
        MESSAGE(tally.text());
        CHECK(tally.violations() == 0);
        CHECK(tally.half > 0);
    }
}

// Real file systems
// ----------------------------------------------------------------------------------------------------

namespace {

constexpr int no_mount = 77;

// Runs `work` in a child that has a small file system of its own at `folder`; its answer, or no_mount where
// the system does not let us have one.
template <class Work>
int on_own_disk(const std::string& folder, const char* options, Work work) {
    const pid_t child = ::fork();
    if (child == 0) {
        const int spaces = CLONE_NEWNS | (::geteuid() == 0 ? 0 : CLONE_NEWUSER);
        const bool there = ::unshare(spaces) == 0 &&
                           ::mount("none", "/", nullptr, MS_REC | MS_PRIVATE, nullptr) == 0 &&
                           ::mount("restand", folder.c_str(), "tmpfs", 0, options) == 0;
        ::_exit(there ? work() : no_mount);
    }
    int status = 0;
    ::waitpid(child, &status, 0);
    return WIFEXITED(status) ? WEXITSTATUS(status) : 99;
}

test::Script long_season() {
    test::Script script;
    script.weekends = 12;
    script.long_body = 30'000;
    return script;
}
// 0: acts were refused, with reasons, and what was acknowledged is there once there is room again.
template <class MakeRoom>
int fill(const std::string& folder, MakeRoom make_room) {
    test::Season season(long_season());
    season.play(folder);
    make_room();
    test::FaultTally tally;
    for (const test::Act& act : season.acts()) tally.refused += act.told == test::Told::not_stored;
    test::judge(folder, season, false, "a full disk", tally);
    if (tally.violations()) std::fputs((tally.text() + "\n").c_str(), stderr);
    return tally.violations() ? 1 : tally.refused > 0 ? 0 : 2;
}

}  // namespace

TEST_CASE("disk fault: a disk that is really full") {
    const test::Folder folder;
    const int answer = on_own_disk(folder.path(), "size=256k", [&] {
        return fill(folder.path(),
                    [&] { ::mount("restand", folder.path().c_str(), "tmpfs", MS_REMOUNT, "size=8m"); });
    });
    if (answer == no_mount)
        MESSAGE("no file system of its own may be had here: only the limit below is tried");
    else
        CHECK(answer == 0);
}

TEST_CASE("disk fault: a file that may not grow (RLIMIT_FSIZE)") {
    const test::Folder folder;
    const pid_t child = ::fork();
    if (child == 0) {
        ::signal(SIGXFSZ, SIG_IGN);
        rlimit before{};
        ::getrlimit(RLIMIT_FSIZE, &before);
        const rlimit small{160 << 10, before.rlim_max};
        ::setrlimit(RLIMIT_FSIZE, &small);
        ::_exit(fill(folder.path(), [&] { ::setrlimit(RLIMIT_FSIZE, &before); }));
    }
    int status = 0;
    ::waitpid(child, &status, 0);
    CHECK(WIFEXITED(status));
    CHECK(WEXITSTATUS(status) == 0);
}

TEST_CASE("disk fault: a disk that may only be read") {
    const test::Folder folder;
    const int answer = on_own_disk(folder.path(), "size=8m", [&] {
        test::Season season({});
        season.play(folder.path());
        if (::mount("restand", folder.path().c_str(), "tmpfs", MS_REMOUNT | MS_RDONLY, "size=8m") != 0)
            return no_mount;
        const std::string path = test::Season::workshop(folder.path());
        const auto write = Store::open(path, Store::Mode::write);
        if (write || write.error().code != ErrorCode::read_only) return 3;
        const auto read = Store::open(path, Store::Mode::read);
        if (!read) return 4;
        const auto entries = read->all();
        std::size_t strange = 0, expected = 0;
        for (const test::Act& act : season.acts()) expected += act.entries;
        if (!entries || entries->size() < expected) return 5;
        season.acts_in(*entries, strange);
        const auto health = read->check();
        return strange == 0 && health && health->whole ? 0 : 6;
    });
    if (answer == no_mount)
        MESSAGE("no file system of its own may be had here: not tried");
    else
        CHECK(answer == 0);
}

TEST_CASE("clock: set back ten years, clocks go on in order and ids within each stretch of the wall clock") {
    const test::Folder folder;
    std::int64_t wall = 1'772'323'200'000;
    constexpr std::int64_t ten_years = 3653ll * 86'400'000;
    std::vector<Entry> written;
    for (const std::int64_t by : std::vector<std::int64_t>{0, -ten_years, 1, -ten_years, 2 * ten_years}) {
        auto store = test::got(Store::open(folder("w.restand"), Store::Mode::create, [&] { return wall; }));
        for (int i = 0; i < 5; ++i) {
            if (i == 2) wall += by;
            wall += 250;
            written.push_back(test::got(store.append(encode(PersonBody{"P" + std::to_string(i)}))));
        }
        CHECK(test::got(store.check()).found.empty());
    }
    for (std::size_t i = 1; i < written.size(); ++i) {
        CHECK(written[i - 1].clock < written[i].clock);
        if (written[i - 1].clock.epoch() == written[i].clock.epoch())
            CHECK(written[i - 1].id < written[i].id);
    }
    // Each time that it was set back, what followed is dated by the wall clock as it was then.
    CHECK(written.front().clock.epoch() == 0);
    CHECK(written.back().clock.epoch() == 2);
    const auto all = test::got(test::open(folder("w.restand")).all());
    CHECK(all == written);
}
