// exchange and devices: two workshops meet on a stick, and on a server where one can be started.

#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>

#include "core/codec/body_json.h"
#include "core/sync/device_rest.h"
#include "core/sync/sync_bundle.h"
#include "tests/store/postgres_server.h"
#include "tests/terminal/program.h"

using namespace restand;
using namespace restand::test;

namespace {

void make_with_bike(const std::string& path, const std::string& bike) {
    Store store = test::open(path);
    const Id person = got(store.append(encode(PersonBody{"Ines"}))).id;
    got(store.append(encode(test::bike(bike), {}, {}, person)));
}
std::size_t entries_in(const std::string& path) {
    return got(test::open(path, Store::Mode::read).all()).size();
}

}  // namespace

TEST_CASE("exchange: two workshops meet on a stick and say that they agree") {
    const Folder folder;
    std::filesystem::create_directory(folder("stick"));
    make_with_bike(folder("a.restand"), "No. 27");
    make_with_bike(folder("b.restand"), "No. 9");
    const Ran first = run(folder, "exchange stick --file a.restand");
    CHECK_MESSAGE(first.code == 0, first.err);
    // Two entries, and the one in which the device says its name.
    CHECK(first.out == "stick: 3 entries put, 0 taken\n  no other device has been here yet\n");
    const Ran second = run(folder, "exchange stick --file b.restand");
    CHECK_MESSAGE(second.code == 0, second.err);
    CHECK(second.out.starts_with("stick: 3 entries put, 3 taken\n"));
    CHECK(has(second.out, "lacks 3"));
    const Ran third = run(folder, "exchange stick --file a.restand");
    CHECK(third.out.starts_with("stick: 0 entries put, 3 taken\n"));
    CHECK(has(third.out, "has the same"));
    CHECK(run(folder, "exchange stick --file b.restand").out.starts_with("stick: 0 entries put, 0 taken\n"));
    CHECK(entries_in(folder("a.restand")) == 6);
    CHECK(run(folder, "bikes --json --file a.restand").out ==
          run(folder, "bikes --json --file b.restand").out);
    const Ran devices = run(folder, "devices --file a.restand");
    CHECK(devices.code == 0);
    CHECK(std::count(devices.out.begin(), devices.out.end(), '\n') == 2);
    CHECK(has(devices.out, "3 entries"));
    CHECK(has(devices.out, "this device"));
    // A third one that has nothing yet takes everything.
    CHECK(run(folder, "exchange stick --file new.restand").out.starts_with("stick: 1 entry put, 6 taken\n"));
}

TEST_CASE(
    "retire: a device that is lost is listed no more as lacking, on every device, until it comes by again") {
    const Folder folder;
    std::filesystem::create_directory(folder("stick"));
    for (const char* file : {"a.restand", "b.restand", "lost.restand"}) make_with_bike(folder(file), file);
    const auto meet = [&](const std::string& file) {
        const Ran r = run(folder, "exchange stick --file " + file);
        CHECK_MESSAGE(r.code == 0, r.err);
        return r.out;
    };
    meet("lost.restand"), meet("a.restand"), meet("b.restand"), meet("a.restand");
    const std::uint64_t device = test::open(folder("lost.restand"), Store::Mode::read).device();
    char number[17];
    std::snprintf(number, sizeof number, "%016llx", static_cast<unsigned long long>(device));
    CHECK(has(meet("a.restand"), std::string(number) + "  lacks 6"));
    const Ran done = run(folder, "retire " + std::string(number, 6) + " --file a.restand");
    CHECK_MESSAGE(done.code == 0, done.err);
    CHECK(has(done.out, std::string(number) + ") is laid to rest"));
    CHECK(has(run(folder, "retire " + std::string(number) + " --file a.restand").out, "already"));
    for (const char* file : {"a.restand", "b.restand", "a.restand"}) CHECK_FALSE(has(meet(file), number));
    CHECK(has(run(folder, "devices --file b.restand").out, "laid to rest"));
    CHECK(entries_in(folder("b.restand")) == 10);

    // Found again: it learns of it at the first meeting, and says that it is back.
    meet("lost.restand");
    CHECK(has(meet("a.restand"), std::string(number) + "  has the same"));
    CHECK_FALSE(has(run(folder, "devices --file a.restand").out, "laid to rest"));

    // Itself, nobody, two of one name.
    const std::uint64_t own = test::open(folder("a.restand"), Store::Mode::read).device();
    std::snprintf(number, sizeof number, "%016llx", static_cast<unsigned long long>(own));
    CHECK(has(run(folder, "retire " + std::string(number) + " --file a.restand").err, "it is this device"));
    CHECK(run(folder, "retire nobody --file a.restand").code == 2);
    char host[256] = {};
    REQUIRE(::gethostname(host, sizeof host - 1) == 0);
    CHECK(
        has(run(folder, "retire '" + std::string(host) + "' --file a.restand").err, "several are called so"));
    CHECK(run(folder, "retire --file a.restand").code == 2);
}

TEST_CASE("retire: what a rename says at the same time as a rest stands; entries of a lost device stay") {
    const Folder folder;
    Store a = test::open(folder("a.restand")), b = test::open(folder("b.restand"));
    const std::uint64_t device = b.device();
    char number[17];
    std::snprintf(number, sizeof number, "%016llx", static_cast<unsigned long long>(device));
    const Entry named = got(b.append(encode(DeviceBody{"box", number, {}})));
    got(a.merge({named}));
    got(a.append(lay_to_rest(got(a.opening()), device, "box")));
    CHECK(left_devices(got(a.opening())) == std::set<std::uint64_t>{device});
    CHECK(at_rest(got(a.opening()), device));
    // It took part meanwhile, and did not know.
    const Entry renamed = got(b.append(encode(DeviceBody{"truck box", number, {}}, {}, {}, {}, {named.id})));
    got(a.merge({renamed}));
    CHECK_FALSE(at_rest(got(a.opening()), device));
    CHECK(left_devices(got(a.opening())).empty());
    // Replaced by a restore: left out as ever.
    got(a.append(encode(DeviceBody{"new box", "00000000000000aa", number})));
    CHECK(left_devices(got(a.opening())) == std::set<std::uint64_t>{device});
    CHECK_FALSE(at_rest(got(a.opening()), device));
    CHECK_FALSE(back_from_rest(got(a.opening()), device));
}

