// Guesses the meaning of the columns of an older table and previews the records made from its lines.

#include <algorithm>
#include <array>
#include <charconv>
#include <chrono>

#include "core/tables/csv.h"

namespace restand {
namespace {

using Is = ColumnUse::Is;

std::string lower(std::string_view text) {
    std::string out(text);
    for (char& c : out) c = static_cast<char>(c >= 'A' && c <= 'Z' ? c + 32 : c);
    return out;
}
std::string trimmed(std::string_view text) {
    const auto first = text.find_first_not_of(" \t\r\n");
    if (first == std::string_view::npos) return "";
    return std::string(text.substr(first, text.find_last_not_of(" \t\r\n") - first + 1));
}

// Splits a column name into words: "Rear free length (mm)" gives rear, free, length; a unit is in brackets or
// last.
std::vector<std::string> head_words(std::string_view head) {
    std::vector<std::string> words(1);
    for (const char c : lower(head)) {
        const bool letter = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || (c & 0x80);
        if (letter)
            words.back() += c;
        else if (!words.back().empty())
            words.emplace_back();
    }
    if (words.back().empty()) words.pop_back();
    return words;
}

struct Meant {
    Point point;
    std::string_view words;  // the column name must contain all of them
};
// The first line that fits applies, so lines with more words come first. Names: common practice, no source.
constexpr std::array meanings = {
    Meant{Point::helper_free_length, "helper free"},
    Meant{Point::helper_block_length, "helper block"},
    Meant{Point::helper_rate, "helper rate"},
    Meant{Point::other_leg_rate, "other leg rate"},
    Meant{Point::end_rate, "end rate"},
    Meant{Point::rate_rises_from, "rate rises from"},
    Meant{Point::rate_rises_to, "rate rises to"},
    Meant{Point::ride_height_topped_out, "topped out"},
    Meant{Point::ride_height_static, "static height"},
    Meant{Point::ride_height_static, "static ride"},
    Meant{Point::ride_height_rider, "rider height"},
    Meant{Point::ride_height_lifted, "height lifted"},
    Meant{Point::ride_height_pressed, "height pressed"},
    Meant{Point::eye_to_eye_min, "eye min"},
    Meant{Point::eye_to_eye_max, "eye max"},
    Meant{Point::eye_to_eye, "eye"},
    Meant{Point::eye_to_eye, "shock length"},
    Meant{Point::collar_mm_per_turn, "collar turn"},
    Meant{Point::length_mm_per_turn, "length turn"},
    Meant{Point::spring_free_length, "free length"},
    Meant{Point::spring_installed_length, "installed length"},
    Meant{Point::spring_block_length, "block length"},
    Meant{Point::preload_turns, "preload turns"},
    Meant{Point::rider_mass, "rider mass"},
    Meant{Point::spring_moved, "spring moved"},
    Meant{Point::wheel_weight, "wheel weight"},
    Meant{Point::unsprung_mass, "unsprung mass"},
    Meant{Point::fitted_mass_ahead, "fitted mass ahead"},
    Meant{Point::fitted_mass, "fitted mass"},
    Meant{Point::damper_temperature, "damper temperature"},
    Meant{Point::top_out_rate, "top out rate"},
    Meant{Point::top_out_reach, "top out reach"},
    Meant{Point::bump_rate, "bump rate"},
    Meant{Point::bump_travel, "bump travel"},
    Meant{Point::gas_volume, "gas volume"},
    Meant{Point::rod_diameter, "rod diameter"},
    Meant{Point::fuel, "fuel"},
    Meant{Point::spring_preload, "preload"},
    Meant{Point::spring_rate, "spring rate"},
    Meant{Point::spring_rate, "rate"},
    Meant{Point::fork_position_min, "fork position min"},
    Meant{Point::fork_position_max, "fork position max"},
    Meant{Point::fork_position, "fork position"},
    Meant{Point::fork_position, "fork height"},
    Meant{Point::fork_length, "fork length"},
    Meant{Point::gas_force, "gas force"},
    Meant{Point::clicks_compression_high, "compression high"},
    Meant{Point::clicks_compression_low, "compression"},
    Meant{Point::clicks_rebound_high, "rebound high"},
    Meant{Point::clicks_rebound_low, "rebound"},
    Meant{Point::chain_slack, "slack"},
    Meant{Point::chain_gauge_length, "chain length"},
    Meant{Point::chain_gauge_length, "gauge length"},
    Meant{Point::chain_gauge_links, "gauge links"},
    Meant{Point::chain_links, "links"},
    Meant{Point::axle_position, "axle position"},
    Meant{Point::axle_position, "axle"},
    Meant{Point::sprocket_front, "sprocket front"},
    Meant{Point::sprocket_rear, "sprocket rear"},
    Meant{Point::tyre_pressure_hot, "pressure hot"},
    Meant{Point::tyre_pressure_cold, "pressure"},
    Meant{Point::rolling_circumference, "circumference"},
    Meant{Point::tyre, "tyre"},
    Meant{Point::link_rod, "link rod"},
    Meant{Point::fork_oil_level, "oil level"},
    Meant{Point::fork_bore, "fork bore"},
    Meant{Point::travel, "travel"},
    Meant{Point::part_name, "part"},
};

bool all_in(std::string_view wanted, const std::vector<std::string>& words) {
    const auto each = head_words(wanted);
    return std::all_of(each.begin(), each.end(), [&](const std::string& w) {
        return std::find(words.begin(), words.end(), w) != words.end();
    });
}
bool has_word(const std::vector<std::string>& words, std::string_view word) {
    return std::find(words.begin(), words.end(), word) != words.end();
}

// Sag is a difference, not a reading, so its column has no point.
std::optional<Point> point_of(const std::vector<std::string>& words) {
    if (has_word(words, "sag")) return std::nullopt;
    const auto found = std::find_if(meanings.begin(), meanings.end(),
                                    [&](const Meant& m) { return all_in(m.words, words); });
    if (found == meanings.end()) return std::nullopt;
    return found->point;
}

// The end of a point, also for column names without 'front' or 'rear' (drive and dampers of one bike).
End end_named(const std::vector<std::string>& words, Point point) {
    // Sprockets, chain and axle belong to the rear end, and so does the front sprocket.
    if (point == Point::sprocket_front || point == Point::sprocket_rear) return End::rear;
    if (has_word(words, "front") || has_word(words, "fork")) return End::front;
    return End::rear;
}

// "(N/mm)", "[mm]", "_mm" or " mm" at the end of a column name; nullopt unless the unit fits the point.
std::optional<Unit> unit_in(std::string_view head, Dimension dimension) {
    std::string text = lower(trimmed(head));
    while (!text.empty() && (text.back() == ')' || text.back() == ']')) text.pop_back();
    const auto at = text.find_last_of(" _([");
    if (at == std::string::npos) return std::nullopt;
    const std::string word = text.substr(at + 1);
    const bool letters =
        std::any_of(word.begin(), word.end(), [](char c) { return (c >= 'a' && c <= 'z') || c == '"'; });
    if (!letters) return std::nullopt;
    // Accept the same units that the number pad accepts after a number.
    const auto typed = read_typed("1 " + word, chosen({}, dimension));
    if (!typed || !fits(typed->unit, dimension)) return std::nullopt;
    return typed->unit;
}

ColumnUse guess(const std::string& head, const UnitChoice& units) {
    const auto words = head_words(head);
    const auto is = [&](std::initializer_list<std::string_view> any) {
        return words.size() <= 2 &&
               std::any_of(any.begin(), any.end(), [&](std::string_view w) { return has_word(words, w); });
    };
    ColumnUse use;
    if (words.empty()) return use;
    if (const auto point = point_of(words)) {
        use = {Is::value_of_point, end_named(words, *point), *point, Unit::one};
        const Dimension dimension = facts(*point).dimension;
        if (dimension != Dimension::text)
            use.unit = unit_in(head, dimension).value_or(chosen(units, dimension));
        return use;
    }
    if (is({"date", "day"})) use.is = Is::day;
    if (is({"point", "measurement", "reading"})) use.is = Is::point;
    if (is({"value"})) use.is = Is::value;
    if (is({"end"})) use.is = Is::end;
    if (words == std::vector<std::string>{"unit"} || words == std::vector<std::string>{"units"})
        use.is = Is::unit;
    if (is({"where", "note", "notes", "remark", "remarks"})) use.is = Is::where;
    if (is({"source"})) use.is = Is::source;
    return use;
}

// Days ------------------------------------------------------------------------------------------------

std::optional<int> whole_number_in(std::string_view text, std::size_t least, std::size_t most) {
    int v = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), v);
    if (error != std::errc() || end != text.data() + text.size() || text.size() < least || text.size() > most)
        return std::nullopt;
    return v < 0 ? std::nullopt : std::optional(v);
}

