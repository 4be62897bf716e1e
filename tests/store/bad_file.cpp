// Files that are not what they should be. Each is refused with its reason, and stays byte for byte as it was.

#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <random>

#include "tests/store/sql.h"
#include "tests/store/workshop.h"

using namespace restand;
using test::sql;
using Mode = Store::Mode;

namespace {

void expect_refused(const std::string& path, ErrorCode code, std::initializer_list<Mode> modes) {
    const std::string before = test::bytes_of(path);
    for (const Mode mode : modes) {
        const auto opened = Store::open(path, mode);
        REQUIRE_FALSE(opened);
        CHECK(static_cast<int>(opened.error().code) == static_cast<int>(code));
        CHECK(opened.error().subject == path);
    }
    CHECK(test::bytes_of(path) == before);
    CHECK_FALSE(std::filesystem::exists(path + "-journal"));
}
void expect_refused(const std::string& path, ErrorCode code) {
    expect_refused(path, code, {Mode::read, Mode::write, Mode::create});
}

constexpr std::size_t begun_entries = 6;  // entries of test::begin_swap

void make_workshop(const std::string& path, std::size_t entries = 60) {
    Store store = test::open(path);
    const auto swap = test::begin_swap(store);
    const ReadingBody again{Phase::before, test::reading(Point::chain_slack, "35"), false};
    test::got(store.append_all(
        std::vector<NewEntry>(entries - begun_entries, encode(again, swap.bike, swap.swap))));
}

// Runs as somebody to whom permissions apply: root may write where nobody may.
int as_ordinary_user(const std::function<int()>& task) {
    const pid_t child = ::fork();
    if (child == 0) {
        if (::geteuid() == 0 && (::setgid(65534) != 0 || ::setuid(65534) != 0)) ::_exit(99);
        ::_exit(task());
    }
    int status = 0;
    ::waitpid(child, &status, 0);
    return WIFEXITED(status) ? WEXITSTATUS(status) : 98;
}
int code_of_opening(const std::string& path, Mode mode) {
    const auto opened = Store::open(path, mode);
    return opened ? 50 : static_cast<int>(opened.error().code);
}

}  // namespace

TEST_CASE("bad file: not there") {
    const test::Folder folder;
    CHECK(Store::open(folder("w.restand"), Mode::write).error().code == ErrorCode::not_found);
    CHECK(Store::open(folder("w.restand"), Mode::read).error().code == ErrorCode::not_found);
    CHECK_FALSE(Store::open(folder("no/such/folder/w.restand"), Mode::create));
    CHECK(std::filesystem::is_empty(folder(".")));
}

TEST_CASE("bad file: a text, a folder, an image") {
    const test::Folder folder;
    test::write_bytes(folder("notes.txt"), "eye to eye 309,9\n");
    expect_refused(folder("notes.txt"), ErrorCode::not_ours);
    test::write_bytes(folder("picture.png"), "\x89PNG\r\n\x1a\n" + std::string(5000, '\x5a'));
    expect_refused(folder("picture.png"), ErrorCode::not_ours);
    CHECK(Store::open(folder("."), Mode::create).error().code == ErrorCode::not_ours);
    CHECK_FALSE(std::filesystem::exists(folder("notes.txt.lock")));
}

TEST_CASE("bad file: empty is not ours, but a new workshop may begin in it") {
    const test::Folder folder;
    test::write_bytes(folder("empty"), "");
    expect_refused(folder("empty"), ErrorCode::not_ours, {Mode::read, Mode::write});
    CHECK(Store::open(folder("empty"), Mode::create));
    CHECK(Store::open(folder("empty"), Mode::write));
}

TEST_CASE("bad file: another program's SQLite file") {
    const test::Folder folder;
    sql(folder("other.db"), "CREATE TABLE entry(id); INSERT INTO entry VALUES(1)");
    expect_refused(folder("other.db"), ErrorCode::not_ours);
    sql(folder("id.db"), "PRAGMA application_id=1196444487; PRAGMA user_version=1; CREATE TABLE entry(id)");
    expect_refused(folder("id.db"), ErrorCode::not_ours);
}

