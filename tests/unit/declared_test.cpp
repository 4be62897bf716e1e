// Where a function of the app is declared: in a header of the folder that defines it.

#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <map>
#include <regex>
#include <set>
#include <string>
#include <vector>

namespace {
namespace fs = std::filesystem;

struct Function {
    std::string name, file;
    bool defined;
};

// A function at the start of a line, in one line up to its ';' or '{'. An action's name is part of act_on()'s.
void functions_in(const std::vector<std::string>& lines, const std::string& file,
                  std::vector<Function>& all) {
    static const std::regex head(R"(^[\w:<>,&* ]+[ &*](\w+)\((.*)\)(?: const)?\s*([;{]).*)"),
        action(R"(act::\w+)");
    for (std::size_t i = 0; i < lines.size(); ++i) {
        if (lines[i].empty() || lines[i].front() == ' ' || lines[i].starts_with("using ")) continue;
        std::string whole = lines[i];
        for (std::size_t k = i + 1; k < lines.size() && k < i + 6; ++k) {
            if (whole.find_first_of(";{") != std::string::npos) break;
            whole += lines[k];
        }
        std::smatch m, of;
        if (!std::regex_match(whole, m, head)) continue;
        const std::string parameters = m[2];
        const bool acts = m[1] == "act_on" && std::regex_search(parameters, of, action);
        all.push_back({acts ? of.str() : m[1].str(), file, m[3] == "{"});
    }
}

std::vector<std::string> lines_of(const fs::path& path) {
    std::ifstream in(path);
    std::vector<std::string> lines;
    for (std::string line; std::getline(in, line);) lines.push_back(line);
    return lines;
}

std::vector<fs::path> sources(const char* folder) {
    std::vector<fs::path> found;
    for (const auto& entry : fs::recursive_directory_iterator(fs::path(RESTAND_SOURCE_DIR) / folder))
        if (entry.path().extension() == ".h" || entry.path().extension() == ".cpp")
            found.push_back(entry.path());
    return found;
}

}  // namespace

TEST_CASE("declared: what a header of the app declares, a file of its own folder defines") {
    std::vector<Function> all;
    for (const fs::path& path : sources("app"))
        functions_in(lines_of(path), fs::relative(path, RESTAND_SOURCE_DIR).generic_string(), all);
    const auto folder_of = [](const std::string& file) { return fs::path(file).parent_path().string(); };
    std::map<std::string, std::set<std::string>> defined_in;
    for (const Function& f : all)
        if (f.defined) defined_in[f.name].insert(folder_of(f.file));
    int seen = 0;
    for (const Function& f : all) {
        if (f.defined || !f.file.ends_with(".h")) continue;
        if (!defined_in.contains(f.name)) continue;  // of a generated file
        ++seen;
        CHECK_MESSAGE(defined_in[f.name].contains(folder_of(f.file)), f.name << " of " << f.file);
    }
    CHECK(seen > 200);
}

TEST_CASE("declared: a header that has AppState from action.h does not declare it once more") {
    int seen = 0;
    for (const fs::path& path : sources("app")) {
        bool has = false;
        for (const std::string& line : lines_of(path)) {
            has = has || (line.starts_with("#include \"app/") && line.ends_with("_actions.h\"")) ||
                  line == "#include \"app/action.h\"";
            if (has && line == "struct AppState;") FAIL_CHECK(path.string());
        }
        seen += has;
    }
    CHECK(seen > 10);
}
