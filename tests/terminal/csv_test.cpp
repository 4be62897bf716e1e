// take: older readings from somebody else's table.

#include <algorithm>

#include "tests/terminal/program.h"

using namespace restand;
using namespace restand::test;

namespace {

Id make_begun_swap(const std::string& path) {
    Store store = test::open(path);
    return begin_swap(store).bike;
}
std::size_t records(const std::string& path, const Id& bike) {
    return got(test::open(path, Store::Mode::read).of_bike(bike, "record")).size();
}

}  // namespace

TEST_CASE("take: shows what it would take, writes it with --yes, and only once") {
    const Folder folder;
    const Id bike = make_begun_swap(folder("w.restand"));
    write_bytes(folder("old.csv"),
                "Date;Rear free length (mm);Front rebound;lap time\r\n"
                "02.09.2025;160,5;12;1:45\r\n"
                "03.09.2025;160,1;;1:44\r\n"
                "yesterday;160;;\r\n");
    const Ran shown = run(folder, "take old.csv --bike 'No. 27' --file w.restand");
    CHECK_MESSAGE(shown.code == 0, shown.err);
    CHECK(has(shown.out, "rear spring free length, mm"));
    CHECK(has(shown.out, "not used"));
    CHECK(has(shown.out,
              "line 2: 2025-09-02, rear spring free length 160,5 mm, front clicks rebound low 12 clicks"));
    CHECK(has(shown.out, "2 of 3 lines can be taken; nothing was written"));
    CHECK(has(shown.err, "line 4, column 'Date'"));
    CHECK(records(folder("w.restand"), bike) == 0);

    CHECK(run(folder, "take old.csv --bike 'No. 27' --yes --file w.restand").out == "2 records written\n");
    CHECK(run(folder, "take old.csv --bike 'No. 27' --yes --file w.restand").out ==
          "0 records written, 2 were there already\n");
    CHECK(records(folder("w.restand"), bike) == 2);
    // They do not touch what stands: no baseline came of them.
    CHECK(has(run(folder, "bikes --file w.restand").out, "no baseline yet"));
}

TEST_CASE("take: month first is asked for, never guessed") {
    const Folder folder;
    make_begun_swap(folder("w.restand"));
    write_bytes(folder("us.csv"), "date,chain slack (in)\n2/9/2025,1 1/4\n");
    CHECK(has(run(folder, "take us.csv --bike 'No. 27' --file w.restand").out, "2025-09-02"));
    CHECK(has(run(folder, "take us.csv --month-first --bike 'No. 27' --file w.restand").out, "2025-02-09"));
}

TEST_CASE("take: hostile tables, no bike, no file: a sentence with the place, nothing written") {
    const Folder folder;
    make_begun_swap(folder("w.restand"));
    const std::string before = bytes_of(folder("w.restand"));
    const auto refused = [&](const std::string& bytes, const std::string& words) {
        write_bytes(folder("bad.csv"), bytes);
        const Ran ran = run(folder, "take bad.csv --bike 'No. 27' --yes --file w.restand");
        CAPTURE(words);
        CHECK(ran.code == 2);
        CHECK_MESSAGE(has(ran.err, words), ran.err);
        CHECK(bytes_of(folder("w.restand")) == before);
    };
    refused("", "is missing");
    refused(std::string("day,chain slack\n2025-09-02,3\0"
                        "5\n",
                        29),
            "bad.csv: line 2, column 2");
    refused("day,chain slack\n2025-09-02,\"35\n", "a quote is opened and never closed");
    refused("day,chain slack\n2025-09-02,35,9\n", "line 2, column 3");
    refused("day,chain slack\n2025-09-02,\xFF\n", "no UTF-8");
    refused("day,chain slack\n2025-09-02," + std::string(1 << 20, '1') + "\n", "line 2, column 2");
    refused("day,chain slack\n2025-09-02,1e400\n", "line 2, column 'chain slack'");
    refused("day,chain slack\n2025-09-02,=1+1\n", "line 2, column 'chain slack'");
    refused("colour,weather\nred,rain\n", "no line has a day and a reading");
    refused(std::string(17 << 20, 'x'), "16 MB");
    CHECK(run(folder, "take none.csv --bike 'No. 27' --file w.restand").code == 2);
    write_bytes(folder("good.csv"), "day,chain slack\n2025-09-02,35\n");
    CHECK(has(run(folder, "take good.csv --file w.restand").err, "--bike"));
    CHECK(run(folder, "take good.csv --bike 'No. 3' --file w.restand").code == 2);
}
