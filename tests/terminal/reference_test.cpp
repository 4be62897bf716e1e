// The reference that the program prints, against the keys, columns and commands that the code accepts.

#include <algorithm>
#include <fstream>
#include <map>
#include <regex>
#include <set>

#include "core/restore/whole.h"
#include "tests/terminal/program.h"

using namespace restand;
using namespace restand::test;

namespace {

std::string source(const std::string& path) {
    std::ifstream in(RESTAND_SOURCE_DIR "/" + path);
    std::string text{std::istreambuf_iterator<char>(in), {}};
    REQUIRE(text.size() > 100);
    return text;
}

// Lower-case texts in quotes within every match.
std::set<std::string> quoted(const std::string& text, const std::string& within) {
    std::set<std::string> found;
    const std::regex outer(within), inner("\"([a-z][a-z0-9_]*)\"");
    for (std::sregex_iterator o(text.begin(), text.end(), outer), end; o != end; ++o) {
        const std::string part = o->str();
        for (std::sregex_iterator i(part.begin(), part.end(), inner); i != end; ++i) found.insert((*i)[1]);
    }
    return found;
}

// As a word of its own in code style: `key`, `bike.key` or "key".
bool names(const std::string& page, const std::string& key) {
    return std::regex_search(page, std::regex("(^|[^a-z0-9_])" + key + "($|[^a-z0-9_])"));
}

}  // namespace

TEST_CASE("help case: every key that a case may have is named there") {
    const Folder folder;
    const std::string page = run(folder, "help case").out;
    std::set<std::string> keys;
    for (const char* file : {"case_json.cpp", "bike_json.cpp", "case_fields.cpp", "fork_fields.cpp",
                             "measured_json.cpp", "ledger_fields.h"}) {
        const std::string text = source(std::string("core/casefile/") + file);
        // What Fields lets through, and the lists of such keys.
        for (const char* within : {"Fields [a-z_]+\\([^{};]*\\{[^{}]*\\}", "_keys = \\{[^{}]*\\}"})
            keys.merge(quoted(text, within));
    }
    CHECK(keys.size() > 80);
    for (const std::string& key : keys) {
        INFO(key);
        CHECK(names(page, key));
    }
}

TEST_CASE("help case: every kind of target and adjuster is named there") {
    const Folder folder;
    const std::string page = run(folder, "help case").out;
    for (int i = 0; i <= static_cast<int>(TargetKind::final_drive); ++i)
        CHECK(names(page, std::string(key(static_cast<TargetKind>(i)))));
    for (int i = 0; i < adjustable_count; ++i)
        CHECK(names(page, std::string(key(static_cast<Adjustable>(i)))));
}

TEST_CASE("help tables: every column of the table is named there") {
    const Folder folder;
    REQUIRE(run(folder, "--demo w.restand").code == 0);
    const std::string table = run(folder, "table - --file w.restand").out;
    const std::string head = table.substr(0, table.find_first_of("\r\n"));
    const std::string page = run(folder, "help tables").out;
    std::size_t columns = 0;
    for (std::size_t at = 0; at <= head.size(); ++columns) {
        const std::size_t comma = std::min(head.find(',', at), head.size());
        INFO(head.substr(at, comma - at));
        CHECK(names(page, head.substr(at, comma - at)));
        at = comma + 1;
    }
    CHECK(columns > 15);
}

TEST_CASE(
    "help commands: every command is named there, and help exchange is of the command and of the files") {
    const Folder folder;
    const std::string page = run(folder, "help commands").out;
    const auto commands = quoted(source("platform/terminal/terminal.cpp"), "Command\\{\"[a-z]+\"");
    CHECK(commands.size() >= 23);
    for (const std::string& command : commands) {
        INFO(command);
        CHECK(names(page, "restand " + command));
        CHECK(run(folder, "help " + command).out.starts_with("restand " + command));
    }
    const std::string exchange = run(folder, "help exchange").out;
    CHECK(exchange.find("restand-exchange/NUMBER/") != std::string::npos);
    CHECK(run(folder, "help").out.find("restand help case") != std::string::npos);
}

TEST_CASE("help licences: every library that the build looks for has its line") {
    const Folder folder;
    const std::string page = run(folder, "help licences").out;
    // As CMake calls it, and as its own licence does. Threads and PkgConfig are the system's.
    const std::map<std::string, std::string> names = {{"Boost", "Boost.Math"},
                                                      {"Eigen3", "Eigen"},
                                                      {"SDL2", "SDL 2"},
                                                      {"cairo", "cairo"},
                                                      {"cereal", "cereal"},
                                                      {"fmt", "{fmt}"},
                                                      {"freetype2", "FreeType"},
                                                      {"imgui", "Dear ImGui"},
                                                      {"libpq", "libpq"},
                                                      {"libsodium", "libsodium"},
                                                      {"nettle", "Nettle"},
                                                      {"sqlite3", "SQLite"},
                                                      {"nlohmann_json", "JSON for Modern C++"},
                                                      {"RESTAND_STB", "stb_image"}};
    const std::regex looks_for(
        R"((?:find_package\(|find_path\(|IMPORTED_TARGET (?:GLOBAL )?)([A-Za-z_0-9]+))");
    std::set<std::string> found;
    for (const char* file : {"core/CMakeLists.txt", "app/CMakeLists.txt", "platform/CMakeLists.txt"}) {
        const std::string text = source(file);
        for (std::sregex_iterator i(text.begin(), text.end(), looks_for), end; i != end; ++i)
            found.insert((*i)[1]);
    }
    found.erase("Threads");
    found.erase("PkgConfig");
    CHECK(found.size() >= 12);
    for (const std::string& package : found) {
        INFO(package);
        REQUIRE(names.contains(package));
        CHECK(page.find("| " + names.at(package)) != std::string::npos);
    }
}
