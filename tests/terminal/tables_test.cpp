// table and lines: everything for other programs.

#include <algorithm>

#include "core/tables/csv.h"
#include "tests/terminal/program.h"

using namespace restand;
using namespace restand::test;

TEST_CASE(
    "table, lines: every reading and every entry, to a file or printed; nothing is replaced by accident") {
    const Folder folder;
    {
        Store store = test::open(folder("w.restand"));
        begin_swap(store);
    }
    const Ran table = run(folder, "table t.csv --file w.restand");
    CHECK_MESSAGE(table.code == 0, table.err);
    const Table read = got(read_table(bytes_of(folder("t.csv"))));
    CHECK(read.head.front() == "bike");
    CHECK(read.head.size() == 18);
    CHECK(read.lines.size() == 2);
    CHECK(run(folder, "table - --file w.restand").out == bytes_of(folder("t.csv")));

    const Ran lines = run(folder, "lines e.jsonl --file w.restand");
    CHECK(lines.out == "e.jsonl: 6 entries written\n");
    const std::string text = bytes_of(folder("e.jsonl"));
    CHECK(std::count(text.begin(), text.end(), '\n') == 6);
    CHECK(nlohmann::json::parse(text.substr(0, text.find('\n')))["kind"] == "person");

    for (const std::string command : {"table t.csv", "lines e.jsonl"}) {
        CHECK(run(folder, command + " --file w.restand").code == 2);
        CHECK(run(folder, command + " --replace --file w.restand").code == 0);
        CHECK(run(folder, command + " --replace --file none.restand").code == 2);
    }
    CHECK(run(folder, "table no/folder/t.csv --file w.restand").code == 2);
}

TEST_CASE("table: what was written can be taken on another bike") {
    const Folder folder;
    Id other;
    {
        Store store = test::open(folder("w.restand"));
        begin_swap(store);
        other = got(store.append(encode(test::bike("No. 9")))).id;
    }
    run(folder, "table t.csv --file w.restand");
    const Ran taken = run(folder, "take t.csv --bike 'No. 9' --yes --file w.restand");
    CHECK_MESSAGE(taken.out == "2 records written\n", taken.err);
    CHECK(got(test::open(folder("w.restand"), Store::Mode::read).of_bike(other, "record")).size() == 2);
}
