// Backups: made whole, rotated by the rules of backup.h; and what they must never do.

#include "core/store/backup.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <random>
#include <thread>

#include "core/ledger/device_hex.h"
#include "core/store/copy.h"
#include "core/store/snapshot.h"
#include "tests/store/season.h"

using namespace restand;
using test::add_person, test::noon;

namespace {

constexpr std::int64_t day = 86'400'000;

std::vector<Backup> made(const test::Folder& folder) {
    return test::got(backups(folder("kept"), folder("w.restand")));
}
// Without the lock that keeps two programs from one copy: it stays.
std::size_t count_files(const std::string& path) {
    const std::filesystem::directory_iterator all(path);
    return static_cast<std::size_t>(std::count_if(
        begin(all), end(all), [](const auto& one) { return one.path().extension() != ".lock"; }));
}
void one_more(Store& store, const test::Folder& folder, std::int64_t at) {
    add_person(store);
    REQUIRE(back_up(store, folder("kept"), at));
}

}  // namespace

TEST_CASE("backup: a copy that opens, holds every entry, and is named for its day") {
    const test::Folder folder;
    std::mt19937 random(1);
    Store store = test::open(folder("w.restand"));
    test::write_season(store, random, 60);
    CHECK(made(folder).empty());
    Progress progress;
    const Backup backup = test::got(back_up(store, folder("kept"), noon, &progress));
    CHECK(backup.good);
    CHECK(progress.done == progress.total);
    const auto all = test::got(store.all());
    CHECK(backup.entries == all.size());
    CHECK(backup.path == folder("kept/w-20260921-141320-" + std::to_string(all.size()) + "-" +
                                in_hex(store.device()).substr(0, 8) + ".backup"));
    CHECK(count_files(folder("kept")) == 2);
    const Store copy = test::open(backup.path, Store::Mode::read);
    CHECK(test::got(copy.all()) == all);
    CHECK(test::got(copy.check()).found.empty());
    const auto list = made(folder);
    REQUIRE(list.size() == 1);
    CHECK(list[0].good);
    CHECK(list[0].at_ms / 1000 == noon / 1000);
    // Another workshop's are not ours.
    CHECK(test::got(backups(folder("kept"), folder("other.restand"))).empty());
}

