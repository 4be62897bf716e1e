#include <signal.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include <atomic>
#include <random>
#include <set>
#include <thread>

#include "core/codec/bundle.h"
#include "tests/store/team.h"

using namespace restand;
namespace fs = std::filesystem;

namespace {

std::vector<fs::path> files_in(const std::string& folder) {
    std::vector<fs::path> files;
    for (const auto& at : fs::recursive_directory_iterator(folder))
        if (at.is_regular_file()) files.push_back(at.path());
    std::sort(files.begin(), files.end());
    return files;
}
std::vector<fs::path> sync_bundles_in(const std::string& folder) {
    auto files = files_in(folder);
    std::erase_if(files, [](const fs::path& path) { return path.filename() == "holds.rst"; });
    return files;
}
struct Stick {
    test::Folder folder;
    FolderPlace place{folder("")};
};

}  // namespace

TEST_CASE("folder place: two devices meet and agree") {
    const test::Folder home;
    const Stick stick;
    test::Device a(home, "a"), b(home, "b");
    a.write(5);
    b.write(3);
    CHECK(test::got(look(stick.place, a.sender())).empty());
    CHECK(test::exchange(stick.place, a) == 0);
    auto seen = test::got(look(stick.place, b.sender()));
    REQUIRE(seen.size() == 1);
    CHECK(seen[0].sender.name == "a");
    CHECK(seen[0].has == 5);
    CHECK(seen[0].lacks == 3);
    CHECK(test::exchange(stick.place, b) == 5);
    CHECK(test::exchange(stick.place, a) == 3);
    CHECK(a.entries() == b.entries());
    for (const test::Device* device : {&a, &b}) {
        seen = test::got(look(stick.place, device->sender()));
        REQUIRE(seen.size() == 1);
        CHECK(seen[0].has == 0);
        CHECK(seen[0].lacks == 0);
    }
}

TEST_CASE("folder place: put writes only what no readable file holds; files never change") {
    const test::Folder home;
    const Stick stick;
    test::Device a(home, "a"), b(home, "b");
    a.write(4);
    CHECK(test::got(put(stick.place, a.sender(), a.those())) == 4);
    CHECK(test::got(put(stick.place, a.sender(), a.those())) == 0);
    const auto first = sync_bundles_in(stick.place.folder);
    REQUIRE(first.size() == 1);
    const std::string bytes = test::bytes_of(first[0]);
    test::exchange(stick.place, b);
    a.write(2);
    CHECK(test::got(put(stick.place, a.sender(), a.those())) == 2);
    // b holds a's entries, and the place has them: nothing to put.
    CHECK(test::got(put(stick.place, b.sender(), b.those())) == 0);
    CHECK(test::bytes_of(first[0]) == bytes);
    CHECK(sync_bundles_in(stick.place.folder).size() == 2);
    // Each device wrote into its own folder only.
    for (const fs::path& file : sync_bundles_in(stick.place.folder)) {
        const SyncBundle sync_bundle = test::got(read_sync_bundle(test::bytes_of(file)));
        char own[17];
        std::snprintf(own, sizeof own, "%016llx", static_cast<unsigned long long>(sync_bundle.sender.device));
        CHECK(file.parent_path().filename() == own);
    }
    // A file that went bad is written again by whoever holds its entries.
    test::write_bytes(first[0], bytes.substr(0, bytes.size() / 2));
    CHECK(test::got(put(stick.place, b.sender(), b.those())) == 4);
}

