// Copies, damage, and entries that the disk refused, on the real app: what the screen says of them, and the
// remedies.

#include <fstream>

#include "core/files/file.h"
#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

// A device's own state lies in a folder of the test.
struct OwnState {
    explicit OwnState(const std::filesystem::path& folder) { ::setenv("XDG_STATE_HOME", folder.c_str(), 1); }
    ~OwnState() { ::unsetenv("XDG_STATE_HOME"); }
};

// Simulates removal of the stick that holds the workshop, until the end of the block.
struct PulledOut {
    std::filesystem::path file, away;
    explicit PulledOut(const std::filesystem::path& workshop)
        : file(workshop), away(workshop.string() + ".pulled-out") {
        std::filesystem::rename(file, away);
    }
    ~PulledOut() { std::filesystem::rename(away, file); }
};

void look_at_what_was_kept(Driver& driver) {
    go(driver, act::DismissNotice{});
    begin(driver);
    go(driver, act::Go{Screen::devices, {}});
}

}  // namespace

TEST_CASE("season: a copy is made, and gone back to") {
    DemoHand driver;
    const double was = now_at(driver, End::front, Point::clicks_rebound_low);
    go(driver, act::Go{Screen::devices, {}});
    driver.tap("backup");
    REQUIRE(!driver.state().meeting.copies.empty());
    CHECK(driver.state().meeting.copies.front().good);
    const std::uint64_t device = driver.state().device;
    go(driver, act::StartChange{bike_named(driver, "No. 27")->id});
    driver.tap("change:front:clicks_rebound_low:more");
    go(driver, act::Go{Screen::devices, {}});
    driver.tap("copy:0");
    driver.tap("copy:0:yes");
    go(driver, act::Go{Screen::bike, bike_named(driver, "No. 27")->id});
    CHECK(now_at(driver, End::front, Point::clicks_rebound_low) == was);
    CHECK(driver.state().device != device);  // a restored device writes under a new number
}

TEST_CASE(
    "season: a workshop with a changed byte is copied by itself all the same, and the screen says so and "
    "what to do") {
    const WalkFolder folder;
    const auto file = folder.demo();
    std::vector<std::string> good;
    {
        Driver driver(tablet, file);
        begin(driver);
        driver.session().settle_copies();
        CHECK(driver.state().meeting.copy_trouble.empty());
        for (const CopyOnDisk& copy : driver.state().meeting.copies) good.push_back(copy.path);
        REQUIRE(good.size() == 1);
        go(driver, act::StartChange{bike_named(driver, "No. 27")->id});
        driver.tap("change:front:clicks_rebound_low:more");
    }
    auto bytes = *read_file(file.string(), 1u << 28);
    // In the entry and in the word index.
    std::size_t changed = 0;
    for (auto at = bytes.find("lean on it all afternoon"); at != std::string::npos;
         at = bytes.find("lean on it all afternoon"))
        bytes[at] = 'L', ++changed;
    REQUIRE(changed > 0);
    std::ofstream(file, std::ios::binary).write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    Driver driver(tablet, file);
    driver.session().settle_copies();
    REQUIRE(driver.state().notice.has_value());
    CHECK(driver.state().notice->text.find("has damage") != std::string::npos);
    go(driver, act::Go{Screen::devices, {}});
    CHECK(driver.shows("has damage"));
    const auto& rows = driver.page().panel.rows;
    CHECK(std::any_of(rows.begin(), rows.end(), [](const Row& row) {
        const auto* note = std::get_if<row::Note>(&row);
        return note && note->text.find("could be read of a workshop with damage") != std::string::npos;
    }));
    REQUIRE(driver.state().meeting.copies.size() == 2);
    CHECK(driver.state().meeting.copies[0].of_damaged);
    CHECK(driver.state().meeting.copies[1].path == good[0]);
    CHECK(driver.state().meeting.copies[1].good);
}

TEST_CASE("season: a copy that cannot be made is said, with what to do, until one is made") {
    const WalkFolder folder;
    const auto file = folder.demo();
    std::ofstream(folder.path / "backups") << "a file where the folder should be";
    Driver driver(tablet, file);
    driver.session().settle_copies();
    REQUIRE(driver.state().notice.has_value());
    CHECK(driver.state().notice->text.starts_with("No copy could be made: "));
    go(driver, act::Go{Screen::devices, {}});
    CHECK(driver.shows("No copy could be made"));
    std::filesystem::remove(folder.path / "backups");
    driver.tap("backup");
    CHECK_FALSE(driver.shows("No copy could be made"));
    CHECK(driver.state().meeting.copies.front().good);
}

TEST_CASE("season: a damaged workshop opens for reading and offers the newest good copy") {
    const WalkFolder folder;
    const auto file = folder.demo();
    {
        Driver driver(tablet, file);
        begin(driver);
        go(driver, act::Go{Screen::devices, {}});
        driver.tap("backup");
    }
    auto bytes = *read_file(file.string(), 1u << 28);
    const auto at = bytes.find("lean on it all afternoon");
    REQUIRE(at != std::string::npos);
    bytes[at] = 'L';
    std::ofstream(file, std::ios::binary).write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    Driver driver(tablet, file);
    // One changed letter, in an entry that is not read at the start: no altered data is shown.
    go(driver, act::Go{Screen::history, bike_named(driver, "No. 27")->id});
    for (const Entry& e : driver.state().season.moments)
        CHECK(e.body.find("Lean on it") == std::string::npos);
}

