#pragma once
// Tables as text, RFC 4180: the ledger's as CSV for any program, and older readings from a table into the ledger.
//
// Reading: UTF-8 (a BOM is passed over); ',', ';' or tab between fields, whichever the first line has most of;
// quotes as in the RFC; both line ends. At most 16 MiB, 200 columns, 100 000 lines, 4 096 bytes a field.

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "core/ledger/ledger.h"

namespace restand {

struct Table {
    std::vector<std::string> head;                 // first line; may be empty names
    std::vector<std::vector<std::string>> lines;   // each as wide as `head`; short ones filled, long ones an error
    std::vector<std::size_t> line_numbers;         // in the file, for messages
};
Result<Table> read_table(std::string_view text);   // Error subject "line 12, column 3"
std::string csv_line(const std::vector<std::string>& fields);   // quoted where needed, CR LF

// What a column is. A wide table has a column a point; a long one has point and value.
struct ColumnUse {
    enum class Is { nothing, day, point, value_of_point, value, end, unit, where, source } is = Is::nothing;
    End end_of = End::rear;                        // of Is::value_of_point
    Point point = Point::eye_to_eye;               // of Is::value_of_point
    Unit unit = Unit::mm;                          // typed numbers without one
    friend bool operator==(const ColumnUse&, const ColumnUse&) = default;
};
// A guess from the names in the head ("date", "rear free length (mm)"); nothing where there is none.
std::vector<ColumnUse> guess_columns(const Table& table, const UnitChoice& units);

struct PreviewLine {
    std::size_t line = 0;                          // in the file
    std::optional<RecordBody> record;              // what it would become; nullopt: see problem
    std::string problem_column;                    // its name or number
    std::optional<Error> problem;
};
// Every line as it would be taken. Days as 2025-09-02, 02.09.2025 or 2/9/2025 (day first) or by `month_first`.
std::vector<PreviewLine> preview(const Table& table, const std::vector<ColumnUse>& uses, std::string_view source,
                                 bool month_first = false);

}  // namespace restand
