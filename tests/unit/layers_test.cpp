// What may include what: platform → app → core, and inside core exchange, store → ledger → restore → measure,
// machine → quantity. The packaged headers are always on the search path, so CMake cannot hold this; the
// include lines can.

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
bool is_standard(const std::string& header) { return header.find_first_of("./") == std::string::npos; }

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
    std::vector<std::string> own;       // folders of ours it may include
    std::vector<std::string> packages;  // beginnings of packaged headers it may include
};

const std::map<std::string, Layer> layers = {
    {"core/quantity", {{"core/quantity/"}, {}}},
    {"core/machine", {{"core/quantity/", "core/machine/"}, {"Eigen/", "unsupported/Eigen/", "boost/math/"}}},
    {"core/measure", {{"core/quantity/", "core/measure/"}, {"Eigen/", "boost/math/"}}},
    {"core/restore",
     {{"core/quantity/", "core/machine/", "core/measure/", "core/restore/"}, {"Eigen/", "boost/math/"}}},
    {"core/ledger",
     {{"core/quantity/", "core/machine/", "core/measure/", "core/restore/", "core/ledger/"},
      {"Eigen/", "boost/math/"}}},
    {"core/exchange", {{"core/"}, {"nlohmann/", "cereal/", "sodium.h", "cairo", "libpq-fe.h", "poll.h", "fcntl.h", "sys/", "unistd.h"}}},
    // POSIX: lock, fsync
    {"core/store", {{"core/"}, {"sqlite3.h", "sodium.h", "fcntl.h", "sys/", "unistd.h"}}},
    {"app/views", {{"core/", "app/"}, {"fmt/"}}},
    {"app/paper", {{"core/", "app/paper/", "app/views/", "app/widgets/font_data.h"}, {"fmt/"}}},
    {"app/screens", {{"core/", "app/"}, {"fmt/", "imgui"}}},
    {"app/widgets", {{"core/", "app/"}, {"fmt/", "imgui", "ft2build.h"}}},
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
            CHECK_MESSAGE(complaint(layer, i).empty(), complaint(layer, i));
        }
    CHECK(seen > 100);  // the walk found the tree
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
    // The core's rows must not be bought by a ledger that knows its files.
    for (const Include& i : includes_below("core/exchange"))
        CHECK_MESSAGE(!i.header.starts_with("core/store/"), i.file << " includes " << i.header);
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
