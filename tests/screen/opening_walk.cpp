// Opening something that is not a complete workshop file: the app offers what is readable and the copies, and
// starts nothing new unasked.

#include <fstream>

#include "core/files/file.h"
#include "tests/screen/driver.h"
#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

// The demo's workshop with a copy beside it, closed.
std::filesystem::path with_copy(const WalkFolder& folder) {
    const auto file = folder.demo();
    Driver driver(tablet, file);
    driver.session().settle_copies();
    REQUIRE(driver.state().meeting.copies.size() == 1);
    return file;
}
void write(const std::filesystem::path& file, const std::string& bytes) {
    std::ofstream(file, std::ios::binary).write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
}

}  // namespace

TEST_CASE(
    "opening: a head that is zeroed, cut or no longer says whose it is: salvage and copies are offered") {
    const WalkFolder folder;
    const auto file = with_copy(folder);
    std::string bytes = *read_file(file.string(), 1u << 28);
    SUBCASE("the first page") {
        std::fill_n(bytes.begin(), 4096, '\0');
    }
    SUBCASE("sixteen bytes") {
        std::fill_n(bytes.begin(), 16, '\x55');
    }
    SUBCASE("the application id") {
        std::fill_n(bytes.begin() + 68, 4, '\0');
    }
    write(file, bytes);
    Driver driver(tablet, file);
    CHECK_FALSE(driver.state().writable);
    CHECK(driver.state().screen == Screen::devices);
    REQUIRE(driver.state().notice.has_value());
    CHECK(driver.state().notice->text.find("is damaged") != std::string::npos);
    CHECK_FALSE(driver.state().ledger.bikes().empty());
    CHECK(*read_file(file.string(), 1u << 28) == bytes);
    driver.session().settle();
    driver.tap("copy:0");
    driver.tap("copy:0:yes");
    CHECK(driver.state().writable);
    CHECK_FALSE(driver.state().ledger.bikes().empty());
}

TEST_CASE(
    "opening: a workshop that is missing or empty, with copies beside it, is not begun anew without asking") {
    const WalkFolder folder;
    const auto file = with_copy(folder);
    bool empty = false;
    SUBCASE("missing") {
        std::filesystem::remove(file);
    }
    SUBCASE("empty") {
        write(file, ""), empty = true;
    }
    {
        Driver driver(tablet, file);
        CHECK_FALSE(driver.state().writable);
        CHECK(driver.state().screen == Screen::devices);
        CHECK(driver.shows("Begin a new workshop"));
        CHECK(driver.shows("Go back to"));
        CHECK(std::filesystem::exists(file) == empty);
        driver.tap("begin_new");
        CHECK(driver.state().writable);
        CHECK(driver.state().screen == Screen::people);
        CHECK(std::filesystem::file_size(file) > 0);
    }
    std::filesystem::remove(file);
    Driver driver(tablet, file);
    driver.tap("copy:0");
    driver.tap("copy:0:yes");
    CHECK(driver.state().writable);
    CHECK_FALSE(driver.state().ledger.bikes().empty());
}

TEST_CASE("opening: what holds nothing of ours and has no copies beside it is refused and left alone") {
    const WalkFolder folder;
    const auto file = folder.path / "photo.restand";
    write(file, std::string(9000, 'x'));
    const auto opened = Session::open(file, tablet, {});
    REQUIRE_FALSE(opened);
    CHECK(opened.error().code == ErrorCode::not_ours);
    CHECK(*read_file(file.string(), 1u << 28) == std::string(9000, 'x'));
}

TEST_CASE("opening: a file of an earlier version is kept as it was, and the notice says where") {
    const WalkFolder folder;
    const auto file = folder.demo();
    const std::string before =
        *read_file(std::string(RESTAND_SOURCE_DIR) + "/tests/fixtures/first.restand", 1u << 28);
    write(file, before);
    {
        Driver driver(tablet, file);
        CHECK(driver.state().writable);
        REQUIRE(driver.state().notice.has_value());
        const std::string& said = driver.state().notice->text;
        const auto at = said.find(file.string() + ".version-1-");
        REQUIRE_MESSAGE(at != std::string::npos, said);
        CHECK(*read_file(said.substr(at, said.size() - at - 1), 1u << 28) == before);
    }
    Driver again(tablet, file);
    CHECK_FALSE(again.state().notice.has_value());
}

TEST_CASE("opening: a file of an earlier version that cannot be kept as it was is opened for reading") {
    const WalkFolder folder;
    const auto file = folder.demo();
    const std::string before =
        *read_file(std::string(RESTAND_SOURCE_DIR) + "/tests/fixtures/first.restand", 1u << 28);
    write(file, before);
    // A circular link at the lock's place: neither the lock nor the copy can be made.
    std::filesystem::remove(file.string() + ".lock");
    std::filesystem::create_symlink(file.string() + ".lock", file.string() + ".lock");
    Driver driver(tablet, file);
    CHECK_FALSE(driver.state().writable);
    CHECK_FALSE(driver.state().ledger.bikes().empty());
    REQUIRE(driver.state().notice.has_value());
    CHECK_MESSAGE(driver.state().notice->text.find("Open for reading only.") != std::string::npos,
                  driver.state().notice->text);
    CHECK(*read_file(file.string(), 1u << 28) == before);
}

TEST_CASE(
    "opening: from a workshop begun anew one goes back to the copy of the one that was lost, once asked") {
    const WalkFolder folder;
    const auto file = with_copy(folder);
    std::filesystem::remove(file);
    Driver driver(tablet, file);
    driver.tap("begin_new");
    go(driver, act::OpenTag{{.of = Field::Of::person}});
    go(driver, act::PadText{"Ilse"});
    go(driver, act::PadNext{});
    REQUIRE(driver.state().ledger.people().size() == 1);
    go(driver, act::Go{Screen::devices, {}});
    driver.session().settle_copies();
    driver.look();
    const auto& copies = driver.state().meeting.copies;
    const auto old =
        std::find_if(copies.begin(), copies.end(), [](const CopyOnDisk& c) { return c.of_other; });
    REQUIRE(old != copies.end());
    const std::string row = "copy:" + std::to_string(old - copies.begin());
    driver.tap(row.c_str());
    CHECK(driver.shows("may be of another workshop"));
    driver.tap((row + ":yes").c_str());
    CHECK_FALSE(driver.state().ledger.bikes().empty());
}