TEST_CASE("bad file: from a newer version it can be read, not written") {
    const test::Folder folder;
    const std::string path = folder("w.restand");
    make_workshop(path);
    const std::string later = std::to_string(workshop_version + 1);
    sql(path, "PRAGMA user_version=" + later + "; CREATE TABLE photo(id)");
    expect_refused(path, ErrorCode::newer_version, {Mode::write, Mode::create});
    const auto newer = Store::open(path, Mode::write);
    CHECK(newer.error().detail == later);
    Store store = test::open(path, Mode::read);
    CHECK(test::got(store.all()).size() == 60);
    // A newer one whose entries look different says so instead of guessing.
    sql(path,
        "DROP TRIGGER entry_kept; DROP TRIGGER entry_same; DROP TRIGGER entry_once; ALTER TABLE entry DROP "
        "COLUMN author");
    CHECK(test::open(path, Mode::read).all().error().code == ErrorCode::newer_version);
}

TEST_CASE("bad file: ours, with a trigger of somebody else's") {
    const test::Folder folder;
    const std::string path = folder("w.restand");
    make_workshop(path);
    sql(path, "CREATE TRIGGER sly AFTER INSERT ON draft BEGIN SELECT 1; END");
    expect_refused(path, ErrorCode::damaged);
    make_workshop(folder("v.restand"));
    sql(folder("v.restand"), "DROP TRIGGER entry_same");
    expect_refused(folder("v.restand"), ErrorCode::damaged);
}

TEST_CASE("bad file: read-only, and in a read-only folder") {
    const test::Folder folder;
    const std::string path = folder("w.restand");
    make_workshop(path);
    std::filesystem::remove(path + ".lock");
    namespace fs = std::filesystem;
    const auto all = fs::perms::owner_read | fs::perms::owner_exec | fs::perms::group_read |
                     fs::perms::group_exec | fs::perms::others_read | fs::perms::others_exec;
    const std::string before = test::bytes_of(path);
    const auto expect = [&](ErrorCode code) {
        CHECK(as_ordinary_user([&] { return code_of_opening(path, Mode::write); }) == static_cast<int>(code));
        CHECK(as_ordinary_user([&] { return code_of_opening(path, Mode::create); }) ==
              static_cast<int>(code));
        CHECK(as_ordinary_user([&] {
                  const auto store = Store::open(path, Mode::read);
                  return store && store->all() && store->all()->size() == 60 ? 0 : 1;
              }) == 0);
        CHECK(as_ordinary_user([&] { return code_of_opening(folder("new.restand"), Mode::create); }) ==
              static_cast<int>(ErrorCode::read_only));
        CHECK(test::bytes_of(path) == before);
    };
    SUBCASE("the file and the folder") {
        fs::permissions(path, all);
        fs::permissions(folder("."), all);
        expect(ErrorCode::read_only);
    }
    SUBCASE("the folder alone: there could be no journal") {
        fs::permissions(path,
                        all | fs::perms::owner_write | fs::perms::group_write | fs::perms::others_write);
        fs::permissions(folder("."), all);
        expect(ErrorCode::read_only);
    }
    SUBCASE("the file alone") {
        fs::permissions(path, all);
        fs::permissions(folder("."), fs::perms::all);
        CHECK(as_ordinary_user([&] { return code_of_opening(path, Mode::write); }) ==
              static_cast<int>(ErrorCode::read_only));
        CHECK(test::bytes_of(path) == before);
    }
}

TEST_CASE("bad file: 100 MB of garbage is refused at once") {
    const test::Folder folder;
    test::write_bytes(folder("big"), std::string(100'000'000, '\x37'));
    const auto start = std::chrono::steady_clock::now();
    CHECK(Store::open(folder("big"), Mode::create).error().code == ErrorCode::not_ours);
    CHECK(Store::open(folder("big"), Mode::read).error().code == ErrorCode::not_ours);
    // Reading it through would take longer than this on any disk; a header takes microseconds.
    CHECK(std::chrono::steady_clock::now() - start < std::chrono::milliseconds(100));
}

TEST_CASE("bad file: garbage behind our header") {
    const test::Folder folder;
    make_workshop(folder("w.restand"));
    std::string bytes = test::bytes_of(folder("w.restand"));
    std::fill(bytes.begin() + 100, bytes.end(), '\x5a');
    test::write_bytes(folder("garbage"), bytes);
    expect_refused(folder("garbage"), ErrorCode::damaged);
}

