#pragma once
// Tables as text, RFC 4180: CSV lines for export, and import of older readings into the ledger.
//
// Reading: UTF-8 (a BOM is skipped). The separator is ',', ';' or tab, whichever occurs most in the first
// line. Quotes as in the RFC; LF or CR LF. At most 16 MiB, 200 columns, 100 000 lines, 4 096 bytes a field.

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "core/ledger/ledger.h"

namespace restand {

struct Table {
    std::vector<std::string> head;                 // first line; names may be empty
    std::vector<std::vector<std::string>> lines;   // as wide as `head`: short ones filled, long ones refused
    std::vector<std::size_t> line_numbers;         // line number in the file, for messages
};
Result<Table> read_table(std::string_view text);   // error subject: "line 12, column 3"
std::string csv_line(const std::vector<std::string>& fields);   // quoted if needed, ends with CR LF

// The meaning of a column. A wide table has a column per point; a long table has 'point' and 'value'.
struct ColumnUse {
    enum class Is { nothing, day, point, value_of_point, value, end, unit, where, source } is = Is::nothing;
    End end_of = End::rear;                        // of Is::value_of_point
    Point point = Point::eye_to_eye;               // of Is::value_of_point
    Unit unit = Unit::mm;                          // for numbers without a unit
    friend bool operator==(const ColumnUse&, const ColumnUse&) = default;
};
// Guesses from the column names ("date", "rear free length (mm)"); Is::nothing if there is no guess.
std::vector<ColumnUse> guess_columns(const Table& table, const UnitChoice& units);

struct PreviewLine {
    std::size_t line = 0;                          // in the file
    std::optional<RecordBody> record;              // the record to import; nullopt: see `problem`
    std::string problem_column;                    // name or number of the column
    std::optional<Error> problem;
};
// Every line as it would be imported. Days: 2025-09-02, 02.09.2025 or 2/9/2025 (day first); `month_first`
// reads dates with '/' month first.
std::vector<PreviewLine> preview(const Table& table, const std::vector<ColumnUse>& uses,
                                 std::string_view source, bool month_first = false);

}  // namespace restand
