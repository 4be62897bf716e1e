// Reading tables: RFC 4180, section 2, plus what spreadsheets actually write: another separator, a BOM, LF
// without CR.

#include "core/tables/csv.h"

#include <algorithm>
#include <array>

namespace restand {
namespace {

constexpr std::size_t table_text_cap = 16u << 20, column_cap = 200, line_cap = 100'000, field_cap = 4096;

std::string place(std::size_t line, std::size_t column) {
    return "line " + std::to_string(line) + ", column " + std::to_string(column);
}

// The separator that occurs most in the first line, outside quotes.
char separator_of(std::string_view text) {
    std::array<std::size_t, 3> counts{};
    constexpr std::string_view candidates = ",;\t";
    bool quoted = false;
    for (const char c : text) {
        if (c == '"') quoted = !quoted;
        if (!quoted && (c == '\n' || c == '\r')) break;
        if (const auto which = candidates.find(c); !quoted && which != std::string_view::npos)
            ++counts[which];
    }
    return candidates[static_cast<std::size_t>(std::max_element(counts.begin(), counts.end()) -
                                               counts.begin())];
}

// Length in bytes of the UTF-8 character at the start (RFC 3629, section 4); 0: not valid UTF-8.
std::size_t character(std::string_view text) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    const auto follows = [&](std::size_t i, unsigned low, unsigned high) {
        return i < text.size() && byte(i) >= low && byte(i) <= high;
    };
    const unsigned first = byte(0);
    if (first < 0x80) return 1;
    if (first >= 0xC2 && first <= 0xDF) return follows(1, 0x80, 0xBF) ? 2 : 0;
    if (first >= 0xE0 && first <= 0xEF) {
        const unsigned low = first == 0xE0 ? 0xA0 : 0x80, high = first == 0xED ? 0x9F : 0xBF;
        return follows(1, low, high) && follows(2, 0x80, 0xBF) ? 3 : 0;
    }
    if (first < 0xF0 || first > 0xF4) return 0;
    const unsigned low = first == 0xF0 ? 0x90 : 0x80, high = first == 0xF4 ? 0x8F : 0xBF;
    return follows(1, low, high) && follows(2, 0x80, 0xBF) && follows(3, 0x80, 0xBF) ? 4 : 0;
}

class Reader {
public:
    explicit Reader(std::string_view text) : rest_(text), separator_(separator_of(text)) {}
    Result<Table> table();

private:
    // Reads the fields of the next line. `line_` is the line number at its start.
    bool read_line(std::vector<std::string>& fields);
    bool read_field(std::string& field);
    bool read_quoted(std::string& field);
    bool take_character(std::string& field);
    bool ends_field() const {
        return rest_.empty() || rest_.front() == separator_ || rest_.front() == '\n' || at_crlf();
    }
    bool at_crlf() const { return rest_.starts_with("\r\n"); }
    void take_line_end();
    bool fail(ErrorCode code, std::string detail) {
        error_ = Error{code, place(now_, column_), std::move(detail)};
        return false;
    }
    bool keep(Table& table, std::vector<std::string> fields);

