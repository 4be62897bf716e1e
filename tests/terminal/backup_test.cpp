// backup, backups, restore: through the real program, with a file that goes bad.

#include <algorithm>

#include "tests/terminal/program.h"

using namespace restand;
using namespace restand::test;

namespace {

std::string made_by(const Ran& ran) {
    return ran.out.substr(0, ran.out.find(": "));
}

}  // namespace

TEST_CASE("backup, backups, restore: what was there at the copy is there again, the other is kept") {
    const Folder folder;
    {
        Store store = test::open(folder("w.restand"));
        begin_swap(store);
    }
    CHECK(run(folder, "backups --file w.restand").out == "No backups yet.\n");
    const Ran made = run(folder, "backup --file w.restand");
    CHECK_MESSAGE(made.code == 0, made.err);
    CHECK(has(made.out, "6 entries, opened and checked"));
    const std::string copy = made_by(made);
    CHECK(has(copy, "backups/"));
    CHECK(has(run(folder, "check '" + copy + "'").out, "6 entries, whole"));
    std::uint64_t before = 0;
    {
        Store store = test::open(folder("w.restand"), Store::Mode::write);
        before = store.device();
        got(store.append(encode(PersonBody{"after the copy"})));
    }
    const Ran list = run(folder, "backups --file w.restand");
    CHECK(has(list.out, "6 entries"));
    CHECK(has(list.out, "good"));

    const Ran restored = run(folder, "restore '" + copy + "' --file w.restand");
    CHECK_MESSAGE(restored.code == 0, restored.err);
    CHECK(has(restored.out, "is kept as "));
    const Store now = test::open(folder("w.restand"), Store::Mode::read);
    const auto entries = got(now.all());
    // The six of the copy, and what the device says of itself under its new number.
    CHECK(std::count_if(entries.begin(), entries.end(), [](const Entry& e) { return e.kind != "device"; }) ==
          6);
    CHECK(now.device() != before);
    CHECK(has(run(folder, "devices --file w.restand").out, "this device"));
}

TEST_CASE("restore: a damaged copy, none, or no copy at all changes nothing") {
    const Folder folder;
    {
        Store store = test::open(folder("w.restand"));
        begin_swap(store);
    }
    const std::string copy = made_by(run(folder, "backup --file w.restand"));
    std::string bytes = bytes_of(folder(copy));
    REQUIRE(bytes.size() > 5000);
    std::fill(bytes.begin() + 4096, bytes.begin() + 4600, '\x55');
    write_bytes(folder(copy), bytes);
    write_bytes(folder("photo.jpg"), "no workshop");
    const std::string before = bytes_of(folder("w.restand"));
    for (const std::string& bad : {copy, std::string("photo.jpg"), std::string("none.backup")}) {
        const Ran ran = run(folder, "restore '" + bad + "' --file w.restand");
        CAPTURE(bad);
        CHECK(ran.code == 2);
        CHECK(ran.err.starts_with("restand: "));
        CHECK(bytes_of(folder("w.restand")) == before);
    }
    CHECK(has(run(folder, "backups --file w.restand").out, "damaged"));
    CHECK(run(folder, "restore --file w.restand").code == 2);
}

TEST_CASE("backup: into a folder that is named, or not there") {
    const Folder folder;
    {
        Store store = test::open(folder("w.restand"));
        begin_swap(store);
    }
    std::filesystem::create_directory(folder("stick"));
    CHECK(made_by(run(folder, "backup stick --file w.restand")).starts_with("stick/"));
    CHECK(has(run(folder, "backups stick --file w.restand").out, "good"));
    CHECK(run(folder, "backup --file none.restand").code == 2);
    write_bytes(folder("file"), "");
    CHECK(run(folder, "backup file --file w.restand").code == 2);
}

TEST_CASE("restore: another workshop's copy only with --other; the list names the device of each copy") {
    const Folder folder;
    for (const char* name : {"w.restand", "other.restand"}) {
        Store store = test::open(folder(name));
        begin_swap(store);
    }
    std::filesystem::create_directory(folder("stick"));
    const std::string theirs = made_by(run(folder, "backup stick --file other.restand"));
    made_by(run(folder, "backup stick --file w.restand"));
    CHECK(has(run(folder, "backups stick --file w.restand").out, "this device"));
    const std::string before = bytes_of(folder("w.restand"));
    const Ran refused = run(folder, "restore '" + theirs + "' --file w.restand");
    CHECK(refused.code == 2);
    CHECK(has(refused.err, "another workshop"));
    CHECK(has(refused.err, "--other"));
    CHECK(bytes_of(folder("w.restand")) == before);
    CHECK(run(folder, "restore '" + theirs + "' --other --file w.restand").code == 0);
}
