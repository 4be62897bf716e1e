// The list of faults names a test for each fault. The named tests must exist.

#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>
#include <sstream>
#include <string>
#include <vector>

namespace {

namespace fs = std::filesystem;

std::string text_of(const fs::path& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

// The name of each TEST_CASE, its pieces joined as the compiler joins them.
std::set<std::string> cases_in(const std::string& source) {
    std::set<std::string> names;
    const std::string head = "TEST_CASE(";
    for (std::size_t at = source.find(head); at != std::string::npos; at = source.find(head, at)) {
        at += head.size();
        std::string name;
        for (;;) {
            at = source.find_first_not_of(" \n", at);
            if (at == std::string::npos || source[at] != '"') break;
            for (++at; at < source.size() && source[at] != '"'; ++at) {
                if (source[at] == '\\') ++at;
                name += source[at];
            }
            ++at;
        }
        names.insert(name);
        if (at == std::string::npos) break;
    }
    return names;
}

struct Row {
    std::size_t line = 0;
    std::vector<std::string> cells;
};

std::string trimmed(const std::string& text) {
    const auto first = text.find_first_not_of(' '), last = text.find_last_not_of(' ');
    return first == std::string::npos ? "" : text.substr(first, last - first + 1);
}

// The rows below the head; the head has two lines.
std::vector<Row> rows_in(const std::string& table) {
    std::vector<Row> rows;
    std::istringstream in(table);
    std::string line;
    for (std::size_t n = 1; std::getline(in, line); ++n) {
        if (n <= 2 || trimmed(line).empty()) continue;
        Row row{n, {}};
        std::istringstream cells(line.substr(line.starts_with("|") ? 1 : 0));
        for (std::string cell; std::getline(cells, cell, '|');) row.cells.push_back(trimmed(cell));
        rows.push_back(std::move(row));
    }
    return rows;
}

// Empty if the row has four cells, none empty, and a test of that name exists.
std::string complaint(const Row& row, const std::set<std::string>& cases) {
    const std::string where = "tests/faults.md, line " + std::to_string(row.line) + ": ";
    if (row.cells.size() != 4) return where + std::to_string(row.cells.size()) + " cells, not 4";
    for (const std::string& cell : row.cells)
        if (cell.empty()) return where + "an empty cell";
    if (!cases.contains(row.cells[3])) return where + "no test case is called '" + row.cells[3] + "'";
    return {};
}

}  // namespace

TEST_CASE("faults: every row of the list names a test case that is there") {
    const fs::path tests = fs::path(RESTAND_SOURCE_DIR) / "tests";
    std::set<std::string> cases;
    for (const auto& at : fs::recursive_directory_iterator(tests))
        if (at.path().extension() == ".cpp") cases.merge(cases_in(text_of(at.path())));
    CHECK(cases.size() > 300);  // the search found the tree
    const auto rows = rows_in(text_of(tests / "faults.md"));
    CHECK(rows.size() >= 10);
    for (const Row& row : rows) CHECK_MESSAGE(complaint(row, cases).empty(), complaint(row, cases));
}

TEST_CASE("faults: the check complains about what it must") {
    const auto cases =
        cases_in("TEST_CASE(\"a \\\"b\\\": c\") {}\nTEST_CASE(\n    \"long, \"\n    \"in two\") {}\n");
    CHECK(cases == std::set<std::string>{"a \"b\": c", "long, in two"});
    const auto rows = rows_in(
        "| f | p | k | t |\n| - | - | - | - |\n| x | y | z | long, in two |\n"
        "| x | y | z | long, in three |\n| x |  | z | long, in two |\n| x | z | long, in two |\n");
    REQUIRE(rows.size() == 4);
    CHECK(complaint(rows[0], cases).empty());
    for (std::size_t i = 1; i < rows.size(); ++i) CHECK_FALSE(complaint(rows[i], cases).empty());
}