    std::string_view rest_;
    char separator_;
    std::size_t now_ = 1, line_ = 1, column_ = 1;
    std::optional<Error> error_;
};

bool Reader::take_character(std::string& field) {
    if (rest_.front() == '\0') return fail(ErrorCode::damaged, "a zero byte");
    const std::size_t length = character(rest_);
    if (length == 0) return fail(ErrorCode::damaged, "no UTF-8; save the table as UTF-8");
    if (field.size() + length > field_cap)
        return fail(ErrorCode::too_large, std::to_string(field_cap) + " bytes a field");
    if (rest_.front() == '\n') ++now_;
    field += rest_.substr(0, length);
    rest_.remove_prefix(length);
    return true;
}

// Section 2, rules 5 to 7: in a quoted field, quotes are doubled; line ends and separators are text.
bool Reader::read_quoted(std::string& field) {
    const std::size_t opened = now_;
    rest_.remove_prefix(1);
    while (!rest_.empty()) {
        if (rest_.starts_with("\"\"")) {
            rest_.remove_prefix(1);
        } else if (rest_.front() == '"') {
            rest_.remove_prefix(1);
            return ends_field() || fail(ErrorCode::damaged, "something behind the closing quote");
        }
        if (!take_character(field)) return false;
    }
    now_ = opened;
    return fail(ErrorCode::truncated, "a quote is opened and never closed");
}

bool Reader::read_field(std::string& field) {
    if (!rest_.empty() && rest_.front() == '"') return read_quoted(field);
    while (!ends_field()) {
        // Rule 5: a field that is not in quotes contains none. Guessing here would shift columns.
        if (rest_.front() == '"') return fail(ErrorCode::damaged, "a quote inside a field without quotes");
        if (rest_.front() == '\r') return fail(ErrorCode::damaged, "a carriage return that ends no line");
        if (!take_character(field)) return false;
    }
    return true;
}

void Reader::take_line_end() {
    if (rest_.empty()) return;
    rest_.remove_prefix(at_crlf() ? 2 : 1);
    ++now_;
}

bool Reader::read_line(std::vector<std::string>& fields) {
    line_ = now_;
    column_ = 1;
    for (;; ++column_) {
        if (column_ > column_cap) return fail(ErrorCode::too_large, std::to_string(column_cap) + " columns");
        if (!read_field(fields.emplace_back())) return false;
        if (rest_.empty() || rest_.front() != separator_) break;
        rest_.remove_prefix(1);
    }
    take_line_end();
    return true;
}

bool Reader::keep(Table& table, std::vector<std::string> fields) {
    if (fields.size() == 1 && fields[0].empty()) return true;  // an empty line
    column_ = fields.size();
    if (fields.size() > table.head.size()) {
        error_ = Error{ErrorCode::too_large, place(line_, table.head.size() + 1),
                       std::to_string(table.head.size()) + " columns, as the first line has"};
        return false;
    }
    if (table.lines.size() == line_cap)
        return fail(ErrorCode::too_large, std::to_string(line_cap) + " lines");
    fields.resize(table.head.size());
    table.lines.push_back(std::move(fields));
    table.line_numbers.push_back(line_);
    return true;
}

Result<Table> Reader::table() {
    Table table;
    if (!read_line(table.head)) return *error_;
    while (!rest_.empty()) {
        std::vector<std::string> fields;
        if (!read_line(fields) || !keep(table, std::move(fields))) return *error_;
    }
    return table;
}

bool needs_quotes(const std::string& field) {
    return field.find_first_of(",;\t\"\r\n") != std::string::npos ||
           (!field.empty() && (field.front() == ' ' || field.back() == ' ')) ||
           field.starts_with("\xEF\xBB\xBF");  // a reader would skip it at the start of a file
}

}  // namespace

Result<Table> read_table(std::string_view text) {
    if (text.size() > table_text_cap) return Error{ErrorCode::too_large, "table", "16 MB"};
    if (text.starts_with("\xFF\xFE") || text.starts_with("\xFE\xFF"))
        return Error{ErrorCode::damaged, place(1, 1), "it is UTF-16; save the table as UTF-8"};
    if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
    if (text.find_first_not_of(" \t\r\n") == std::string_view::npos)
        return Error{ErrorCode::missing, "first line, with what each column is", ""};
    return Reader(text).table();
}

std::string csv_line(const std::vector<std::string>& fields) {
    std::string line;
    for (std::size_t i = 0; i < fields.size(); ++i) {
        if (i) line += ',';
        // A line with one empty field needs quotes; otherwise it reads as an empty line.
        if (!needs_quotes(fields[i]) && !(fields.size() == 1 && fields[i].empty())) {
            line += fields[i];
            continue;
        }
        line += '"';
        for (const char c : fields[i]) line += c == '"' ? std::string("\"\"") : std::string(1, c);
        line += '"';
    }
    return line + "\r\n";
}

}  // namespace restand