TEST_CASE("bad file: a corrupt page is found, by the check and by reading it") {
    const test::Folder folder;
    make_workshop(folder("w.restand"));
    const std::string whole = test::bytes_of(folder("w.restand"));
    const std::size_t page = 4096;
    REQUIRE(whole.size() > 10 * page);
    std::size_t found = 0, unreadable = 0;
    for (std::size_t at = page; at < whole.size(); at += page) {
        std::string bytes = whole;
        std::fill_n(bytes.begin() + static_cast<std::ptrdiff_t>(at), page, '\xa5');
        test::write_bytes(folder("page"), bytes);
        const auto store = Store::open(folder("page"), Mode::read);
        if (!store) {
            ++found;
            continue;
        }
        const auto health = store->check();
        found += !health || !health->whole;
        unreadable += !store->all();
    }
    CHECK(found == whole.size() / page - 1);
    CHECK(unreadable > 0);
}

TEST_CASE("bad file: cut short") {
    const test::Folder folder;
    make_workshop(folder("w.restand"));
    const std::string whole = test::bytes_of(folder("w.restand"));
    for (std::size_t n = 1; n < whole.size(); n += 1021) {
        test::write_bytes(folder("cut"), std::string_view(whole).substr(0, n));
        const auto store = Store::open(folder("cut"), Mode::read);
        if (!store) continue;
        const auto health = store->check();
        INFO("cut to " << n);
        CHECK((!health || !health->whole));
    }
}

TEST_CASE("bad file: of flipped bits none changes an entry unseen") {
    const test::Folder folder;
    make_workshop(folder("w.restand"), 20);
    const std::string whole = test::bytes_of(folder("w.restand"));
    const auto truth = test::got(test::open(folder("w.restand"), Mode::read).all());
    std::mt19937 random(5);
    int refused = 0;
    for (int run = 0; run < 2000; ++run) {
        std::string bytes = whole;
        const std::size_t bit = random() % (bytes.size() * 8);
        bytes[bit / 8] = static_cast<char>(bytes[bit / 8] ^ (1 << bit % 8));
        test::write_bytes(folder("flip"), bytes);
        const auto store = Store::open(folder("flip"), Mode::read);
        if (!store) {
            ++refused;
            continue;
        }
        const auto health = store->check();
        const auto entries = store->all();
        const bool seen = !health || !health->whole || !entries;
        refused += seen;
        // Not seen: then it hit free space, and every entry is as it was.
        INFO("bit " << bit);
        if (!seen) REQUIRE(*entries == truth);
    }
    CHECK(refused > 200);
}

TEST_CASE("bad file: entries cut off the end of the chain are missed") {
    const test::Folder folder;
    const std::string path = folder("w.restand");
    make_workshop(path);
    const auto remove = [&](const std::string& which) {
        std::string trigger =
            "CREATE TRIGGER entry_kept BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT,'append only'); END";
        sql(path, "DROP TRIGGER entry_kept; DELETE FROM entry WHERE number" + which + ";" + trigger);
        return test::got(test::open(path, Mode::read).check());
    };
    SUBCASE("the last") {
        CHECK_FALSE(remove("=60").whole);
    }
    SUBCASE("one in the middle") {
        const Health health = remove("=30");
        CHECK_FALSE(health.whole);
        CHECK(health.found.at(0).detail == "entries 30 to 30 of its device");
    }
    SUBCASE("the first") {
        CHECK_FALSE(remove("=1").whole);
    }
    SUBCASE("all") {
        CHECK_FALSE(remove(">0").whole);
    }
}

TEST_CASE("bad file: a device's clock that no entry bears does not date what follows") {
    const test::Folder folder;
    const std::string path = folder("w.restand");
    constexpr std::int64_t now = 1'780'000'000'000, ahead = now + 3'600'000;
    // The wall stood an hour ahead when the workshop was written, and was set right since.
    Entry last;
    {
        auto store = test::got(Store::open(path, Mode::create, [] { return ahead; }));
        last = test::got(store.append(encode(PersonBody{"Noor"})));
    }
    const auto next_clock = [&] {
        auto store = test::got(Store::open(path, Mode::write, [] { return now; }));
        return test::got(store.append(encode(PersonBody{"Ilse"}))).clock;
    };
    SUBCASE("a clock that an entry bears is kept: order stands") {
        CHECK(next_clock() == Clock{ahead, last.clock.counter + 1});
    }
    SUBCASE("one that none bears falls back on the entries'") {
        sql(path, "UPDATE device SET clock_ms=clock_ms+(1<<40)");
        CHECK(next_clock() == Clock{ahead, last.clock.counter + 1});
    }
}
