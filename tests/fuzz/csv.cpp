// A table of unknown origin: read, its columns guessed, every line previewed.
#include <cstdint>
#include <string_view>

#include "core/tables/csv.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    using namespace restand;
    const auto table = read_table({reinterpret_cast<const char*>(data), size});
    if (!table) return 0;
    for (const auto& line : table->lines)
        check(line.size() == table->head.size(), "lines as wide as the head");
    const auto uses = guess_columns(*table, {});
    for (const bool month_first : {false, true})
        check(preview(*table, uses, "table.csv", month_first).size() == table->lines.size(),
              "every line is previewed");
    // A line that is written reads as it was.
    const auto again = read_table(csv_line(table->head));
    check(again && again->head == table->head, "a written line reads again");
    return 0;
}