TEST_CASE("folder place: half-written, damaged, foreign and huge files are passed over and named") {
    const test::Folder home;
    const Stick stick;
    test::Device a(home, "a"), b(home, "b");
    a.write(3);
    test::exchange(stick.place, a);
    a.write(2);
    test::exchange(stick.place, a);
    const auto good = sync_bundles_in(stick.place.folder);
    REQUIRE(good.size() == 2);
    const std::string bytes = test::bytes_of(good[0]);
    const fs::path own = good[0].parent_path();

    std::map<std::string, ErrorCode> expected;
    const auto bad = [&](const std::string& name, const std::string& content, ErrorCode code) {
        test::write_bytes(own / name, content);
        expected[(own / name).string()] = code;
    };
    bad("20260101-000000-0000000000000001.rst", bytes.substr(0, bytes.size() - 1), ErrorCode::truncated);
    std::string flipped = bytes;
    flipped[100] = static_cast<char>(flipped[100] ^ 1);
    bad("20260101-000000-0000000000000002.rst", flipped, ErrorCode::damaged);
    bad("20260101-000000-0000000000000003.rst", "", ErrorCode::not_ours);
    bad("20260101-000000-0000000000000004.rst", "PK\3\4 a photograph", ErrorCode::not_ours);
    bad("20260101-000000-0000000000000005.rst", seal("BNDL", 9, "later"), ErrorCode::newer_version);
    bad("20260101-000000-0000000000000006.rst.part", bytes, ErrorCode::truncated);
    bad("photo.jpg", "...", ErrorCode::not_ours);
    // Larger than any bundle, without taking that much disk.
    bad("20260101-000000-0000000000000007.rst", "RSTDBNDL", ErrorCode::too_large);
    fs::resize_file(own / "20260101-000000-0000000000000007.rst", bundle_cap + 4096);
    fs::create_directory(own / "20260101-000000-0000000000000008.rst");
    expected[(own / "20260101-000000-0000000000000008.rst").string()] = ErrorCode::not_ours;
    REQUIRE(::mkfifo((own / "20260101-000000-0000000000000009.rst").c_str(), 0600) == 0);
    expected[(own / "20260101-000000-0000000000000009.rst").string()] = ErrorCode::not_ours;
    fs::create_directory(own.parent_path() / "holiday");
    expected[(own.parent_path() / "holiday").string()] = ErrorCode::not_ours;
    test::write_bytes(own / "holds.rst", "half");
    expected[(own / "holds.rst").string()] = ErrorCode::not_ours;
    test::write_bytes(own / ".DS_Store", "of the system's");  // not named: nobody's business

    const Taken taken = test::got(take(stick.place, b.sender()));
    CHECK(taken.entries.size() == 5);
    std::map<std::string, ErrorCode> refused;
    for (const Error& error : taken.refused) refused[error.subject] = error.code;
    CHECK(refused == expected);
    // Without its own word it is still there, as its parcels say.
    const auto still = test::got(look(stick.place, b.sender()));
    REQUIRE(still.size() == 1);
    CHECK(still[0].sender.name == "a");
    CHECK(still[0].has == 5);
    // The device itself says anew what it holds, and clears its own half-written file.
    test::exchange(stick.place, a);
    CHECK_FALSE(fs::exists(own / "20260101-000000-0000000000000006.rst.part"));
    CHECK(test::got(look(stick.place, b.sender())).size() == 1);
}

TEST_CASE("folder place: no cut and no flipped bit of a file in it gets an entry in that is not so") {
    const test::Folder home;
    const Stick stick;
    test::Device a(home, "a"), b(home, "b");
    a.write(3);
    test::exchange(stick.place, a);
    const auto file = sync_bundles_in(stick.place.folder).at(0);
    const std::string whole = test::bytes_of(file);
    std::mt19937 random(5);
    for (int run = 0; run < 500; ++run) {
        std::string bytes = whole;
        if (run % 2)
            bytes.resize(random() % whole.size());
        else
            bytes[random() % whole.size()] ^= static_cast<char>(1 << random() % 8);
        test::write_bytes(file, bytes);
        const Taken taken = test::got(take(stick.place, b.sender()));
        REQUIRE(taken.entries.empty());
        REQUIRE(taken.refused.size() == 1);
    }
}

TEST_CASE("folder place: a folder that is gone, read-only or full is named, and nothing half is left") {
    const test::Folder home;
    test::Device a(home, "a");
    a.write(3);
    const FolderPlace gone{home("no/such/stick")};
    for (const Error& error : {look(gone, a.sender()).error(), put(gone, a.sender(), a.those()).error(),
                               take(gone, a.sender()).error()}) {
        CHECK(error.code == ErrorCode::not_found);
        CHECK(error.subject == gone.folder);
    }
    if (geteuid() != 0) {
        const Stick stick;
        fs::permissions(stick.place.folder, fs::perms::owner_read | fs::perms::owner_exec);
        const auto refused = put(stick.place, a.sender(), a.those());
        REQUIRE_FALSE(refused);
        CHECK(refused.error().code == ErrorCode::read_only);
        CHECK(refused.error().subject.starts_with(stick.place.folder));
    }
    // A file where the folder should be: nothing can be written there.
    const Stick stick;
    test::write_bytes(stick.folder("restand-exchange"), "a file");
    CHECK_FALSE(put(stick.place, a.sender(), a.those()));
    CHECK_FALSE(take(stick.place, a.sender()));
    CHECK(files_in(stick.place.folder).size() == 1);
}