TEST_CASE("exchange: what cannot be read is named and passed over; the rest is taken") {
    const Folder folder;
    std::filesystem::create_directory(folder("stick"));
    make_with_bike(folder("a.restand"), "No. 27");
    run(folder, "exchange stick --file a.restand");
    for (const auto& at : std::filesystem::recursive_directory_iterator(folder("stick")))
        if (at.is_regular_file() && at.path().filename() != "holds.rst")
            write_bytes(at.path().parent_path() / "20260101-000000-0123456789abcdef.rst",
                        bytes_of(at.path()).substr(0, 300));
    const Ran ran = run(folder, "exchange stick --file b.restand");
    CHECK(ran.code == 0);
    CHECK(has(ran.err, "passed over: "));
    CHECK(has(ran.err, "20260101-000000-0123456789abcdef.rst is cut short"));
    CHECK(entries_in(folder("b.restand")) == 4);
}

TEST_CASE(
    "exchange: no place, two places, a folder that is gone or read-only: one sentence, nothing changed") {
    const Folder folder;
    make_with_bike(folder("a.restand"), "No. 27");
    for (const std::string words :
         {"exchange", "exchange stick --postgres host=/nowhere", "exchange one two"})
        CHECK(run(folder, words + " --file a.restand").code == 2);
    const Ran gone = run(folder, "exchange no/stick --file a.restand");
    CHECK(gone.code == 2);
    CHECK(has(gone.err, "no/stick was not found"));
    const Ran server = run(folder, "exchange --postgres 'host=/nowhere connect_timeout=2' --file a.restand");
    CHECK(server.code == 2);
    CHECK(has(server.err, "PostgreSQL"));
    CHECK(has(run(folder, "exchange --schema").out, "create table restand_entry"));
    CHECK(run(folder, "exchange --postgres").code == 2);

    std::filesystem::create_directory(folder("locked"));
    std::filesystem::permissions(folder("locked"),
                                 std::filesystem::perms::owner_read | std::filesystem::perms::owner_exec);
    std::string before;
    if (geteuid() == 0) {  // to root no folder is read-only
        std::filesystem::permissions(folder(""), std::filesystem::perms::all);
        for (const auto& at : std::filesystem::directory_iterator(folder("")))
            std::filesystem::permissions(at.path(), std::filesystem::perms::all);
        before = "setpriv --reuid=65534 --regid=65534 --clear-groups";
        std::filesystem::permissions(
            folder("locked"), std::filesystem::perms::owner_read | std::filesystem::perms::owner_exec |
                                  std::filesystem::perms::others_read | std::filesystem::perms::others_exec);
        for (const char* out : {".out", ".err"}) std::filesystem::remove(folder(out));
    }
    const Ran locked = run(folder, "exchange locked --file a.restand", before);
    CHECK(locked.code == 2);
    CHECK_MESSAGE(has(locked.err, "locked/restand-exchange"), locked.err);
    CHECK(has(locked.err, "read-only"));
}

TEST_CASE("export, import: a parcel says who sent it; both versions are taken") {
    const Folder folder;
    make_with_bike(folder("a.restand"), "No. 27");
    CHECK(run(folder, "exchange . --file a.restand").code == 0);  // gives the device its name
    CHECK(run(folder, "export a.bundle --file a.restand").code == 0);
    const SyncBundle sync_bundle = got(read_sync_bundle(bytes_of(folder("a.bundle"))));
    CHECK(sync_bundle.entries.size() == 3);
    CHECK_FALSE(sync_bundle.sender.name.empty());
    CHECK(sync_bundle.sender.holds == ranges_of(sync_bundle.entries));
    CHECK(run(folder, "import a.bundle --file b.restand").out ==
          "a.bundle: 3 entries added, 0 known already\n");
    const std::string first = RESTAND_SOURCE_DIR "/tests/fixtures/first.bundle";
    CHECK(has(run(folder, "import '" + first + "' --file b.restand").out, "14 entries added"));
    CHECK(has(run(folder, "check a.bundle").out, "3 entries, whole"));
}

TEST_CASE("exchange through PostgreSQL: the same words, the same union") {
    if (!postgres_built_in()) return;
    const auto server = PostgresServer::started();
    if (!server) {
        MESSAGE("no PostgreSQL server is installed here (Debian: postgresql): skipped");
        return;
    }
    const std::string connection = server->place("team_words").connection;
    const Folder folder;
    make_with_bike(folder("a.restand"), "No. 27");
    make_with_bike(folder("b.restand"), "No. 9");
    const auto exchange = [&](const std::string& file) {
        const Ran ran = run(folder, "exchange --postgres '" + connection + "' --file " + file);
        CHECK_MESSAGE(ran.code == 0, ran.err);
        return ran.out;
    };
    CHECK(exchange("a.restand") ==
          "PostgreSQL: 3 entries put, 0 taken\n  no other device has been here yet\n");
    CHECK(exchange("b.restand").starts_with("PostgreSQL: 3 entries put, 3 taken\n"));
    CHECK(has(exchange("a.restand"), "has the same"));
    CHECK(entries_in(folder("a.restand")) == 6);
}
