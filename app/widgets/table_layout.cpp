#include "app/widgets/table_layout.h"

#include <algorithm>

#include "app/widgets/row_columns.h"
#include "app/widgets/row_draw.h"

namespace restand {
namespace {

using Item = PageTable::Line;
using LineKind = PageTable::Line::Kind;

constexpr float plain_mm = 6.3f, plain_by_mouse_mm = 5.4f, column_gap_mm = 4.0f;

bool can_be_sorted(const PageTable& table) {
    return std::any_of(table.columns.begin(), table.columns.end(),
                       [](const PageTable::Column& column) { return column.sort.has_value(); });
}

bool fits_twice(const Canvas& c, float width, Beside beside) {
    return (width - c.mm(on_a_page.gap_mm)) / 2 >= c.mm(beside.least_mm) * letters_of(c);
}

}  // namespace

Face face_of(const PageTable::Column& column) {
    return column.bold ? Face::bold : Face::body;
}

bool is_whole(const Item& line) {
    return line.cells.size() == 1;
}

// What each column would like; a text column that is too wide gives way to the others.
TableLayout layout_of(const Canvas& c, const PageTable& table, std::span<const Item> lines, float width,
                      bool compact) {
    TableLayout out;
    out.compact = compact;
    const float gap = c.mm(compact ? 2.5f : column_gap_mm);
    float numbers = 0, texts = 0;
    for (std::size_t i = 0; i < table.columns.size(); ++i) {
        const PageTable::Column& column = table.columns[i];
        ColumnPlace place;
        place.width = c.type.width(Face::small, column.name) +
                      (column.sort ? c.type.cap(Face::small) * 1.2f + c.mm(0.8f) : 0);
        for (const Item& line : lines) {
            if (is_whole(line) || i >= line.cells.size()) continue;
            const std::string& cell = line.cells[i];
            if (column.number && is_number(cell)) {
                const Cut cut = cut_number(cell);
                place.whole = std::max(place.whole, c.type.width(face_of(column), cut.whole));
                place.rest = std::max(place.rest, c.type.width(face_of(column), cut.rest));
            } else {
                // A short name among numbers counts; a longer one finds room to its left.
                const float wide = c.type.width(face_of(column), cell);
                if (!column.number || wide < c.mm(16)) place.width = std::max(place.width, wide);
            }
        }
        place.width = std::max(place.width, place.whole + place.rest) + 1;
        (column.number ? numbers : texts) += place.width;
        out.columns.push_back(place);
    }
    const float room = width - gap * static_cast<float>(std::max<std::size_t>(1, out.columns.size()) - 1);
    // Text wraps to two lines and shrinks a little; beyond that the columns are stacked.
    const float left = room - numbers;
    out.stacked = !compact && numbers + texts > room && left < c.mm(30);
    if (numbers + texts > room) {
        // The widest texts give way first.
        float most = left;
        const auto with = [&](float limit) {
            float sum = 0;
            for (std::size_t i = 0; i < out.columns.size(); ++i)
                if (!table.columns[i].number) sum += std::min(out.columns[i].width, limit);
            return sum;
        };
        while (most > c.mm(8) && with(most) > left) most *= 0.97f;
        for (std::size_t i = 0; i < out.columns.size(); ++i)
            if (!table.columns[i].number) out.columns[i].width = std::min(out.columns[i].width, most);
    } else if (!out.columns.empty() && !table.columns[0].number) {
        // Spare room goes between the columns, not to one of them.
        const float spare = room - numbers - texts;
        const float each = std::min(c.mm(12), spare / static_cast<float>(out.columns.size()));
        for (ColumnPlace& place : out.columns) place.width += each;
    }
    float x = 0;
    for (ColumnPlace& place : out.columns) {
        place.x = x;
        x += place.width + gap;
    }
    return out;
}

std::string all_but_first(const Item& line) {
    std::string all;
    for (std::size_t i = 1; i < line.cells.size(); ++i)
        if (!line.cells[i].empty()) all += (all.empty() ? "" : " · ") + line.cells[i];
    return all;
}

float line_height(const Canvas& c, const PageTable& table, const TableLayout& layout, const Item& line,
                  float width) {
    const float letters = c.type.cap(Face::body) + c.type.tail(Face::body);
    if (layout.compact) {
        const float one_line = letters + c.mm(line.kind == LineKind::section ? 1.8f : 1.0f);
        if (is_whole(line) || table.columns.empty() || line.cells.empty()) return one_line;
        // A name that does not fit takes two lines, at the smallest letters that are allowed.
        const Face face = face_of(table.columns[0]);
        const Lines name = c.type.wrap(face, line.cells[0], layout.columns[0].width, c.floor_scale(face));
        return name.count > 1 ? std::max(one_line, c.type.height(face, name) + c.mm(1.4f)) : one_line;
    }
    const float pitch =
        line.tap ? c.by_pointer(tapped_mm, tapped_by_mouse_mm) : c.by_pointer(plain_mm, plain_by_mouse_mm);
    const float least = std::max(pitch, letters + c.by_pointer(3.2f, 2.0f));
    if (line.kind == LineKind::section) return std::max(c.mm(8), c.type.cap(Face::bold) + c.mm(5));
    if (is_whole(line)) {
        const Face face = line.kind == LineKind::note ? Face::body : Face::bold;
        return std::max(least, c.type.height(face, line.cells[0], width) + c.mm(3.2f));
    }
    if (layout.stacked)
        return std::max(least, c.type.height(Face::bold, line.cells[0], width) +
                                   c.type.height(Face::body, all_but_first(line), width) + c.mm(5));
    float tall = least;
    for (std::size_t i = 0; i < line.cells.size() && i < layout.columns.size(); ++i) {
        const bool one_line = table.columns[i].cut || table.columns[i].number;
        if (one_line || line.cells[i].empty()) continue;
        const Lines lines = c.type.wrap(face_of(table.columns[i]), line.cells[i], layout.columns[i].width);
        if (lines.count > 1) tall = std::max(tall, c.type.height(face_of(table.columns[i]), lines) + c.mm(3));
    }
    return tall;
}

float head_height(const Canvas& c, const PageTable& table, const TableLayout& layout) {
    const bool named = std::any_of(table.columns.begin(), table.columns.end(),
                                   [](const PageTable::Column& column) { return !column.name.empty(); });
    if (!named || layout.stacked) return 0;
    const float words = c.type.cap(Face::small) + c.mm(3.4f);
    return can_be_sorted(table) ? std::max(words, c.by_pointer(tapped_mm, tapped_by_mouse_mm)) : words;
}

TableSheets sheets_of(const Canvas& c, const PageTable& table, float width, Beside beside) {
    TableSheets out;
    out.gap = c.mm(beside.gap_mm);
    out.width = width;
    const std::span<const Item> all = table.lines;
    out.lines[0] = all;
    const float half = (width - out.gap) / 2;
    if (!table.sections_beside || !fits_twice(c, width, beside)) return out;
    // The section that begins nearest to the middle begins the second column.
    std::size_t best = 0;
    const auto off = [&](std::size_t i) { return std::max(i, all.size() - i); };
    for (std::size_t i = 1; i < all.size(); ++i)
        if (all[i].kind == LineKind::section && (best == 0 || off(i) < off(best))) best = i;
    if (best == 0) return out;
    out.lines = {all.subspan(0, best), all.subspan(best)};
    out.width = half;
    out.count = 2;
    return out;
}

bool has_room_beside(const Canvas& c, float width) {
    return fits_twice(c, width, under_a_drawing);
}

// As many words as fit on one line, and "…".
std::string cut_to(const Canvas& c, Face face, const std::string& text, float room) {
    constexpr std::string_view more = "…";
    std::string all = text;
    while (c.type.width(face, all) > room) {
        if (all.ends_with(more)) all.resize(all.size() - more.size());
        while (all.ends_with(' ')) all.pop_back();
        const std::size_t at = all.rfind(' ');
        if (at != std::string::npos && at > 0) {
            all.resize(at + 1);
        } else {
            // One word: letters, whole ones.
            do {
                if (all.empty()) return std::string(more);
                all.pop_back();
            } while (!all.empty() && (static_cast<unsigned char>(all.back()) & 0xC0) == 0x80);
        }
        all += more;
    }
    return all;
}

}  // namespace restand
