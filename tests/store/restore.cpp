// A copy put in the workshop's place: what stands then, what is kept, and what is refused.

#include <algorithm>
#include <random>

#include "core/codec/time_text.h"
#include "core/ledger/device_hex.h"
#include "core/store/backup.h"
#include "tests/store/season.h"

using namespace restand;
using test::add_person, test::noon;

TEST_CASE(
    "restore: the old state stands, the replaced file is kept, the device is a new one with a known past") {
    const test::Folder folder;
    std::mt19937 random(3);
    const std::string path = folder("w.restand");
    std::vector<Entry> then, later;
    std::uint64_t device = 0;
    Backup backup;
    {
        Store store = test::open(path);
        device = store.device();
        test::write_season(store, random, 60);
        test::got(store.append(encode(DeviceBody{"truck", in_hex(device), ""})));
        then = test::got(store.all());
        backup = test::got(back_up(store, folder("kept"), noon));
        add_person(store);
        later = test::got(store.all());
        CHECK(restore_backup(backup.path, path, noon).error().code == ErrorCode::in_use);
    }
    const std::string rejected = test::got(restore_backup(backup.path, path, noon));
    CHECK(rejected == path + ".replaced-" + stamp_of(noon));
    CHECK(test::got(test::open(rejected, Store::Mode::read).all()) == later);
    Store store = test::open(path, Store::Mode::write);
    CHECK(store.device() != device);
    auto now = test::got(store.all());
    REQUIRE(now.size() == then.size() + 1);
    const auto named =
        std::find_if(now.begin(), now.end(), [&](const Entry& e) { return e.device == store.device(); });
    REQUIRE(named != now.end());
    CHECK(named->number == 1);
    const auto body = std::get<DeviceBody>(test::got(decode(*named)).body);
    CHECK(body.name == "truck");
    CHECK(std::stoull(body.follows, nullptr, 16) == device);
    CHECK(std::stoull(body.incarnation, nullptr, 16) == store.device());
    now.erase(named);
    CHECK(now == then);
    CHECK(test::got(store.check()).found.empty());
    // Nothing is lost by meeting the others again.
    CHECK(test::got(store.merge(later)).added == 1);
    CHECK(test::got(store.check()).found.empty());
    for (const auto& one : std::filesystem::directory_iterator(folder(".")))
        CHECK(one.path().string().find(".part") == std::string::npos);
}

TEST_CASE(
    "restore: another workshop's copy is refused unless told so; one of those who have met is not "
    "another's") {
    const test::Folder folder;
    Backup of_a, of_b;
    {
        Store a = test::open(folder("a.restand")), b = test::open(folder("b.restand"));
        add_person(a), add_person(b);
        of_a = test::got(back_up(a, folder("kept"), noon));
        of_b = test::got(back_up(b, folder("kept"), noon));
    }
    const std::string before = test::bytes_of(folder("a.restand"));
    const auto refused = restore_backup(of_b.path, folder("a.restand"), noon);
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == ErrorCode::contradiction);
    CHECK(refused.error().subject == of_b.path);
    CHECK(test::bytes_of(folder("a.restand")) == before);
    CHECK(restore_backup(of_a.path, folder("a.restand"), noon));
    CHECK(restore_backup(of_b.path, folder("a.restand"), noon, true));
    // Met: what the one wrote is in the other.
    {
        Store b = test::open(folder("b.restand")), a = test::open(folder("c.restand"));
        add_person(a);
        test::got(a.merge(test::got(b.all())));
    }
    CHECK(restore_backup(of_b.path, folder("c.restand"), noon));
    // Nothing legible stands there: nothing to be mistaken about.
    test::write_bytes(folder("d.restand"), std::string(9000, 'x'));
    CHECK(restore_backup(of_b.path, folder("d.restand"), noon));
}

TEST_CASE("restore: a damaged backup, or none, changes nothing") {
    const test::Folder folder;
    const std::string path = folder("w.restand");
    std::string backup;
    {
        Store store = test::open(path);
        test::begin_swap(store);
        backup = test::got(back_up(store, folder("kept"), noon)).path;
    }
    const std::string before = test::bytes_of(path);
    std::string bytes = test::bytes_of(backup);
    bytes[bytes.find("309,9")] = '4';
    test::write_bytes(backup, bytes);
    const auto refused = restore_backup(backup, path, noon);
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == ErrorCode::damaged);
    CHECK(refused.error().subject == backup);
    CHECK_FALSE(restore_backup(folder("no.backup"), path, noon));
    CHECK(test::bytes_of(path) == before);
    CHECK(test::got(test::open(path).check()).found.empty());
}

TEST_CASE("restore: over a file too damaged to open, and where none is left") {
    const test::Folder folder;
    const std::string path = folder("w.restand");
    std::string backup;
    {
        Store store = test::open(path);
        test::begin_swap(store);
        backup = test::got(back_up(store, folder("kept"), noon)).path;
    }
    test::write_bytes(path, std::string(9000, 'x'));
    test::write_bytes(path + "-journal", "not one of ours");
    const std::string rejected = test::got(restore_backup(backup, path, noon));
    CHECK(test::bytes_of(rejected) == std::string(9000, 'x'));
    CHECK_FALSE(std::filesystem::exists(path + "-journal"));
    CHECK(test::got(test::open(path).check()).found.empty());
    std::filesystem::remove(path);
    CHECK(test::got(restore_backup(backup, path, noon)).empty());
    CHECK(test::got(test::open(path).all()).size() == 7);
}

TEST_CASE("restore: through a link the workshop itself is what is locked and replaced") {
    const test::Folder folder;
    std::filesystem::create_directory(folder("real"));
    Backup copy;
    {
        Store store = test::open(folder("real/w.restand"));
        add_person(store);
        copy = test::got(back_up(store, folder("kept"), noon));
        add_person(store);
        std::filesystem::create_symlink(folder("real/w.restand"), folder("link.restand"));
        CHECK(restore_backup(copy.path, folder("link.restand"), noon).error().code == ErrorCode::in_use);
    }
    const std::string kept = test::got(restore_backup(copy.path, folder("link.restand"), noon));
    CHECK(std::filesystem::is_symlink(folder("link.restand")));
    CHECK(kept.starts_with(std::filesystem::canonical(folder("real")).string()));
    CHECK(test::got(test::open(folder("real/w.restand")).all()).size() ==
          2);  // the copy's, and the device's new name
    CHECK(restore_backup(folder("real/w.restand"), folder("link.restand"), noon).error().code ==
          ErrorCode::contradiction);
}
