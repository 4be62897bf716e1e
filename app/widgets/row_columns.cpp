#include "app/widgets/row_columns.h"

#include <algorithm>

namespace restand {

Cut cut_number(std::string_view text) {
    const std::size_t at = text.find_first_of(".,");
    if (at == std::string_view::npos || text.find_first_of(" /", 0) != std::string_view::npos)
        return {text, {}};
    return {text.substr(0, at), text.substr(at)};
}

bool is_number(std::string_view text) {
    return text.find_first_not_of("0123456789.,+-\u2212\u2248") == std::string_view::npos;
}

ReadingColumns reading_columns(const Canvas& c, std::span<const Row> rows, float width, Face face) {
    ReadingColumns columns;
    columns.face = face;
    const auto& type = c.type;
    for (const Row& each : rows) {
        const auto* reading = std::get_if<row::ReadingRow>(&each);
        if (!reading) continue;
        columns.plus_minus = std::max(columns.plus_minus, type.width(Face::small, reading->plus_minus));
        if (!is_number(reading->value)) continue;
        const Cut number = cut_number(reading->value);
        columns.whole = std::max(columns.whole, type.width(face, number.whole));
        columns.rest = std::max(columns.rest, type.width(face, number.rest));
        columns.unit = std::max(columns.unit, type.width(Face::small, reading->unit));
    }
    const float mark = c.mm(7.5f), gap = c.mm(1.5f);
    const auto at_most_two_lines = [&](float room) {
        if (room < c.mm(16)) return false;
        for (const Row& each : rows) {
            const auto* reading = std::get_if<row::ReadingRow>(&each);
            if (!reading) continue;
            const Lines lines = type.wrap(Face::body, reading->label, room);
            if (lines.count > 2 || lines.scale < 1) return false;
        }
        return true;
    };
    const float value = columns.value() + (columns.unit > 0 ? gap * 0.7f + columns.unit : 0);
    if (at_most_two_lines(width - mark - 2 * gap - value - gap - columns.plus_minus)) return columns;
    columns.form = ReadingColumns::Form::under;
    if (at_most_two_lines(width - mark - 2 * gap - std::max(value, columns.plus_minus))) return columns;
    columns.form = ReadingColumns::Form::stacked;
    shrink_to(c, columns, width - mark - 2 * gap);
    return columns;
}

void shrink_to(const Canvas& c, ReadingColumns& columns, float room) {
    const float gap = c.mm(1.5f), value = columns.value();
    const float words = (columns.unit > 0 ? gap * 0.7f + columns.unit : 0) +
                        (columns.plus_minus > 0 ? gap + columns.plus_minus : 0);
    if (value + words <= room) return;
    columns.small = std::clamp(room / (value + words), c.floor_scale(Face::small), 1.0f);
    columns.scale = value > 0 ? std::clamp((room - words * columns.small) / value, 0.3f, 1.0f) : 1;
}

TableColumns table_columns(const Canvas& c, std::span<const Row> rows) {
    TableColumns columns;
    for (const Row& each : rows) {
        if (const auto* line = std::get_if<row::TableLine>(&each)) {
            const Cut was = cut_number(line->was), will = cut_number(line->will);
            columns.was_whole = std::max(columns.was_whole, c.type.width(Face::body, was.whole));
            columns.was_rest = std::max(columns.was_rest, c.type.width(Face::body, was.rest));
            columns.will_whole = std::max(columns.will_whole, c.type.width(Face::bold, will.whole));
            columns.will_rest = std::max(columns.will_rest, c.type.width(Face::bold, will.rest));
        } else if (const auto* head = std::get_if<row::TableHead>(&each)) {
            columns.was_whole =
                std::max(columns.was_whole, c.type.width(Face::small, head->was) - columns.was_rest);
            columns.will_whole =
                std::max(columns.will_whole, c.type.width(Face::small, head->will) - columns.will_rest);
        }
    }
    return columns;
}

void draw_at_point(Canvas& c, Face face, std::string_view text, float point_x, float rest, float baseline,
                   Colour colour, float scale) {
    const Cut number = cut_number(text);
    const bool is_number = !text.empty() && !number.rest.empty();
    // Text and fractions are right-aligned with the digits.
    const float end = is_number ? point_x + c.type.width(face, number.rest) * scale : point_x + rest;
    const bool digits_only = text.find_first_not_of("0123456789+-\u2212") == std::string_view::npos;
    c.text(face, text, digits_only ? point_x : end, baseline, colour, Align::right, scale);
}

}  // namespace restand
