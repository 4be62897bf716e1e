// Where the workshop file and a person's files are: XDG Base Directory Specification 0.8, "Environment variables".
#include <doctest/doctest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <optional>
#include <string>

#include "platform/places.h"
#include "tests/screen/team.h"

using namespace restand;
namespace fs = std::filesystem;

namespace {

// Sets environment variables for a test and restores them afterwards.
class Environment {
public:
    explicit Environment(const std::map<std::string, std::string>& wanted) {
        for (const char* name : {"XDG_DATA_HOME", "HOME", "RESTAND_WORKSHOP", "RESTAND_PLACES"}) {
            const char* value = std::getenv(name);
            was_[name] = value ? std::optional<std::string>(value) : std::nullopt;
            const auto it = wanted.find(name);
            set(name, it == wanted.end() ? std::nullopt : std::optional(it->second));
        }
    }
    ~Environment() {
        for (const auto& [name, value] : was_) set(name, value);
    }
    Environment(const Environment&) = delete;
    Environment& operator=(const Environment&) = delete;

private:
    static void set(const std::string& name, const std::optional<std::string>& value) {
        value ? setenv(name.c_str(), value->c_str(), 1) : unsetenv(name.c_str());
    }
    std::map<std::string, std::optional<std::string>> was_;
};

}  // namespace

TEST_CASE("places: the data folder of the system, made when missing") {
    const test::WalkFolder folder;
    const Environment environment({{"XDG_DATA_HOME", (folder.path / "data").string()}, {"HOME", "/nowhere"}});
    const auto file = own_workshop();
    REQUIRE(file.has_value());
    CHECK(*file == folder.path / "data" / "restand" / "workshop.restand");
    CHECK(fs::is_directory(folder.path / "data" / "restand"));
    CHECK_FALSE(fs::exists(*file));
}

TEST_CASE("places: without a data folder, or with a relative one, under the home") {
    const test::WalkFolder folder;
    for (const char* named : {"", "relative/path"}) {
        const Environment environment({{"XDG_DATA_HOME", named}, {"HOME", folder.path.string()}});
        const auto file = own_workshop();
        REQUIRE(file.has_value());
        CHECK(*file == folder.path / ".local" / "share" / "restand" / "workshop.restand");
    }
}

TEST_CASE("places: a file named by hand goes first") {
    const test::WalkFolder folder;
    const Environment environment({{"RESTAND_WORKSHOP", (folder.path / "a.restand").string()}});
    CHECK(own_workshop().value() == folder.path / "a.restand");
}

TEST_CASE("places: no home, or a home that is a file, is said") {
    const test::WalkFolder folder;
    {
        const Environment environment({});
        REQUIRE_FALSE(own_workshop().has_value());
        CHECK(own_workshop().error().code == ErrorCode::io);
    }
    std::ofstream(folder.path / "file") << "x";
    const Environment environment({{"XDG_DATA_HOME", (folder.path / "file").string()}});
    REQUIRE_FALSE(own_workshop().has_value());
    CHECK(own_workshop().error().subject == (folder.path / "file" / "restand").string());
}

TEST_CASE("places: with a folder named for them, only its folders are sticks, and its documents are used") {
    const test::WalkFolder folder;
    const fs::path home = folder.path / "home", places = folder.path / "places";
    for (const char* stick : {"two", "one"}) fs::create_directories(places / stick);
    for (const fs::path& documents : {home / "Documents", places / "documents"})
        fs::create_directories(documents);
    std::ofstream(places / "a file") << "x";
    const Environment environment({{"HOME", home.string()}, {"RESTAND_PLACES", places.string()}});
    Driver driver(Viewport{1280, 800, 5.87f});
    driver.session().act(act::Go{Screen::devices, {}});
    driver.look();
    std::vector<fs::path> found;
    for (const FoundPlace& place : driver.state().meeting.places) found.push_back(place.folder);
    CHECK(found == std::vector{places / "one", places / "two", places / "documents"});
}

TEST_CASE("places: this program has places of its own, and leaves the machine's sticks alone") {
    CHECK(sticks().empty());
    CHECK(documents_folder().filename() == "documents");
}

TEST_CASE("places: documents are in the home, in its Documents where there is one") {
    const test::WalkFolder folder;
    const Environment environment({{"HOME", folder.path.string()}});
    CHECK(documents_folder() == folder.path);
    fs::create_directories(folder.path / "Documents");
    CHECK(documents_folder() == folder.path / "Documents");
}