TEST_CASE(
    "season: a workshop whose bike is damaged is shown as far as it goes, and the newest good copy is a tap "
    "away") {
    const WalkFolder folder;
    const auto file = folder.demo();
    double was = 0;
    {
        Driver driver(tablet, file);
        begin(driver);
        was = now_at(driver, End::front, Point::clicks_rebound_low);
        go(driver, act::Go{Screen::devices, {}});
        driver.tap("backup");
    }
    auto bytes = *read_file(file.string(), 1u << 28);
    const auto at = bytes.find("\"name\":\"No. 27");
    REQUIRE(at != std::string::npos);
    bytes[at + 12] = '7';  // the file now claims another bike
    std::ofstream(file, std::ios::binary).write(bytes.data(), static_cast<std::streamsize>(bytes.size()));

    Driver driver(tablet, file);
    CHECK_FALSE(driver.state().writable);
    CHECK(driver.state().screen == Screen::devices);
    REQUIRE(driver.state().notice.has_value());
    CHECK(driver.state().notice->text.find("1 could not") != std::string::npos);
    CHECK(*read_file(file.string(), 1u << 28) == bytes);  // the file is unchanged
    driver.tap("copy:0");                                 // asks first; 'no' changes nothing
    driver.tap("copy:0:no");
    CHECK_FALSE(driver.state().writable);
    driver.tap("copy:0");
    driver.tap("copy:0:yes");
    CHECK(driver.state().writable);
    begin(driver);
    CHECK(now_at(driver, End::front, Point::clicks_rebound_low) == was);
    // The damaged file is kept, so that other tools may read more from it.
    std::size_t kept = 0;
    for (const auto& beside : std::filesystem::directory_iterator(folder.path))
        kept += beside.is_regular_file() && beside.path() != file && beside.file_size() == bytes.size();
    CHECK(kept == 1);
}

TEST_CASE("season: what the disk would not take is kept aside, and taken in at the next start") {
    const WalkFolder folder;
    const OwnState own_state(folder.path / "state");
    const auto file = folder.demo();
    Driver driver(tablet, file);
    begin(driver);
    const double was = now_at(driver, End::front, Point::clicks_rebound_low);
    driver.tap("change");
    {
        const PulledOut stick(file);
        driver.tap("change:front:clicks_rebound_low:more");
        CHECK(now_at(driver, End::front, Point::clicks_rebound_low) == was);
        REQUIRE(driver.state().notice.has_value());
        CHECK(driver.state().notice->text.find("kept aside in") != std::string::npos);
    }

    driver.start();
    REQUIRE(driver.state().notice.has_value());
    CHECK(driver.state().notice->text.find("did not take everything") != std::string::npos);
    look_at_what_was_kept(driver);
    REQUIRE(driver.state().meeting.rejected.entries.size() == 1);
    {
        const PulledOut stick(file);
        driver.tap("aside:take");  // refused again: still kept, only once
    }
    driver.start();
    look_at_what_was_kept(driver);
    REQUIRE(driver.state().meeting.rejected.entries.size() == 1);
    driver.tap("aside:take");
    CHECK(driver.state().meeting.rejected.empty());
    go(driver, act::Go{Screen::bike, bike_named(driver, "No. 27")->id});
    CHECK(now_at(driver, End::front, Point::clicks_rebound_low) == was + 1);
    driver.start();
    CHECK(driver.state().meeting.rejected.empty());
    CHECK_FALSE(driver.state().notice.has_value());
}

TEST_CASE("season: what was kept aside is overruled by what was set anew, and thrown away after a question") {
    const WalkFolder folder;
    const OwnState own_state(folder.path / "state");
    const auto file = folder.demo();
    Driver driver(tablet, file);
    begin(driver);
    const double was = now_at(driver, End::front, Point::clicks_rebound_low);
    driver.tap("change");
    {
        const PulledOut stick(file);
        driver.tap("change:front:clicks_rebound_low:more");
        driver.tap("change:front:clicks_rebound_low:more");
    }
    driver.tap("change:front:clicks_rebound_low:less");  // the later change of the same setting
    CHECK(now_at(driver, End::front, Point::clicks_rebound_low) == was - 1);
    driver.start();
    CHECK(driver.state().meeting.rejected.empty());

    begin(driver);
    driver.tap("change");
    {
        const PulledOut stick(file);
        driver.tap("change:front:clicks_rebound_low:more");
    }
    driver.start();
    look_at_what_was_kept(driver);
    driver.tap("aside:drop");
    REQUIRE(driver.state().meeting.rejected.entries.size() == 1);
    driver.tap("aside:drop:yes");
    CHECK(driver.state().meeting.rejected.empty());
    CHECK(driver.state().notice->text.find("can still be read in") != std::string::npos);
    driver.start();
    CHECK_FALSE(driver.state().notice.has_value());
}
