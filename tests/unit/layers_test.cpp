// What each folder may include: platform → app → core, and inside core sync, tables, casefile, store → codec
// → ledger → restore → measure, machine → quantity. The packaged headers are always on the search path, so
// CMake cannot enforce this; a check of the include lines can.

#include <doctest/doctest.h>

#include <algorithm>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <regex>
#include <set>
#include <string>
#include <string_view>
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
const std::vector<std::string> areas = {"app/action.h",     "app/app_state.h", "app/draft",    "app/effect.h",
                                        "app/navigation.h", "app/sentences.h", "app/task",     "app/jobs/",
                                        "app/meeting/",     "app/pad/",        "app/season/",  "app/shelf/",
                                        "app/swap/",        "app/trial/",      "app/workshop/"};

// Every folder, with what it may include besides the standard library.
const std::map<std::string, Layer> layers = {
    {"core/quantity", {{"core/quantity/"}, {}}},
    {"core/machine", {{"core/quantity/", "core/machine/"}, {"Eigen/", "unsupported/Eigen/", "boost/math/"}}},
    {"core/measure", {{"core/quantity/", "core/measure/"}, {"Eigen/", "boost/math/"}}},
    {"core/restore",
     {{"core/quantity/", "core/machine/", "core/measure/", "core/restore/"}, {"Eigen/", "boost/math/"}}},
    {"core/ledger", {pure, {"Eigen/", "boost/math/", "boost/graph/"}}},
    {"core/files", {{"core/quantity/", "core/files/"}, {"fcntl.h", "sys/", "unistd.h", "windows.h"}}},
    {"core/files/windows", {{"core/quantity/", "core/files/"}, {"windows.h"}}},
    {"core/codec", {with(pure, {"core/codec/"}), {"nlohmann/", "cereal/", "sodium.h", "nettle/"}}},
    {"core/casefile", {with(pure, {"core/codec/", "core/casefile/"}), {"nlohmann/"}}},
    {"core/tables", {with(pure, {"core/codec/", "core/tables/"}), {"nlohmann/"}}},
    {"core/sync", {with(pure, {"core/codec/", "core/files/", "core/sync/"}), {"libpq-fe.h", "poll.h"}}},
    {"core/store", {with(pure, {"core/codec/", "core/files/", "core/store/"}), {"sqlite3.h", "sodium.h"}}},
    {"app/jobs", {with(areas, {"core/", "app/views/"}), {"fmt/"}}},
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
     {{"core/", "app/sentences.h", "app/print/", "app/views/job_wording.h", "app/views/point_wording.h",
       "app/views/season_wording.h", "app/views/wording.h", "platform/"},
      {"nlohmann/", "fmt/"}}},
    {"platform/windows",
     {{"core/", "platform/"}, {"windows.h", "shlobj.h", "shellapi.h", "fcntl.h", "io.h"}}},
    {"platform/web", {{"core/", "app/", "platform/"}, {"SDL.h", "emscripten", "fast_float/", "fmt/"}}},
    {"platform",
     {{"core/", "app/", "demo/", "platform/"},
      {"SDL.h", "imgui.h", "stb_image_write.h", "nlohmann/", "fmt/", "dlfcn.h", "fcntl.h", "signal.h", "sys/",
       "unistd.h", "windows.h", "shlobj.h", "shellapi.h", "io.h", "emscripten", "fast_float/"}}},
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

// A header's text without comments, string literals and preprocessor lines.
std::string code_of(const fs::path& header) {
    std::ifstream in(header);
    const std::string text((std::istreambuf_iterator<char>(in)), {});
    static const std::regex dropped(
        R"(//[^\n]*|/\*[^*]*\*+(?:[^/*][^*]*\*+)*/|"(?:\\.|[^"\\\n])*"|'(?:\\.|[^'\\\n])')"
        R"(|(?:^|\n)\s*#[^\n]*)");
    return std::regex_replace(text, dropped, " ");
}

// What is declared in namespaces, each without its ';'. An inner namespace stands before it: "act::|struct …".
std::vector<std::string> declarations_in(const std::string& code) {
    static const std::regex space(R"(^\s*(?:inline\s+)?namespace\s*(\w*)\s*$)");
    std::vector<std::string> found, inside;
    std::string now;
    const auto end = [&] {
        std::string inner;
        for (const std::string& name : inside)
            if (name != "restand") inner += name + "::";
        found.push_back(inner + "|" + now);
        now.clear();
    };
    int depth = 0;
    for (std::size_t i = 0; i < code.size(); ++i) {
        const char c = code[i];
        std::smatch m;
        if (depth == 0 && c == '{' && std::regex_match(now, m, space)) {
            inside.push_back(m[1]);
            now.clear();
        } else if (depth == 0 && c == '}') {
            inside.pop_back();
            now.clear();
        } else if (depth == 0 && c == ';') {
            end();
        } else {
            now += c;
            depth += (c == '{') - (c == '}');
            // No ';' follows the body of a function.
            const std::size_t next = code.find_first_not_of(" \n", i + 1);
            if (c == '}' && depth == 0 && (next == std::string::npos || !std::strchr(";,(", code[next])))
                end();
        }
    }
    return found;
}