TEST_CASE(
    "folder place: a stick that is full in mid-write keeps no half file; emptied, the next put does it all") {
    const test::Folder home;
    const Stick stick;
    test::Device a(home, "a"), b(home, "b");
    a.write(20);
    // Everything is read before: the limit must strike the stick, not the workshop.
    const Sender me = a.sender();
    const auto entries = test::got(a.store.all());
    const Those those = [&](const std::vector<Lack>&) { return entries; };
    rlimit usual{};
    REQUIRE(::getrlimit(RLIMIT_FSIZE, &usual) == 0);
    const auto handler = ::signal(SIGXFSZ, SIG_IGN);
    for (const rlim_t room : {rlim_t{0}, rlim_t{100}, rlim_t{3000}}) {
        const rlimit full{room, usual.rlim_max};
        REQUIRE(::setrlimit(RLIMIT_FSIZE, &full) == 0);
        const auto refused = put(stick.place, me, those);
        REQUIRE(::setrlimit(RLIMIT_FSIZE, &usual) == 0);
        REQUIRE_FALSE(refused);
        CHECK(refused.error().code == ErrorCode::io);
        CHECK(refused.error().subject.starts_with(stick.place.folder));
        CHECK(files_in(stick.place.folder).empty());
    }
    ::signal(SIGXFSZ, handler);
    CHECK(test::got(put(stick.place, me, those)) == 20);
    CHECK(test::exchange(stick.place, b) == 20);
}

TEST_CASE("folder place: three devices at once on one share: nothing is lost, nothing is half") {
    const test::Folder home;
    const Stick stick;
    std::vector<std::unique_ptr<test::Device>> devices;
    for (const char* name : {"a", "b", "c"}) devices.push_back(std::make_unique<test::Device>(home, name));
    std::atomic<int> failures{0};
    std::vector<std::thread> threads;
    for (const auto& device : devices)
        threads.emplace_back([&failures, &stick, &device] {
            for (int round = 0; round < 12; ++round) {
                device->write(2);
                if (!put(stick.place, device->sender(), device->those())) ++failures;
                const auto taken = take(stick.place, device->sender());
                if (!taken || !device->store.merge(taken->entries)) ++failures;
            }
        });
    for (std::thread& thread : threads) thread.join();
    CHECK(failures == 0);
    for (int round = 0; round < 2; ++round)
        for (const auto& device : devices) test::exchange(stick.place, *device);
    for (const auto& device : devices) CHECK(device->entries().size() == 72);
}

TEST_CASE("folder place: stopped between files it leaves none; what was there stays") {
    const test::Folder home;
    const Stick stick;
    test::Device a(home, "a"), b(home, "b");
    a.write(2);
    test::exchange(stick.place, a);
    const auto before = files_in(stick.place.folder);
    a.write(5);
    Progress progress;
    const Those those = [&](const std::vector<Lack>& wanted) {
        progress.cancelled = true;  // while the first piece is being read
        return a.store.those(wanted);
    };
    CHECK(put(stick.place, a.sender(), those, &progress).error().code == ErrorCode::cancelled);
    CHECK(files_in(stick.place.folder) == before);
    CHECK(take(stick.place, b.sender(), &progress).error().code == ErrorCode::cancelled);
}

TEST_CASE("folder place: a device that went on from an old copy loses nothing anywhere") {
    const test::Folder home;
    const Stick stick;
    test::Device a(home, "a"), b(home, "b");
    a.write(4);
    { const Store closed = std::move(a.store); }
    fs::copy_file(a.path, home("copy.restand"));
    a.store = test::open(a.path);
    test::Device copy(home, "copy");
    REQUIRE(copy.store.device() == a.store.device());
    // Both use the numbers 5 to 7 of one incarnation, for other entries.
    a.write(3);
    copy.write(3);
    const auto both = [&] {
        auto all = a.entries();
        all.merge(copy.entries());
        return all;
    }();
    REQUIRE(both.size() == 10);
    const auto put_and_take = [&](test::Device& device) {
        test::got(put(stick.place, device.sender(), device.those()));
        test::got(device.store.merge(test::got(take(stick.place, device.sender())).entries));
    };
    for (int round = 0; round < 2; ++round)
        for (test::Device* device : {&a, &copy, &b}) put_and_take(*device);
    CHECK(a.entries() == both);
    CHECK(copy.entries() == both);
    CHECK(b.entries() == both);
}

