// What each folder may include: platform → app → core, and inside core sync, tables, casefile, store → codec
// → ledger → restore → measure, machine → quantity. The packaged headers are always on the search path, so
// CMake cannot enforce this; a check of the include lines can.

#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <regex>
#include <set>
#include <string>
#include <vector>

namespace {
namespace fs = std::filesystem;

struct Include {
    std::string file, header;
    bool own;  // "…", not <…>
};

// Standard headers have neither a dot nor a slash.
bool is_standard(const std::string& header) {
    return header.find_first_of("./") == std::string::npos;
}

std::vector<Include> includes_below(const std::string& folder) {
    const std::regex line(R"(^\s*#\s*include\s*([<"])([^>"]+)[>"])");
    std::vector<Include> found;
    const fs::path root = RESTAND_SOURCE_DIR;
    for (const auto& entry : fs::recursive_directory_iterator(root / folder)) {
        const auto ext = entry.path().extension();
        if (ext != ".h" && ext != ".cpp") continue;
        std::ifstream in(entry.path());
        std::smatch m;
        for (std::string text; std::getline(in, text);)
            if (std::regex_search(text, m, line))
                found.push_back({fs::relative(entry.path(), root).generic_string(), m[2], m[1] == "\""});
    }
    return found;
}

struct Layer {
    std::vector<std::string> own;       // project folders it may include
    std::vector<std::string> packages;  // prefixes of packaged headers it may include
};

// The core up to the ledger, and the app state with its areas. Many folders build on these.
std::vector<std::string> with(std::vector<std::string> folders, const std::vector<std::string>& more) {
    folders.insert(folders.end(), more.begin(), more.end());
    return folders;
}
const std::vector<std::string> pure = {"core/quantity/", "core/machine/", "core/measure/", "core/restore/",
                                       "core/ledger/"};
const std::vector<std::string> areas = {"app/action.h",     "app/app_state.h", "app/draft",  "app/effect.h",
                                        "app/navigation.h", "app/sentences.h", "app/task.h", "app/meeting/",
                                        "app/pad/",         "app/season/",     "app/shelf/", "app/swap/",
                                        "app/trial/",       "app/workshop/"};

// Every folder, with what it may include besides the standard library.
const std::map<std::string, Layer> layers = {
    {"core/quantity", {{"core/quantity/"}, {}}},
    {"core/machine", {{"core/quantity/", "core/machine/"}, {"Eigen/", "unsupported/Eigen/", "boost/math/"}}},
    {"core/measure", {{"core/quantity/", "core/measure/"}, {"Eigen/", "boost/math/"}}},
    {"core/restore",
     {{"core/quantity/", "core/machine/", "core/measure/", "core/restore/"}, {"Eigen/", "boost/math/"}}},
    {"core/ledger", {pure, {"Eigen/", "boost/math/"}}},
    {"core/files", {{"core/quantity/", "core/files/"}, {"fcntl.h", "sys/", "unistd.h"}}},
    {"core/codec", {with(pure, {"core/codec/"}), {"nlohmann/", "cereal/", "sodium.h", "nettle/"}}},
    {"core/casefile", {with(pure, {"core/codec/", "core/casefile/"}), {"nlohmann/"}}},
    {"core/tables", {with(pure, {"core/codec/", "core/tables/"}), {"nlohmann/"}}},
    {"core/sync", {with(pure, {"core/codec/", "core/files/", "core/sync/"}), {"libpq-fe.h", "poll.h"}}},
    {"core/store",
     {with(pure, {"core/codec/", "core/files/", "core/store/"}),
      {"sqlite3.h", "sodium.h", "fcntl.h", "sys/", "unistd.h"}}},
    {"app/meeting", {with(areas, {"core/", "app/views/"}), {"fmt/"}}},
    {"app/pad", {with(areas, {"core/", "app/views/"}), {"fmt/"}}},
    {"app/season", {with(areas, {"core/", "app/views/"}), {"fmt/"}}},
    {"app/shelf", {with(areas, {"core/", "app/views/"}), {"fmt/"}}},
    {"app/swap", {with(areas, {"core/", "app/views/"}), {"fmt/"}}},
    {"app/trial", {with(areas, {"core/", "app/views/"}), {"fmt/"}}},
    {"app/workshop", {with(areas, {"core/", "app/views/"}), {"fmt/"}}},
    {"app/views", {with(areas, {"core/", "app/views/"}), {"fmt/"}}},
    {"app/print",
     {with(areas, {"core/", "app/print/", "app/views/", "app/widgets/font_data.h"}), {"fmt/", "cairo"}}},
    {"app/screens",
     {with(areas, {"core/", "app/host.h", "app/screens/", "app/views/", "app/widgets/"}), {"fmt/", "imgui"}}},
    {"app/widgets",
     {with(areas, {"core/", "app/host.h", "app/views/", "app/widgets/"}), {"fmt/", "imgui", "ft2build.h"}}},
    {"app", {{"core/", "app/"}, {"fmt/", "imgui", "ft2build.h", "cairo"}}},
    {"demo", {{"core/", "demo/"}, {}}},
    {"platform/desktop",
     {{"core/quantity/", "app/", "demo/", "platform/"}, {"SDL.h", "imgui.h", "stb_image_write.h"}}},
    {"platform/modules", {{"core/", "app/print/", "platform/"}, {"dlfcn.h"}}},
    {"platform/terminal",
     {{"core/", "app/sentences.h", "app/print/", "app/views/point_wording.h", "app/views/season_wording.h",
       "app/views/wording.h", "platform/"},
      {"nlohmann/", "fmt/", "unistd.h"}}},
    {"platform",
     {{"core/", "app/", "demo/", "platform/"},
      {"SDL.h", "imgui.h", "stb_image_write.h", "nlohmann/", "fmt/", "dlfcn.h", "fcntl.h", "signal.h", "sys/",
       "unistd.h"}}},
};

