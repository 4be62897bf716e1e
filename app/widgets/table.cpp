#include "app/widgets/table.h"

#include <algorithm>
#include <array>
#include <span>

#include "app/widgets/key.h"
#include "app/widgets/row_columns.h"

namespace restand {
namespace {

using Item = PageTable::Line;
using LineKind = PageTable::Line::Kind;

constexpr float table_gap_mm = 2.1f, table_key_mm = 12.1f, table_primary_mm = 15.2f, table_margin_mm = 2.6f,
                column_gap_mm = 4.0f;
// Line pitch; a tapped line's target is 2 mm less.
constexpr float tapped_mm = 8.1f, tapped_by_mouse_mm = 6.3f, plain_mm = 6.3f, plain_by_mouse_mm = 5.4f;

constexpr float sheet_gap_mm = 8, under_gap_mm = 5,
                under_mm = 46;  // between two columns of lines; least width under a drawing

struct ColumnPlace {
    float x = 0, width = 0, whole = 0, rest = 0;  // of a number column: digits before and after its point
};

// Column places in one width; stacked: too narrow for them, so the cells stand under the first one.
struct Layout {
    std::vector<ColumnPlace> columns;
    bool stacked = false;
    bool compact = false;  // lines as close as their letters allow
};

Face face_of(const PageTable::Column& column) {
    return column.bold ? Face::bold : Face::body;
}

bool is_whole(const Item& line) {
    return line.cells.size() == 1;
}

// What each column would like; a text column that is too wide gives way to the others.
Layout layout_of(const Canvas& c, const PageTable& table, std::span<const Item> lines, float width,
                 bool compact = false) {
    Layout out;
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

std::string joined(const Item& line) {
    std::string all;
    for (std::size_t i = 1; i < line.cells.size(); ++i)
        if (!line.cells[i].empty()) all += (all.empty() ? "" : " · ") + line.cells[i];
    return all;
}

float line_height(const Canvas& c, const PageTable& table, const Layout& layout, const Item& line,
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
                                   c.type.height(Face::body, joined(line), width) + c.mm(5));
    float tall = least;
    for (std::size_t i = 0; i < line.cells.size() && i < layout.columns.size(); ++i) {
        const bool one_line = table.columns[i].cut || table.columns[i].number;
        if (one_line || line.cells[i].empty()) continue;
        const Lines lines = c.type.wrap(face_of(table.columns[i]), line.cells[i], layout.columns[i].width);
        if (lines.count > 1) tall = std::max(tall, c.type.height(face_of(table.columns[i]), lines) + c.mm(3));
    }
    return tall;
}

Colour cell_ink(const Canvas& c, const Item& line, const PageTable::Column& column) {
    if (line.kind == LineKind::quiet) return c.text_of(Ink::quiet);
    if (line.kind == LineKind::changed && column.bold) return c.text_of(Ink::now);
    return c.text_of(column.ink);
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

void draw_cells(Canvas& c, const PageTable& table, const Layout& layout, const Item& line, const Rect& area) {
    for (std::size_t i = 0; i < line.cells.size() && i < layout.columns.size(); ++i) {
        const PageTable::Column& column = table.columns[i];
        const ColumnPlace& place = layout.columns[i];
        const Rect room{area.x + place.x, area.y, place.width, area.h};
        const Colour ink = cell_ink(c, line, column);
        if (column.cut) {
            const std::string shown = cut_to(c, face_of(column), line.cells[i], room.w);
            if (shown != line.cells[i]) c.hint(line.id, line.cells[i]);
            c.line_in(face_of(column), shown, room, ink);
        } else if (!column.number) {
            c.block_in(face_of(column), line.cells[i], room, ink, Align::left);
        } else if (is_number(line.cells[i])) {
            const float baseline = room.middle_y() + c.type.cap(face_of(column)) / 2;
            draw_at_point(c, face_of(column), line.cells[i], room.right() - place.rest, place.rest, baseline,
                          ink);
        } else {
            // A name among numbers reaches to the left, up to the cell before it.
            float from = area.x + c.type.width(Face::body, line.cells[0]) + c.mm(3);
            for (std::size_t k = 1; k < i; ++k)
                if (!line.cells[k].empty())
                    from = area.x + layout.columns[k].x + layout.columns[k].width + c.mm(1.5f);
            from = std::min(from, room.x);
            c.block_in(face_of(column), line.cells[i], {from, room.y, room.right() - from, room.h}, ink,
                       Align::right);
        }
    }
}

void draw_table_line(Canvas& c, const PageTable& table, const Layout& layout, const Item& line,
                     const Rect& area) {
    if (line.kind == LineKind::section) {
        const float baseline = area.bottom() - c.mm(1.8f);
        c.text(Face::bold, line.cells[0], area.x, baseline, c.text_of(Ink::ink));
        c.line(area.x, area.bottom(), area.right(), area.bottom(), c.line_of(Ink::ink), 0.25f);
        return;
    }
    const Rect target = area.inset(0, c.by_pointer(1.0f, 0.1f));
    if (line.tap && c.touch(line.id, target, tapped_mm - 2.1f, line.tap)) c.fill(target, c.paper.tint, 0.4f);
    const Canvas::Inside inside(c, line.id.empty() ? "line" : line.id, area);
    if (is_whole(line)) {
        const Ink ink = line.kind == LineKind::changed ? Ink::now : Ink::ink;
        c.block_in(line.kind == LineKind::note ? Face::body : Face::bold, line.cells[0], area, c.text_of(ink),
                   Align::left);
    } else if (layout.stacked) {
        const float top = area.y + c.mm(1.6f);
        const float used = c.paragraph(Face::bold, line.cells[0], area.x, top, area.w,
                                       c.text_of(line.kind == LineKind::quiet ? Ink::quiet : Ink::ink));
        c.paragraph(Face::body, joined(line), area.x, top + used + c.mm(1.2f), area.w,
                    c.text_of(line.kind == LineKind::changed ? Ink::now : Ink::quiet));
    } else {
        draw_cells(c, table, layout, line, area);
    }
    c.line(area.x, area.bottom(), area.right(), area.bottom(), c.paper.hair, 0.1f);
}

bool can_be_sorted(const PageTable& table) {
    return std::any_of(table.columns.begin(), table.columns.end(),
                       [](const PageTable::Column& column) { return column.sort.has_value(); });
}

float head_height(const Canvas& c, const PageTable& table, const Layout& layout) {
    const bool named = std::any_of(table.columns.begin(), table.columns.end(),
                                   [](const PageTable::Column& column) { return !column.name.empty(); });
    if (!named || layout.stacked) return 0;
    const float words = c.type.cap(Face::small) + c.mm(3.4f);
    return can_be_sorted(table) ? std::max(words, c.by_pointer(tapped_mm, tapped_by_mouse_mm)) : words;
}

// A triangle beside the name: up where the values rise downwards, as steps do; both, thin, where it can be sorted.
void draw_sorted(Canvas& c, PageTable::Column::Sorted sorted, float x, float baseline) {
    using Sorted = PageTable::Column::Sorted;
    const float side = c.type.cap(Face::small), top = baseline - side, half = side * 0.6f;
    const float gap = side * 0.12f, middle = (top + baseline) / 2;
    if (sorted == Sorted::rising)
        c.triangle({x, baseline}, {x + half, top}, {x + 2 * half, baseline}, c.line_of(Ink::ink));
    else if (sorted == Sorted::falling)
        c.triangle({x, top}, {x + half, baseline}, {x + 2 * half, top}, c.line_of(Ink::ink));
    else
        for (const float way : {-1.0f, 1.0f}) {
            const float from = middle + way * gap, to = middle + way * side / 2;
            c.triangle({x + half * 0.4f, from}, {x + half, to}, {x + half * 1.6f, from},
                       c.line_of(Ink::quiet));
        }
}

void draw_table_head(Canvas& c, const PageTable& table, const Layout& layout, float x, float width,
                     float bottom) {
    for (std::size_t i = 0; i < table.columns.size(); ++i) {
        const PageTable::Column& column = table.columns[i];
        const ColumnPlace& place = layout.columns[i];
        const float baseline = bottom - c.mm(1.6f), scale = c.type.fit(Face::small, column.name, place.width);
        const float words = c.type.width(Face::small, column.name) * scale;
        const float left = x + (column.number ? place.x + place.width - words : place.x);
        c.text(Face::small, column.name, left, baseline, c.text_of(column.ink), Align::left, scale);
        if (!column.sort) continue;
        const float mark = c.type.cap(Face::small) * 1.2f + c.mm(0.8f);
        // Beside the name where the column has room for it, else on the side of the gap.
        draw_sorted(c, column.sorted, column.number ? left - mark : left + words + c.mm(0.8f), baseline);
        const float tall = c.by_pointer(tapped_mm, tapped_by_mouse_mm) - c.by_pointer(2.0f, 0.2f);
        const Rect target{std::min(left, x + place.x), bottom - c.by_pointer(1, 0.1f) - tall,
                          std::max(place.width, words + mark), tall};
        c.touch("sort:" + std::to_string(i), target, tapped_mm - 2.1f, column.sort);
    }
    c.line(x, bottom, x + width, bottom, c.line_of(Ink::ink), 0.25f);
}

// The lines in one or two columns of sections.
struct Sheets {
    std::array<std::span<const Item>, 2> lines;
    float width = 0, gap = 0;
    std::size_t count = 1;
};

Sheets sheets_of(const Canvas& c, const PageTable& table, float width, float least_mm = 84) {
    Sheets out;
    out.gap = c.mm(least_mm == under_mm ? under_gap_mm : sheet_gap_mm);
    out.width = width;
    const std::span<const Item> all = table.lines;
    out.lines[0] = all;
    const float half = (width - out.gap) / 2;
    const float letters = c.type.cap(Face::body) / c.mm(cap_height_mm(Face::body));
    const float room = (width - c.mm(sheet_gap_mm)) / 2;
    if (!table.sections_beside || room < c.mm(least_mm) * letters) return out;
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

// The height of all lines; in a dry draw nothing else happens.
float draw_table_lines(Canvas& c, const PageTable& table, const Layout& layout, const Sheets& sheets, float x,
                       float top) {
    float tallest = 0;
    for (std::size_t k = 0; k < sheets.count; ++k) {
        float y = top;
        const float left = x + static_cast<float>(k) * (sheets.width + sheets.gap);
        for (const Item& line : sheets.lines[k]) {
            const float tall = line_height(c, table, layout, line, sheets.width);
            draw_table_line(c, table, layout, line, {left, y, sheets.width, tall});
            y += tall;
        }
        tallest = std::max(tallest, y - top);
    }
    return tallest;
}

// Keys beside each other, as wide as their words; those that do not fit go to the next row. Their height.
float draw_keys(Canvas& c, std::span<const PageTable::Key> keys, float left, float top, float width) {
    const float gap = c.mm(table_gap_mm);
    const float tall = std::max(c.by_pointer(table_key_mm, 9), c.type.cap(Face::bold) + c.by_pointer(6, 4));
    float x = left, y = top;
    for (const PageTable::Key& one : keys) {
        const float wide = std::min(width, std::max(c.mm(14), c.type.width(Face::bold, one.label) + c.mm(6)));
        if (x > left && x + wide > left + width + 1) x = left, y += tall + gap;
        key(c, one.id, {x, y, wide, tall}, one.label, one.tap, {.chosen = one.chosen});
        x += wide + gap;
    }
    return keys.empty() ? 0 : y + tall - top;
}

// What is left for foot or notice: beside the keys at the bottom, or above them where the page is narrow.
Rect draw_bottom(Canvas& c, const PageTable& table, const Primary& primary, const Rect& in) {
    const float gap = c.mm(table_gap_mm),
                key_tall = std::max(c.mm(table_primary_mm), c.type.cap(Face::bold) + c.mm(6));
    const float wide = std::min({in.w, std::max(c.mm(62), in.w * 0.36f), c.mm(110)});
    const float tall = primary.label.empty() ? key_tall : primary_height(c, primary, wide);
    float right = in.right(), top = in.bottom() - tall;
    if (!primary.label.empty()) {
        draw_primary(c, primary, {right - wide, top, wide, tall});
        right -= wide + gap;
    }
    c.place = Region::panel;
    for (const PageTable::Key& one : table.more) {
        const float across =
            std::min(in.w, std::max(c.mm(20), c.type.width(Face::bold, one.label) + c.mm(6)));
        if (right - across < in.x) {
            top -= key_tall + gap;
            right = in.right();
        }
        const float y = top < in.bottom() - tall ? top : in.bottom() - key_tall;
        key(c, one.id, {right - across, y, across, key_tall}, one.label, one.tap);
        right -= across + gap;
    }
    // The foot's words, or a notice: beside the keys where there is room for them.
    const auto words = [&](float width) {
        const float least = c.floor_scale(Face::small);
        return c.type.height(Face::small, c.type.wrap(Face::small, table.foot, std::max(1.0f, width), least));
    };
    const float beside = right - in.x - gap;
    if (beside > c.mm(52) && words(beside) < key_tall) return {in.x, top, beside, std::min(tall, key_tall)};
    const float above = std::max(key_tall, words(in.w) + c.mm(1));
    return {in.x, top - gap - above, in.w, above};
}

}  // namespace

Rect draw_table_page(Canvas& c, const PageTable& table, const Primary& primary, const Rect& area,
                     SidePanelUi& ui, bool notice) {
    c.place = Region::panel;
    draw_paper(c, area);
    c.note(Drawn::Kind::panel, "panel", area);
    const Canvas::Inside inside(c, "panel", area);
    const Rect in = area.inset(c.mm(table_margin_mm));
    const float gap = c.mm(table_gap_mm);
    float top = in.y, keys = 0;
    {
        const Canvas::Dry dry(c);
        keys = draw_keys(c, table.keys, in.x, top, in.w) + (table.keys.empty() ? 0 : gap);
    }
    // Large letters on a small screen: the filters scroll with the lines.
    const bool keys_scroll = keys > 0.34f * in.h;
    if (!keys_scroll) {
        draw_keys(c, table.keys, in.x, top, in.w);
        top += keys;
        keys = 0;
    }
    const Rect foot = draw_bottom(c, table, primary, in);
    if (!notice) c.block_in(Face::small, table.foot, foot, c.text_of(Ink::quiet), Align::left);
    const float bottom = foot.y - gap;

    float width = in.w;
    Sheets sheets = sheets_of(c, table, width);
    Layout layout = layout_of(c, table, table.lines, sheets.width);
    const float head = head_height(c, table, layout);
    ui.window = {in.x, top + head, in.w, std::max(0.0f, bottom - top - head)};
    const auto measure = [&] {
        const Canvas::Dry dry(c);
        ui.content = keys + draw_table_lines(c, table, layout, sheets, in.x, 0);
    };
    measure();
    if (ui.scrolls()) {
        width -= c.mm(3);
        sheets = sheets_of(c, table, width);
        layout = layout_of(c, table, table.lines, sheets.width);
        measure();
    }
    scroll(ui, 0);
    if (head > 0)
        for (std::size_t k = 0; k < sheets.count; ++k)
            draw_table_head(c, table, layout, in.x + static_cast<float>(k) * (sheets.width + sheets.gap),
                            sheets.width, top + head);
    const Rect window = ui.window.inset(-c.mm(1.4f), 0);
    const Canvas::Clip clip(c, window, ui.scrolls());
    const Canvas::Inside rows(c, "panel", ui.scrolls() ? Rect{window.x, -1e6f, window.w, 2e6f} : area);
    if (keys_scroll) draw_keys(c, table.keys, in.x, top + head - ui.scroll, width);
    draw_table_lines(c, table, layout, sheets, in.x, top + head + keys - ui.scroll);
    if (ui.scrolls()) draw_scroll_mark(c, ui, in.right() - c.mm(0.4f));
    return foot;
}

bool has_room_beside(const Canvas& c, float width) {
    const float letters = c.type.cap(Face::body) / c.mm(cap_height_mm(Face::body));
    return (width - c.mm(sheet_gap_mm)) / 2 >= c.mm(under_mm) * letters;
}

void draw_table_under(Canvas& c, const PageTable& table, const Rect& area) {
    c.place = Region::panel;
    c.note(Drawn::Kind::panel, "table", area);
    const Canvas::Inside inside(c, "table", area);
    const Sheets sheets = sheets_of(c, table, area.w, under_mm);
    for (std::size_t k = 0; k < sheets.count; ++k) {
        const float left = area.x + static_cast<float>(k) * (sheets.width + sheets.gap);
        const Layout layout = layout_of(c, table, sheets.lines[k], sheets.width, true);
        const float head = head_height(c, table, layout);
        float y = area.y + head;
        if (head > 0) draw_table_head(c, table, layout, left, sheets.width, y);
        for (const Item& line : sheets.lines[k]) {
            const float tall = line_height(c, table, layout, line, sheets.width);
            // Room for the sentence that there is more, unless this is the last one.
            const float words = c.type.cap(Face::small) + c.type.tail(Face::small) + c.mm(1);
            const float after = &line == &sheets.lines[k].back() ? 0 : words;
            if (y + tall + after > area.bottom() + 1) {
                c.text(Face::small, "more under 'Baselines'", left, y + c.mm(0.6f) + c.type.cap(Face::small),
                       c.text_of(Ink::quiet));
                break;
            }
            draw_table_line(c, table, layout, line, {left, y, sheets.width, tall});
            y += tall;
        }
    }
}

}  // namespace restand