TEST_CASE("folder place: five devices, two sticks, any order: every entry is everywhere") {
    std::mt19937 random(17);
    for (int run = 0; run < 6; ++run) {
        const test::Folder home;
        const Stick sticks[2];
        std::vector<std::unique_ptr<test::Device>> devices;
        for (const char* name : {"a", "b", "c", "d", "e"})
            devices.push_back(std::make_unique<test::Device>(home, name));
        for (int step = 0; step < 30; ++step) {
            test::Device& device = *devices[random() % devices.size()];
            device.write(static_cast<int>(random() % 4));
            const Stick& stick = sticks[random() % 2];
            const auto files = sync_bundles_in(stick.place.folder);
            // Now and then a file is lost or cut: whoever holds its entries puts them again.
            if (!files.empty() && random() % 5 == 0)
                test::write_bytes(files[random() % files.size()], "RSTDBNDL cut");
            test::exchange(stick.place, device);
        }
        std::set<std::pair<Id, Hash>> all;
        for (const auto& device : devices) all.merge(device->entries());
        for (int round = 0; round < 2; ++round)
            for (const auto& device : devices) test::exchange(sticks[0].place, *device);
        for (const auto& device : devices) REQUIRE(device->entries() == all);
        for (const auto& device : devices)
            for (const Seen& seen : test::got(look(sticks[0].place, device->sender()))) {
                REQUIRE(seen.has == 0);
                REQUIRE(seen.lacks == 0);
            }
    }
}

TEST_CASE(
    "folder place: a link planted in it is never written or deleted through; a linked folder is refused by "
    "name") {
    const test::Folder home, elsewhere;
    test::Device a(home, "a");
    a.write(2);
    char own_name[17];
    std::snprintf(own_name, sizeof own_name, "%016llx", static_cast<unsigned long long>(a.store.device()));
    test::write_bytes(elsewhere("letter"), "not ours");
    test::write_bytes(elsewhere("draft.part"), "not ours");
    const auto untouched = [&] {
        CHECK(files_in(elsewhere("")).size() == 2);
        CHECK(test::bytes_of(elsewhere("letter")) == "not ours");
        CHECK(test::bytes_of(elsewhere("draft.part")) == "not ours");
    };
    SUBCASE("a half-written file's name is a link to a file elsewhere") {
        const Stick stick;
        const fs::path own = fs::path(stick.folder("restand-exchange")) / own_name;
        fs::create_directories(own);
        fs::create_symlink(elsewhere("letter"), own / "holds.rst.part.rst");
        fs::create_symlink(elsewhere("letter"), own / "other.part");
        fs::create_symlink(elsewhere("letter"), own / "holds.rst");
        // Made while we run: after the half-written files of before were cleared.
        const Those planting = [&](const std::vector<Lack>& wanted) {
            fs::create_symlink(elsewhere("letter"), own / "holds.rst.part");
            return a.store.those(wanted);
        };
        CHECK(test::got(put(stick.place, a.sender(), planting)) == 2);
        untouched();
        CHECK_FALSE(fs::is_symlink(own / "holds.rst"));
        // The link itself may go, what it leads to may not.
        CHECK(test::got(put(stick.place, a.sender(), a.those())) == 0);
        CHECK_FALSE(fs::is_symlink(own / "other.part"));
        untouched();
    }
    SUBCASE("the device's own folder is a link") {
        const Stick stick;
        fs::create_directory(stick.folder("restand-exchange"));
        const std::string own = stick.folder("restand-exchange/") + own_name;
        fs::create_directory_symlink(elsewhere(""), own);
        const auto refused = put(stick.place, a.sender(), a.those());
        REQUIRE_FALSE(refused);
        CHECK(refused.error().code == ErrorCode::wrong_type);
        CHECK(refused.error().subject == own);
        CHECK(refused.error().detail == "a folder, this is a link to another place");
        untouched();
    }
    SUBCASE("the exchange folder is a link") {
        const Stick stick;
        const std::string inside = stick.folder("restand-exchange");
        fs::create_directory_symlink(elsewhere(""), inside);
        const auto refused = put(stick.place, a.sender(), a.those());
        REQUIRE_FALSE(refused);
        CHECK(refused.error().code == ErrorCode::wrong_type);
        CHECK(refused.error().subject == inside);
        untouched();
    }
    SUBCASE("another device's folder and a parcel are links: named, not read") {
        const Stick stick, other;
        test::exchange(other.place, a);
        test::Device b(home, "b");
        const std::string inside = stick.folder("restand-exchange/");
        fs::create_directory(inside);
        fs::create_directory_symlink(other.folder("restand-exchange/") + own_name, inside + own_name);
        fs::create_directory(inside + "0123456789abcdef");
        fs::create_symlink(sync_bundles_in(other.place.folder).at(0), inside + "0123456789abcdef/one.rst");
        const Taken taken = test::got(take(stick.place, b.sender()));
        CHECK(taken.entries.empty());
        std::set<std::string> named;
        for (const Error& error : taken.refused) named.insert(error.subject);
        CHECK(named == std::set<std::string>{inside + own_name, inside + "0123456789abcdef/one.rst"});
    }
}