bool begins_with_one(const std::string& text, const std::vector<std::string>& beginnings) {
    return std::any_of(beginnings.begin(), beginnings.end(),
                       [&](const auto& b) { return text.starts_with(b); });
}

std::string complaint(const Layer& layer, const Include& i) {
    if (i.own && !begins_with_one(i.header, layer.own)) return i.file + " includes " + i.header;
    if (!i.own && !is_standard(i.header) && !begins_with_one(i.header, layer.packages))
        return i.file + " includes <" + i.header + ">";
    return {};
}
}  // namespace

TEST_CASE("layers: every folder includes only what stands below it") {
    std::size_t seen = 0;
    for (const auto& [folder, layer] : layers)
        for (const Include& i : includes_below(folder)) {
            ++seen;
            const std::string complains = complaint(layer, i);
            CHECK_MESSAGE(complains.empty(), complains);
        }
    CHECK(seen > 100);  // the search found the tree
}

TEST_CASE("layers: every folder has its line in the table") {
    const fs::path root = RESTAND_SOURCE_DIR;
    for (const char* top : {"core", "app", "platform", "demo"})
        for (const auto& entry : fs::recursive_directory_iterator(root / top)) {
            if (entry.path().extension() != ".cpp" && entry.path().extension() != ".h") continue;
            const std::string folder = fs::relative(entry.path().parent_path(), root).generic_string();
            CHECK_MESSAGE((layers.contains(folder) || folder == "app/views/drawing"),
                          folder << " has no line");
        }
}

TEST_CASE("layout: no line of a header is wider than 110 columns") {
    const auto columns = [](const std::string& line) {  // of UTF-8: each byte but a continuation
        return std::count_if(line.begin(), line.end(),
                             [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; });
    };
    int seen = 0;
    for (const char* top : {"core", "app", "platform", "demo", "tests"})
        for (const auto& entry : fs::recursive_directory_iterator(fs::path(RESTAND_SOURCE_DIR) / top)) {
            if (entry.path().extension() != ".h") continue;
            std::ifstream in(entry.path());
            int number = 1;
            for (std::string line; std::getline(in, line); ++number)
                if (columns(line) > 110 && line.find('"') == std::string::npos)
                    FAIL_CHECK(entry.path().string()
                               << ":" << number << " has " << columns(line) << " columns");
            ++seen;
        }
    CHECK(seen > 100);
}

TEST_CASE("layers: nothing below points up, screens never meet the store, only archives meet cereal") {
    for (const Include& i : includes_below("core")) {
        CHECK_MESSAGE(!begins_with_one(i.header, {"app/", "platform/", "SDL", "imgui"}),
                      i.file << " includes " << i.header);
        if (i.header.starts_with("cereal/"))
            CHECK_MESSAGE((i.file.find("archive") != std::string::npos), i.file << " includes " << i.header);
    }
    for (const Include& i : includes_below("app"))
        CHECK_MESSAGE(!begins_with_one(i.header, {"platform/", "core/store/", "sqlite3", "SDL"}),
                      i.file << " includes " << i.header);
}

TEST_CASE("layers: the pure core has no clock, no files, no locale") {
    const std::set<std::string> banned = {"chrono", "ctime",    "fstream", "filesystem",
                                          "locale", "iostream", "thread",  "mutex"};
    for (const char* folder :
         {"core/quantity", "core/machine", "core/measure", "core/restore", "core/ledger"})
        for (const Include& i : includes_below(folder))
            CHECK_MESSAGE(!banned.contains(i.header), i.file << " includes <" << i.header << ">");
}

TEST_CASE("layers: the checker complains about what it must") {
    CHECK(!complaint(layers.at("core/machine"), {"core/machine/x.cpp", "core/restore/restore.h", true})
               .empty());
    CHECK(!complaint(layers.at("app/views"), {"app/views/x.cpp", "imgui.h", false}).empty());
    CHECK(complaint(layers.at("core/machine"), {"core/machine/x.cpp", "vector", false}).empty());
}
