// Tables as text. The rules are those of RFC 4180, section 2 (numbers from memory: 1 a line a record, 2 the
// last line end is optional, 3 a head, 4 commas, spaces count, 5 quotes, 6 what must be quoted, 7 quotes
// doubled).
#include "core/tables/csv.h"

#include <chrono>
#include <random>

#include "tests/store/workshop.h"

using namespace restand;
using Is = ColumnUse::Is;

namespace {

using Lines = std::vector<std::vector<std::string>>;

Table table_of(std::string_view text) {
    return test::got(read_table(text));
}
Error refusal(std::string_view text) {
    const auto table = read_table(text);
    REQUIRE_FALSE(table);
    return table.error();
}
std::vector<PreviewLine> previewed(std::string_view text, bool month_first = false) {
    const Table table = table_of(text);
    return preview(table, guess_columns(table, {}), "old.csv", month_first);
}
ColumnUse guessed(const std::string& head, const UnitChoice& units = {}) {
    return guess_columns(Table{{head}, {}, {}}, units).at(0);
}

}  // namespace

TEST_CASE("CSV, rule 1 and 2: lines end with CRLF, the last one may do without; LF alone is taken too") {
    const Lines two = {{"1", "2"}, {"3", "4"}};
    CHECK(table_of("a,b\r\n1,2\r\n3,4\r\n").lines == two);
    CHECK(table_of("a,b\r\n1,2\r\n3,4").lines == two);
    CHECK(table_of("a,b\n1,2\n3,4\n").lines == two);
    CHECK(table_of("a,b\n1,2\r\n\r\n\n3,4").lines == two);  // lines with nothing on them
    CHECK(table_of("a,b\n1,2\n\n3,4").line_numbers == std::vector<std::size_t>{2, 4});
}

TEST_CASE("CSV, rule 3 and 4: a head; as many fields a line; spaces belong to a field") {
    CHECK(table_of("a,b").head == std::vector<std::string>{"a", "b"});
    CHECK(table_of("a,b\n 1 , 2").lines == Lines{{" 1 ", " 2"}});
    CHECK(table_of("a,b,c\n1,,\n,,3\n1").lines == Lines{{"1", "", ""}, {"", "", "3"}, {"1", "", ""}});
    const Error error = refusal("a,b\n1,2\n1,2,3\n");
    CHECK(error.code == ErrorCode::too_large);
    CHECK(error.subject == "line 3, column 3");
}

TEST_CASE(
    "CSV, rule 5 to 7: quotes around a field, doubled in it; separators and line ends within are text") {
    CHECK(table_of("a,b\n\"1\",\"2\"").lines == Lines{{"1", "2"}});
    CHECK(table_of("a,b\n\"x, y\",\"12 5/16\"\"\"").lines == Lines{{"x, y", "12 5/16\""}});
    const Table table = table_of("a,b\n\"one\r\ntwo\",2\n3,4\n\"\",\"\"\"\"\n");
    CHECK(table.lines == Lines{{"one\r\ntwo", "2"}, {"3", "4"}, {"", "\""}});
    CHECK(table.line_numbers == std::vector<std::size_t>{2, 4, 5});
    CHECK(refusal("a,b\n1,x\"y\n").subject == "line 2, column 2");
    CHECK(refusal("a,b\n1,\"x\"y\n").subject == "line 2, column 2");
    CHECK(refusal("a,b\n1,2\n3,\"never\nclosed").subject == "line 3, column 2");
    CHECK(refusal("a,b\n1,2\n3,\"never\nclosed").code == ErrorCode::truncated);
    CHECK(refusal("a,b\n1\r2,3\n").code == ErrorCode::damaged);
}

TEST_CASE("CSV: what is written is read back, whatever is in it") {
    std::mt19937 random(7);
    const std::string letters = "ab ,;\"\r\n\t=é";
    for (int run = 0; run < 5000; ++run) {
        std::vector<std::string> fields(1 + random() % 5);
        for (std::string& field : fields)
            for (std::size_t i = random() % 6; i > 0; --i) {
                const std::size_t at = random() % 11;
                field += at == 10 ? "é" : std::string(1, letters[at]);
            }
        const std::vector<std::string> head(fields.size(), "h");
        const Table table = table_of(csv_line(head) + csv_line(fields));
        const bool nothing = fields.size() == 1 && fields[0].empty();
        if (nothing) continue;
        REQUIRE(table.lines == Lines{fields});
    }
    CHECK(csv_line({"a", "b,c", "d\"e", ""}) == "a,\"b,c\",\"d\"\"e\",\r\n");
}

TEST_CASE("CSV: the separator is what the first line has most of, outside quotes") {
    CHECK(table_of("day;rear free length (mm);x\n2/9/2025;160,5;1").lines ==
          Lines{{"2/9/2025", "160,5", "1"}});
    CHECK(table_of("a\tb\n1\t2").lines == Lines{{"1", "2"}});
    CHECK(table_of("\"a;b;c;d\",b\n1,2").head == std::vector<std::string>{"a;b;c;d", "b"});
    CHECK(table_of("\xEF\xBB\xBF"
                   "a,b\n1,2")
              .head[0] == "a");
}