// The text up to its closing bracket, of one that begins with the opening one.
std::size_t length_to_close(std::string_view text, char open, char close) {
    int depth = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        depth += (text[i] == open) - (text[i] == close);
        if (depth == 0) return i + 1;
    }
    return text.size();
}

// The words of a list that stand first in their places: "a = 1, b{2}" has a and b.
std::vector<std::string> listed(const std::string& text) {
    static const std::regex word(R"((\w+)\s*(?:\[[^\]]*\]\s*)*(?:[={].*)?$)");
    std::vector<std::string> pieces(1), names;
    int depth = 0;
    for (const char c : text) {
        depth += (std::string_view("({[<").find(c) != std::string_view::npos) -
                 (std::string_view(")}]>").find(c) != std::string_view::npos);
        if (c == ',' && depth == 0)
            pieces.emplace_back();
        else
            pieces.back() += c == '\n' ? ' ' : c;
    }
    std::smatch m;
    for (const std::string& piece : pieces)
        if (std::regex_search(piece, m, word)) names.push_back(m[1]);
    return names;
}

// The names that a declaration gives. A forward declaration and a member's definition give none.
std::vector<std::string> names_given(std::string text) {
    static const std::regex attribute(R"(\[\[[^\]]*\]\])"), alias(R"(^\s*(?:using|concept)\s+(\w+)\s*=)"),
        nothing(R"(^\s*(?:using\b|static_assert\b|$))"),
        type(R"(^\s*(?:struct|class|union|(enum)(?:\s+(class|struct))?)\s+(\w+)\s*(?:final\s*)?([:{<]|$))"),
        oper(R"(^[^={(]*?(::)?\boperator\s*([^\s\w(]+|\(\))\s*\()"),
        function(R"(^[^={(]*?(::)?\b(\w+)\s*\()"), clause(R"(^\s*requires\s*\()");
    text = std::regex_replace(text, attribute, "");
    std::smatch m;
    for (;;) {  // template <…> and requires (…)
        const std::size_t first = text.find_first_not_of(" \n");
        if (first == std::string::npos) return {};
        text = text.substr(first);
        if (text.starts_with("template"))
            text = text.substr(text.find('<')).substr(length_to_close(text.substr(text.find('<')), '<', '>'));
        else if (std::regex_search(text, clause))
            text = text.substr(text.find('(')).substr(length_to_close(text.substr(text.find('(')), '(', ')'));
        else
            break;
    }
    if (std::regex_search(text, m, alias)) return {m[1]};
    if (std::regex_search(text, nothing)) return {};
    if (std::regex_search(text, m, type)) {
        if (text.find('{') == std::string::npos || m[4] == "<") return {};
        std::vector<std::string> names;
        if (m[1].matched && !m[2].matched)  // its enumerators are names of the namespace
            names = listed(text.substr(text.find('{') + 1, text.rfind('}') - text.find('{') - 1));
        names.push_back(m[3]);
        return names;
    }
    if (std::regex_search(text, m, oper))
        return m[1].matched ? std::vector<std::string>{} : std::vector{"operator" + m[2].str()};
    if (std::regex_search(text, m, function))
        return m[1].matched ? std::vector<std::string>{} : std::vector{m[2].str()};
    return listed(text);
}

// What a header declares for those who include it; overloads count once.
std::set<std::string> public_names(const std::string& code) {
    std::set<std::string> names;
    for (const std::string& declaration : declarations_in(code)) {
        const std::size_t inner = declaration.find('|');
        for (const std::string& name : names_given(declaration.substr(inner + 1)))
            names.insert(declaration.substr(0, inner) + name);
    }
    return names;
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

TEST_CASE("layers: no header declares more than 25 public names") {
    int seen = 0;
    for (const char* top : {"core", "app", "platform"})
        for (const auto& entry : fs::recursive_directory_iterator(fs::path(RESTAND_SOURCE_DIR) / top)) {
            if (entry.path().extension() != ".h") continue;
            const std::size_t count = public_names(code_of(entry.path())).size();
            const std::string header = fs::relative(entry.path(), RESTAND_SOURCE_DIR).generic_string();
            CHECK_MESSAGE(count <= 25, header << " declares " << count);
            seen += count > 0;
        }
    CHECK(seen > 200);
}

TEST_CASE("layers: the counter of public names counts each once, and nothing else") {
    CHECK(public_names(R"(namespace restand {
        struct Forward; enum class Later : int; class Other;
        struct A { int member; void method(int) const; friend bool operator==(const A&, const A&) = default; };
        namespace act { struct A {}; }
        enum Plain { first, second = 2 }; enum class Kind { inner };
        inline constexpr double one = 1, two{2}; extern const char* const table[2];
        using Alias = std::variant<A, act::A>;
        template <class T> concept Small = sizeof(T) < 8;
        template <class T> requires(Small<T>) void overloaded(T (*)(int)) { int local; }
        void overloaded(int a = f(1), std::vector<int> b = {});
        std::map<int, A> function(const A& a);
        inline void A::method(int) const { call(); }
        A operator*(A, A); inline A operator*(A a, int) { return a; }
        inline const auto value = [] { return 1; }();
    })") == std::set<std::string>{"A", "act::A", "Plain", "first", "second", "Kind", "one", "two", "table",
                                  "Alias", "Small", "overloaded", "function", "operator*", "value"});
}