// The day as "2025-09-02"; nullopt: not a calendar day. A time after the day is ignored.
std::optional<std::string> day_of(std::string_view text, bool month_first) {
    const std::string cut = trimmed(text);
    const std::string_view day = std::string_view(cut).substr(0, cut.find_first_of(" T"));
    const auto mark = day.find_first_of("-./");
    if (mark == std::string_view::npos) return std::nullopt;
    const auto second = day.find(day[mark], mark + 1);
    if (second == std::string_view::npos) return std::nullopt;
    const std::string_view a = day.substr(0, mark), b = day.substr(mark + 1, second - mark - 1),
                           c = day.substr(second + 1);
    const bool year_first = day[mark] == '-';
    const auto year = whole_number_in(year_first ? a : c, 4, 4);
    auto month = whole_number_in(b, 1, 2), date = whole_number_in(year_first ? c : a, 1, 2);
    if (month_first && day[mark] == '/') std::swap(month, date);
    if (!year || !month || !date || *year < 1900) return std::nullopt;
    using namespace std::chrono;
    const year_month_day ymd{std::chrono::year(*year), std::chrono::month(static_cast<unsigned>(*month)),
                             std::chrono::day(static_cast<unsigned>(*date))};
    if (!ymd.ok()) return std::nullopt;
    const auto two = [](int v) { return std::string(v < 10 ? "0" : "") + std::to_string(v); };
    return std::to_string(*year) + "-" + two(*month) + "-" + two(*date);
}