TEST_CASE("CSV: hostile text is refused with its place, soon") {
    using namespace std::string_literals;
    CHECK(refusal("").code == ErrorCode::missing);
    CHECK(refusal("\xEF\xBB\xBF\r\n \n").code == ErrorCode::missing);
    CHECK(refusal("a,b\n1,\0\n"s).subject == "line 2, column 2");
    // RFC 3629, section 4: overlong, surrogate, beyond U+10FFFF, cut.
    for (const char* bad :
         {"\xC0\x80", "\xE0\x80\x80", "\xED\xA0\x80", "\xF4\x90\x80\x80", "\xF8", "\x80", "\xE2\x82"}) {
        const Error error = refusal("a,b\nok,é\n"s + bad + ",2\n");
        CHECK(error.code == ErrorCode::damaged);
        CHECK(error.subject == "line 3, column 1");
    }
    CHECK(refusal("\xFF\xFE"
                  "a\0,\0"s)
              .detail.find("UTF-16") != std::string::npos);
    const Error field = refusal("a,b\n1," + std::string(5000, 'x'));
    CHECK(field.code == ErrorCode::too_large);
    CHECK(field.subject == "line 2, column 2");
    CHECK(table_of("a\n" + std::string(4096, 'x')).lines[0][0].size() == 4096);
    CHECK(refusal(std::string(250, ',')).subject == "line 1, column 201");
    std::string many = "a\n";
    for (int i = 0; i < 100'001; ++i) many += "x\n";
    CHECK(refusal(many).code == ErrorCode::too_large);
    const auto begin = std::chrono::steady_clock::now();
    CHECK(refusal(std::string((16 << 20) + 1, 'x')).code == ErrorCode::too_large);
    CHECK(refusal("a\n\"" + std::string(15 << 20, '\n')).code == ErrorCode::too_large);
    CHECK(refusal(std::string(15 << 20, '"')).code == ErrorCode::too_large);
    CHECK(std::chrono::steady_clock::now() - begin < std::chrono::seconds(1));
}

TEST_CASE("CSV: any bytes give a table or an error, and a preview without a crash") {
    std::mt19937 random(29);
    const std::string start =
        "day,rear free length (mm),point,value,end\n2025-09-02,160.5,,,\n1/2/2025,,chain slack,35,rear\n";
    for (int run = 0; run < 20'000; ++run) {
        std::string text = start;
        for (int i = 0; i < 4; ++i) text[random() % text.size()] = static_cast<char>(random());
        const auto table = read_table(text);
        if (!table) continue;
        for (const auto& line : table->lines) REQUIRE(line.size() == table->head.size());
        for (const PreviewLine& line : preview(*table, guess_columns(*table, {}), "x"))
            REQUIRE(line.record.has_value() != line.problem.has_value());
    }
}

TEST_CASE("CSV: what a column is, by its name") {
    const auto is = [](const std::string& head, End end, Point point, Unit unit) {
        CAPTURE(head);
        CHECK(guessed(head) == ColumnUse{Is::value_of_point, end, point, unit});
    };
    is("rear free length (mm)", End::rear, Point::spring_free_length, Unit::mm);
    is("Front free length [in]", End::front, Point::spring_free_length, Unit::inch);
    is("spring rate N/mm", End::rear, Point::spring_rate, Unit::n_per_mm);
    is("front_spring_rate (lbs/in)", End::front, Point::spring_rate, Unit::lbf_per_in);
    is("eye_to_eye_mm", End::rear, Point::eye_to_eye, Unit::mm);
    is("Fork position", End::front, Point::fork_position, Unit::mm);
    is("Rear ride height, topped out", End::rear, Point::ride_height_topped_out, Unit::mm);
    is("static ride height front (mm)", End::front, Point::ride_height_static, Unit::mm);
    is("rear rebound (clicks)", End::rear, Point::clicks_rebound_low, Unit::click);
    is("front compression high speed", End::front, Point::clicks_compression_high, Unit::click);
    is("front preload", End::front, Point::spring_preload, Unit::mm);
    is("chain slack", End::rear, Point::chain_slack, Unit::mm);
    is("front sprocket", End::rear, Point::sprocket_front, Unit::one);
    is("tyre pressure cold front (psi)", End::front, Point::tyre_pressure_cold, Unit::psi);
    is("rear tyre pressure hot", End::rear, Point::tyre_pressure_hot, Unit::bar);
    is("front tyre", End::front, Point::tyre, Unit::one);
    for (const PointFacts& one : all_points()) {  // the keys of our own files are heads too
        if (one.point == Point::fork_position_min || one.point == Point::fork_position_max) continue;
        CAPTURE(one.key);
        CHECK(guessed(std::string(one.key)).point == one.point);
    }
    CHECK(guessed("Date").is == Is::day);
    CHECK(guessed("notes").is == Is::where);
    for (const char* nothing : {"rider sag (mm)", "lap time", "", "???", "weather"})
        CHECK(guessed(nothing).is == Is::nothing);
    // Typed numbers without a unit are in the workshop's.
    CHECK(guessed("rear free length", {.length = Unit::inch}).unit == Unit::inch);
    // The second of two columns with one meaning is left to a person.
    const auto twice = guess_columns(Table{{"slack", "chain slack (mm)"}, {}, {}}, {});
    CHECK(twice[0].is == Is::value_of_point);
    CHECK(twice[1].is == Is::nothing);
}

TEST_CASE("CSV: a wide table becomes a record a line") {
    const auto lines = previewed(
        "date;rear free length (mm);front rebound;where\n"
        "2025-09-02;160,5;12;bench\n"
        "02.09.2025;6 5/16 in;;\n");
    REQUIRE(lines.size() == 2);
    REQUIRE(lines[0].record);
    CHECK(lines[0].record->day == "2025-09-02");
    CHECK(lines[0].record->source == "old.csv");
    REQUIRE(lines[0].record->values.size() == 2);
    const SetValue& free = lines[0].record->values[0];
    CHECK(free.end == End::rear);
    CHECK(free.reading.point == Point::spring_free_length);
    CHECK(free.reading.repeats == std::vector<Typed>{{"160,5", Unit::mm}});
    CHECK(free.reading.where == "bench");
    CHECK(lines[0].record->values[1].end == End::front);
    REQUIRE(lines[1].record);
    CHECK(lines[1].record->day == "2025-09-02");
    CHECK(lines[1].record->values[0].reading.repeats[0].unit == Unit::inch);
    // It is a body as the ledger keeps it.
    CHECK(test::got(body_from_json("record", body_json(*lines[0].record))) == Body(*lines[0].record));
}

TEST_CASE("CSV: a long table has a reading a line") {
    const auto lines = previewed(
        "day,end,point,value,unit\n"
        "2025-09-02,rear,chain slack,35,mm\n"
        "2025-09-02,front,tyre_pressure_cold,0.21,MPa\n"
        "2025-09-02,rear,moon phase,1,\n"
        "2025-09-02,left,chain slack,35,mm\n"
        "2025-09-02,rear,chain slack,35,bar\n");
    REQUIRE(lines.size() == 5);
    REQUIRE(lines[0].record);
    CHECK(lines[0].record->values[0].reading.point == Point::chain_slack);
    REQUIRE(lines[1].record);
    CHECK(canonical_value(lines[1].record->values[0].reading.repeats[0]) == doctest::Approx(0.21));
    CHECK(lines[2].problem->code == ErrorCode::not_found);
    CHECK(lines[2].problem_column == "point");
    CHECK(lines[3].problem_column == "end");
    CHECK(lines[4].problem->code == ErrorCode::wrong_unit);
    CHECK(lines[4].line == 6);
}

TEST_CASE("CSV: days as people write them; no day that is not in the calendar") {
    const auto day = [](const std::string& text, bool month_first = false) {
        const auto line = previewed("day,chain slack\n" + text + ",35\n", month_first).at(0);
        return line.record ? line.record->day : "";
    };
    CHECK(day("2025-09-02") == "2025-09-02");
    CHECK(day("2025-9-2") == "2025-09-02");
    CHECK(day("02.09.2025") == "2025-09-02");
    CHECK(day("2/9/2025") == "2025-09-02");
    CHECK(day("2/9/2025", true) == "2025-02-09");
    CHECK(day("2025-09-02T10:15:00Z") == "2025-09-02");
    CHECK(day("2025-09-02 10:15") == "2025-09-02");
    CHECK(day("29.02.2024") == "2024-02-29");
    for (const char* none : {"29.02.2025", "2025-13-01", "31.04.2025", "13/13/2025", "2/9/25", "yesterday",
                             "", "45902", "2025-09", "-1.-1.2025", "2025-09-02-01", "0000-01-01"}) {
        CAPTURE(none);
        CHECK(day(none) == "");
    }
}

TEST_CASE("CSV: numbers that are none, formulas and what cannot be are refused by column") {
    for (const char* cell : {"1e400", "NaN", "inf", "=1+2", "+cmd|' /C calc'!A0", "@SUM(1)", "12..5", "-",
                             "9999", "0x10", "160.5 bar", "99999999999999999999999999"}) {
        CAPTURE(cell);
        const auto line =
            previewed(csv_line({"day", "rear free length (mm)"}) + csv_line({"2025-09-02", cell})).at(0);
        REQUIRE(line.problem);
        CHECK(line.problem_column == "rear free length (mm)");
        CHECK(line.line == 2);
    }
    const auto no_value = previewed("day,chain slack,tyre\n2025-09-02,,\n").at(0);
    CHECK(no_value.problem->code == ErrorCode::missing);
    // A name is text, whatever it looks like; a table written from it shows it, and computes nothing
    // (tables.cpp).
    CHECK(previewed("day,front tyre\n2025-09-02,=2+3\n").at(0).record);
    const auto long_name = previewed("day,front tyre\n2025-09-02," + std::string(200, 'x') + "\n").at(0);
    CHECK(long_name.problem);
}