TEST_CASE(
    "backup: a workshop of any size is checked, copied and searched, also one between the caches' size and a "
    "decade's") {
    const test::Folder folder;
    std::mt19937 random(3);
    Store store = test::open(folder("w.restand"));
    for (const std::uintmax_t wanted : {8u << 20, 20u << 20, 40u << 20}) {
        CAPTURE(wanted);
        while (std::filesystem::file_size(folder("w.restand")) < wanted) {
            std::string words = "needle";
            while (words.size() < 60'000) words += ' ' + std::to_string(random());
            test::got(store.append(encode(test::event(words))));
        }
        const Health health = test::got(store.check());
        CHECK(health.whole);
        CHECK(health.found.empty());
        CHECK(test::got(back_up(store, folder("kept"), noon)).good);
        HistoryQuery query;
        query.text = "needle";
        CHECK_FALSE(test::got(store.history(query)).moments.empty());
    }
}

TEST_CASE(
    "backup: what lies where a copy is half made loses its name; only what nobody else names is cut off") {
    namespace fs = std::filesystem;
    const test::Folder folder;
    const std::string part = folder("x.part"), kept = folder("kept");
    REQUIRE(::mkfifo(part.c_str(), 0600) == 0);
    { const PartFile gone(part); }  // a pipe without a reader would hold who opens it
    CHECK_FALSE(fs::exists(part));

    constexpr std::uintmax_t large = 20 << 20;
    const auto make = [&](const std::string& path) {
        std::ofstream(path).put('x');
        fs::resize_file(path, large);
    };
    make(kept);
    fs::create_hard_link(kept, part);
    { const PartFile gone(part); }
    CHECK_FALSE(fs::exists(part));

    make(part);
    const int held = ::open(part.c_str(), O_RDONLY);
    REQUIRE(held >= 0);
    { const PartFile gone(part); }
    CHECK_FALSE(fs::exists(part));
    struct stat info {};
    for (int i = 0; i < 1000 && (::fstat(held, &info) != 0 || info.st_size > 0); ++i)
        std::this_thread::sleep_for(std::chrono::milliseconds(10));
    CHECK(info.st_size == 0);             // given back while the program goes on
    CHECK(fs::file_size(kept) == large);  // by then long since, had it been ours to cut
    ::close(held);
}

TEST_CASE("backup: due when the ledger grew") {
    CHECK_FALSE(backup_due({}, 0, true));
    CHECK(backup_due({}, 1, false));
    const std::vector<Backup> one = {{"", 0, 100, true}};
    CHECK_FALSE(backup_due(one, 100, true));
    CHECK(backup_due(one, 101, true));
    CHECK_FALSE(backup_due(one, 149, false));
    CHECK(backup_due(one, 150, false));
    // A damaged one is none.
    CHECK(backup_due({{"", 0, 100, false}}, 100, false));
}

TEST_CASE("backup: the ten newest, seven days, twelve weeks") {
    const test::Folder folder;
    Store store = test::open(folder("w.restand"));
    // Three a day for 120 days.
    std::vector<std::int64_t> times;
    for (int d = 0; d < 120; ++d)
        for (int h = 0; h < 3; ++h) times.push_back(noon + d * day + h * 3'600'000);
    for (const std::int64_t at : times) {
        one_more(store, folder, at);
    }
    const auto list = made(folder);
    std::vector<std::int64_t> kept;
    for (const Backup& b : list) {
        CHECK(b.good);
        kept.push_back(b.at_ms);
    }
    CHECK(std::is_sorted(kept.rbegin(), kept.rend()));
    CHECK(list.size() <= 10 + 7 + 12);
    const auto has = [&](std::int64_t at) {
        return std::find(kept.begin(), kept.end(), at / 1000 * 1000) != kept.end();
    };
    for (std::size_t i = times.size() - 10; i < times.size(); ++i) CHECK(has(times[i]));
    for (int d = 0; d < 7; ++d) CHECK(has(noon + (119 - d) * day + 2 * 3'600'000));
    std::set<std::int64_t> weeks;
    for (const std::int64_t at : kept) weeks.insert((at / day + 3) / 7);
    CHECK(weeks.size() == 12);
    CHECK(count_files(folder("kept")) == 2 * list.size());
}

TEST_CASE("backup: a clock set back ten years loses neither the new one nor the rule") {
    const test::Folder folder;
    Store store = test::open(folder("w.restand"));
    for (int i = 0; i < 15; ++i) one_more(store, folder, noon + i * 1000);
    for (int i = 0; i < 3; ++i) {
        add_person(store);
        const Backup now = test::got(back_up(store, folder("kept"), noon - 3650 * day + i * 1000));
        CHECK(made(folder).front().path == now.path);
        CHECK_FALSE(backup_due(made(folder), now.entries, true));
    }
}

TEST_CASE("backup: a damaged workshop is copied all the same, marked, and no good copy goes for it") {
    const test::Folder folder;
    std::mt19937 random(2);
    {
        Store store = test::open(folder("w.restand"));
        test::write_season(store, random, 60);
        for (int i = 0; i < 12; ++i) one_more(store, folder, noon + i * 1000);
    }
    const auto before = made(folder);
    std::string bytes = test::bytes_of(folder("w.restand"));
    const auto at = bytes.find("309,9");
    REQUIRE(at != std::string::npos);
    bytes[at] = '4';
    test::write_bytes(folder("w.restand"), bytes);
    const Store store = test::open(folder("w.restand"), Store::Mode::read);
    const auto whole = test::got(store.check()).entries;
    for (int i = 0; i < 8; ++i) {
        const Backup copy = test::got(back_up(store, folder("kept"), noon + 100'000 + i * 1000));
        CHECK(copy.of_damaged);
        CHECK_FALSE(copy.good);
        CHECK(copy.entries == whole - 1);
        CHECK(test::got(salvage(copy.path)).entries.size() == whole - 1);
        CHECK_FALSE(backup_due(made(folder), copy.entries, true));
        CHECK(backup_due(made(folder), copy.entries + 50, false));
    }
    const auto after = made(folder);
    std::size_t of_damaged = 0;
    for (const Backup& b : after) of_damaged += b.of_damaged;
    CHECK(of_damaged == 3);
    REQUIRE(after.size() == before.size() + 3);
    for (std::size_t i = 0; i < before.size(); ++i) CHECK(after[i + 3].path == before[i].path);
    CHECK(count_files(folder("kept")) == 2 * after.size());
}

TEST_CASE("backup: two devices' workshops of one name on one stick delete none of each other's copies") {
    const test::Folder folder;
    std::filesystem::create_directories(folder("a"));
    std::filesystem::create_directories(folder("b"));
    Store a = test::open(folder("a/w.restand")), b = test::open(folder("b/w.restand"));
    add_person(a), add_person(b);
    std::vector<std::string> of_a;
    for (int i = 0; i < 10; ++i) of_a.push_back(test::got(back_up(a, folder("kept"), noon + i * 1000)).path);
    for (int i = 0; i < 40; ++i) {
        add_person(b);
        const Backup copy = test::got(back_up(b, folder("kept"), noon + (20 + i) * 1000));
        CHECK(copy.device == b.device());
        CHECK(copy.workshop == b.device());
    }
    for (const std::string& path : of_a) CHECK(std::filesystem::exists(path));
    std::size_t theirs = 0;
    for (const Backup& copy : test::got(backups(folder("kept"), b.path(), b.device()))) {
        CHECK(copy.good);
        theirs += copy.device == a.device();
    }
    CHECK(theirs == of_a.size());
}

TEST_CASE(
    "backup: a copy of before devices were named is listed, told by its inside, and not another's to "
    "delete") {
    const test::Folder folder;
    Store a = test::open(folder("w.restand"));
    add_person(a);
    const Backup made_now = test::got(back_up(a, folder("kept"), noon));
    // As it was named and summed before.
    const std::string old = folder("kept/w-20260921-141320-1.backup");
    std::filesystem::rename(made_now.path, old);
    std::string sum = test::bytes_of(made_now.path + ".sum");
    sum.resize(sum.find("written "));
    test::write_bytes(old + ".sum", sum);
    std::filesystem::remove(made_now.path + ".sum");
    auto list = made(folder);
    REQUIRE(list.size() == 1);
    CHECK(list[0].good);
    CHECK(list[0].device == a.device());
    std::filesystem::create_directories(folder("b"));
    Store b = test::open(folder("b/w.restand"));
    for (int i = 0; i < 40; ++i) {
        add_person(b);
        test::got(back_up(b, folder("kept"), noon + day + i * 1000));
    }
    CHECK(std::filesystem::exists(old));
}

TEST_CASE("backup: a copy in slices is whole though the store writes between them") {
    const test::Folder folder;
    std::mt19937 random(5);
    Store store = test::open(folder("w.restand"));
    std::string words;
    while (words.size() < 60'000) words += std::to_string(random()) + ' ';
    for (int i = 0; i < 30; ++i) test::got(store.append(encode(test::event(words))));
    const CopyBegun begun = test::got(begin_copy(folder("kept"), store.path(), store.device()));
    std::size_t slices = 0;
    {
        auto snapshot = test::got(Snapshot::begin(store, begun.part));
        for (bool done = false; !done; ++slices) {
            done = test::got(snapshot.step(std::chrono::milliseconds(0)));
            if (!done) add_person(store), (void)store.keep_draft(std::to_string(slices));
        }
    }
    CHECK(slices > 3);
    const Backup copy = test::got(finish_copy(begun, store.path(), store.device(), noon));
    CHECK(copy.good);
    CHECK(test::got(test::open(copy.path, Store::Mode::read).all()) == test::got(store.all()));
}

TEST_CASE("backup: files of the workshop and its copies are their owner's alone") {
    const test::Folder folder;
    Store store = test::open(folder("w.restand"));
    add_person(store);
    const Backup copy = test::got(back_up(store, folder("kept"), noon));
    for (const std::string& path : {store.path(), store.path() + ".lock", copy.path, copy.path + ".sum"}) {
        CAPTURE(path);
        const auto mode = std::filesystem::status(path).permissions() & std::filesystem::perms::all;
        CHECK(mode == (std::filesystem::perms::owner_read | std::filesystem::perms::owner_write));
    }
}

TEST_CASE("backup: damaged ones are named, and push no good one out") {
    const test::Folder folder;
    Store store = test::open(folder("w.restand"));
    std::vector<std::string> paths;
    for (int i = 0; i < 10; ++i) {
        add_person(store);
        paths.push_back(test::got(back_up(store, folder("kept"), noon + i * 1000)).path);
    }
    for (std::size_t i = 5; i < 10; ++i) {
        std::string bytes = test::bytes_of(paths[i]);
        bytes[bytes.size() / 2] = static_cast<char>(bytes[bytes.size() / 2] ^ 4);
        test::write_bytes(paths[i], bytes);
    }
    std::size_t good = 0;
    for (const Backup& b : made(folder)) good += b.good;
    CHECK(good == 5);
    for (int i = 10; i < 15; ++i) one_more(store, folder, noon + i * 1000);
    good = 0;
    for (const Backup& b : made(folder)) good += b.good;
    CHECK(good == 10);
}

TEST_CASE("backup: no room, no folder, cancelled: said, and nothing left behind") {
    const test::Folder folder;
    Store store = test::open(folder("w.restand"));
    add_person(store);
    const std::string nowhere = folder("stick/kept");
    CHECK(back_up(store, nowhere, noon).error().subject == nowhere);
    test::write_bytes(folder("file"), "x");
    CHECK_FALSE(back_up(store, folder("file"), noon));
    Progress progress;
    progress.cancelled = true;
    CHECK(back_up(store, folder("kept"), noon, &progress).error().code == ErrorCode::cancelled);
    CHECK(count_files(folder("kept")) == 0);
}

TEST_CASE("backup: two programs that copy one workshop at once never take each other's half for their own") {
    const test::Folder folder;
    Store store = test::open(folder("w.restand"));
    add_person(store);
    const CopyBegun begun = test::got(begin_copy(folder("kept"), store.path(), store.device()));
    REQUIRE(write_file_durably(begun.part, "half").has_value());
    const auto other = back_up(store, folder("kept"), noon);
    REQUIRE_FALSE(other.has_value());
    CHECK(other.error().code == ErrorCode::in_use);
    CHECK(test::bytes_of(begun.part) == "half");
}