// Lines -----------------------------------------------------------------------------------------------

class LineReader {
public:
    LineReader(const Table& table, const std::vector<ColumnUse>& uses, std::size_t line, bool month_first)
        : table_(table), uses_(uses), fields_(table.lines[line]), month_first_(month_first) {}

    PreviewLine preview(std::string_view source, std::size_t number);

private:
    std::string cell(Is is) const {
        for (std::size_t i = 0; i < uses_.size() && i < fields_.size(); ++i)
            if (uses_[i].is == is) return trimmed(fields_[i]);
        return "";
    }
    std::string name_of(Is is) const {
        for (std::size_t i = 0; i < uses_.size() && i < table_.head.size(); ++i)
            if (uses_[i].is == is) return column_name(i);
        return "";
    }
    std::string column_name(std::size_t i) const {
        const std::string name = i < table_.head.size() ? trimmed(table_.head[i]) : "";
        return name.empty() ? "column " + std::to_string(i + 1) : name;
    }
    void refuse(std::string column, Error error) {
        if (!out_.problem) out_.problem_column = std::move(column), out_.problem = std::move(error);
    }
    void add(End end, Point point, Unit unit, const std::string& text, const std::string& column);
    void add_wide();
    void add_long();

    const Table& table_;
    const std::vector<ColumnUse>& uses_;
    const std::vector<std::string>& fields_;
    bool month_first_;
    PreviewLine out_;
    RecordBody body_;
};

