#include "core/files/file.h"

#include "tests/store/workshop.h"

using namespace restand;

TEST_CASE("file: written whole in place of the old one, nothing left beside it") {
    const test::Folder folder;
    CHECK(write_file_durably(folder("a"), "one"));
    CHECK(write_file_durably(folder("a"), std::string("two\0", 4)));
    CHECK(test::got(read_file(folder("a"), 100)) == std::string("two\0", 4));
    std::size_t files = 0;
    for ([[maybe_unused]] const auto& one : std::filesystem::directory_iterator(folder("."))) ++files;
    CHECK(files == 1);
}

TEST_CASE("file: a link in the way of the half-written file is not followed") {
    const test::Folder folder;
    test::write_bytes(folder("letter"), "not ours");
    std::filesystem::create_symlink(folder("letter"), folder("a.part"));
    CHECK(write_file_durably(folder("a"), "one"));
    CHECK(test::bytes_of(folder("letter")) == "not ours");
    CHECK(test::bytes_of(folder("a")) == "one");
}

TEST_CASE("file: errors name the path") {
    const test::Folder folder;
    const std::string nowhere = folder("no/such/a");
    CHECK(write_file_durably(nowhere, "x").error().subject == nowhere);
    CHECK(read_file(nowhere, 10).error().code == ErrorCode::not_found);
    REQUIRE(write_file_durably(folder("a"), "12345678901"));
    CHECK(read_file(folder("a"), 10).error().code == ErrorCode::too_large);
    CHECK_FALSE(read_file(folder("."), 10));
    // A folder stands where the file should go: the old state stays, the half file is gone.
    CHECK_FALSE(write_file_durably(folder("."), "x"));
    // The kernel's own full disk.
    CHECK(write_file_durably("/dev/full/a", "x").error().code == ErrorCode::io);
}

TEST_CASE("lock: one holder, free again when it goes") {
    const test::Folder folder;
    {
        const auto first = FileLock::take(folder("l"));
        REQUIRE(first);
        CHECK(FileLock::take(folder("l")).error().code == ErrorCode::in_use);
    }
    auto again = FileLock::take(folder("l"));
    REQUIRE(again);
    const FileLock moved = std::move(*again);
    CHECK(moved.held());
    CHECK_FALSE(again->held());
}