void LineReader::add(End end, Point point, Unit unit, const std::string& text, const std::string& column) {
    const bool is_text = facts(point).dimension == Dimension::text;
    Reading reading{point, {{text, Unit::one}}, {}, cell(Is::where)};
    if (!is_text) {
        const auto typed = read_typed(text, unit);
        if (!typed) return refuse(column, {typed.error().code, column, typed.error().detail});
        reading.repeats = {*typed};
    }
    // The table does not name the instrument, so assume the usual one for this point (below).
    if (const auto good = validate(reading); !good)
        return refuse(column, {good.error().code, column, good.error().detail});
    if (!is_text) reading.instrument = usual_instrument(point, canonical_value(reading.repeats[0]));
    body_.values.push_back({end, std::move(reading)});
}

void LineReader::add_wide() {
    for (std::size_t i = 0; i < uses_.size() && i < fields_.size(); ++i) {
        const std::string text = trimmed(fields_[i]);
        if (uses_[i].is == Is::value_of_point && !text.empty())
            add(uses_[i].end_of, uses_[i].point, uses_[i].unit, text, column_name(i));
    }
}

void LineReader::add_long() {
    const std::string named = cell(Is::point), value = cell(Is::value), unit = cell(Is::unit);
    if (named.empty() || value.empty()) return;
    std::string key = lower(named);
    std::replace(key.begin(), key.end(), ' ', '_');
    auto point = point_of_key(key);
    if (!point) point = point_of(head_words(named));
    if (!point) return refuse(name_of(Is::point), {ErrorCode::not_found, "point '" + named + "'", ""});
    const std::string end = lower(cell(Is::end));
    if (!end.empty() && end != "front" && end != "rear")
        return refuse(name_of(Is::end), {ErrorCode::wrong_type, name_of(Is::end), "front or rear"});
    const End where =
        end.empty() ? end_named(head_words(named), *point) : (end == "front" ? End::front : End::rear);
    // Exported tables state pressure in MPa, a unit that cannot be typed.
    if (lower(unit) == "mpa" && facts(*point).dimension == Dimension::pressure) {
        const auto typed = read_typed(value, Unit::bar);
        if (!typed) return refuse(name_of(Is::value), typed.error());
        return add(where, *point, Unit::bar, print_in(typed_value(*typed), Unit::bar), name_of(Is::value));
    }
    add(where, *point, chosen({}, facts(*point).dimension), unit.empty() ? value : value + " " + unit,
        name_of(Is::value));
}

PreviewLine LineReader::preview(std::string_view source, std::size_t number) {
    out_.line = number;
    const auto day = day_of(cell(Is::day), month_first_);
    if (!day)
        refuse(name_of(Is::day), {cell(Is::day).empty() ? ErrorCode::missing : ErrorCode::wrong_type,
                                  cell(Is::day).empty() ? "day" : "'" + cell(Is::day) + "'",
                                  month_first_ ? "a day: 2025-09-02 or 9/2/2025"
                                               : "a day: 2025-09-02, 02.09.2025 or 2/9/2025"});
    body_.day = day.value_or("");
    const std::string own = cell(Is::source);
    body_.source = own.empty() ? std::string(source) : std::string(source) + ", " + own;
    add_wide();
    add_long();
    if (body_.values.empty()) refuse("", {ErrorCode::missing, "a value", "no column with a reading"});
    if (!out_.problem) out_.record = std::move(body_);
    return std::move(out_);
}

}  // namespace

std::vector<ColumnUse> guess_columns(const Table& table, const UnitChoice& units) {
    std::vector<ColumnUse> uses;
    for (const std::string& head : table.head) {
        const ColumnUse use = guess(head, units);
        // If a second column has the same meaning, leave the choice to the user.
        const bool again = use.is != Is::nothing && std::any_of(uses.begin(), uses.end(), [&](const auto& u) {
                               return u.is == use.is && u.end_of == use.end_of && u.point == use.point;
                           });
        uses.push_back(again ? ColumnUse{} : use);
    }
    return uses;
}

std::vector<PreviewLine> preview(const Table& table, const std::vector<ColumnUse>& uses,
                                 std::string_view source, bool month_first) {
    std::vector<PreviewLine> lines;
    for (std::size_t i = 0; i < table.lines.size(); ++i)
        lines.push_back(LineReader(table, uses, i, month_first).preview(source, table.line_numbers[i]));
    return lines;
}

}  // namespace restand
