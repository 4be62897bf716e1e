#include "app/widgets/table.h"

#include <algorithm>
#include <span>

#include "app/widgets/key.h"
#include "app/widgets/row_columns.h"
#include "app/widgets/table_layout.h"

namespace restand {
namespace {

using Item = PageTable::Line;
using LineKind = PageTable::Line::Kind;

constexpr float table_gap_mm = 2.1f, table_key_mm = 12.1f, table_primary_mm = 15.2f, table_margin_mm = 2.6f;

Colour cell_ink(const Canvas& c, const Item& line, const PageTable::Column& column) {
    if (line.kind == LineKind::quiet) return c.text_of(Ink::quiet);
    if (line.kind == LineKind::changed && column.bold) return c.text_of(Ink::now);
    return c.text_of(column.ink);
}

void draw_cells(Canvas& c, const PageTable& table, const TableLayout& layout, const Item& line,
                const Rect& area) {
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

void draw_table_line(Canvas& c, const PageTable& table, const TableLayout& layout, const Item& line,
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
        c.paragraph(Face::body, all_but_first(line), area.x, top + used + c.mm(1.2f), area.w,
                    c.text_of(line.kind == LineKind::changed ? Ink::now : Ink::quiet));
    } else {
        draw_cells(c, table, layout, line, area);
    }
    c.line(area.x, area.bottom(), area.right(), area.bottom(), c.paper.hair, 0.1f);
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

void draw_table_head(Canvas& c, const PageTable& table, const TableLayout& layout, float x, float width,
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

// The lines of one sheet from `top` on. Where they end; in a dry draw nothing else happens.
float draw_sheet(Canvas& c, const PageTable& table, const TableLayout& layout, std::span<const Item> lines,
                 const Rect& from) {
    float y = from.y;
    for (const Item& line : lines) {
        const float tall = line_height(c, table, layout, line, from.w);
        draw_table_line(c, table, layout, line, {from.x, y, from.w, tall});
        y += tall;
    }
    return y;
}

// The sheets beside each other: draw_one(sheet's number, its upper edge) says where it ends. Their height.
template <class DrawOne>
float draw_sheets(const TableSheets& sheets, float x, float top, DrawOne draw_one) {
    float tallest = 0;
    for (std::size_t k = 0; k < sheets.count; ++k) {
        const float left = x + static_cast<float>(k) * (sheets.width + sheets.gap);
        tallest = std::max(tallest, draw_one(k, Rect{left, top, sheets.width, 0}) - top);
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
Rect draw_bottom(Canvas& c, const PageTable& table, const Primary& primary, const Rect& in, bool notice) {
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
    if (!notice && table.foot.empty()) return {in.x, top, in.w, 0};
    const float above = std::max(notice ? key_tall : 0.0f, words(in.w) + c.mm(1));
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
    // Large letters on a small screen: the keys follow the lines and scroll with them.
    const bool keys_scroll = keys > 0.34f * in.h;
    if (!keys_scroll) {
        draw_keys(c, table.keys, in.x, top, in.w);
        top += keys;
        keys = 0;
    } else {
        keys += gap;
    }
    const Rect foot = draw_bottom(c, table, primary, in, notice);
    if (!notice) c.block_in(Face::small, table.foot, foot, c.text_of(Ink::quiet), Align::left);
    const float bottom = foot.y - gap;

    float width = in.w;
    TableSheets sheets = sheets_of(c, table, width, on_a_page);
    TableLayout layout = layout_of(c, table, table.lines, sheets.width);
    const float head = head_height(c, table, layout);
    ui.window = {in.x, top + head, in.w, std::max(0.0f, bottom - top - head)};
    const auto draw_lines = [&](float y) {
        return draw_sheets(sheets, in.x, y, [&](std::size_t k, const Rect& from) {
            return draw_sheet(c, table, layout, sheets.lines[k], from);
        });
    };
    const auto measure = [&] {
        const Canvas::Dry dry(c);
        ui.content = draw_lines(0) + keys;
    };
    measure();
    if (ui.scrolls()) {
        width -= c.mm(3);
        sheets = sheets_of(c, table, width, on_a_page);
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
    const float tall = draw_lines(top + head - ui.scroll);
    if (keys_scroll) draw_keys(c, table.keys, in.x, top + head + tall + gap - ui.scroll, width);
    if (ui.scrolls()) draw_scroll_mark(c, ui, in.right() - c.mm(0.4f));
    return foot;
}

void draw_table_under(Canvas& c, const PageTable& table, const Rect& area, SidePanelUi& ui) {
    c.place = Region::panel;
    c.note(Drawn::Kind::panel, "table", area);
    const Canvas::Inside inside(c, "table", area);
    TableSheets sheets = sheets_of(c, table, area.w, under_a_drawing);
    ui.window = area;
    // Each sheet has columns and a heading of its own.
    const auto draw_all = [&](float y) {
        return draw_sheets(sheets, area.x, y, [&](std::size_t k, Rect from) {
            const TableLayout layout = layout_of(c, table, sheets.lines[k], from.w, true);
            const float head = head_height(c, table, layout);
            from.y += head;
            if (head > 0) draw_table_head(c, table, layout, from.x, from.w, from.y);
            return draw_sheet(c, table, layout, sheets.lines[k], from);
        });
    };
    const auto measure = [&] {
        const Canvas::Dry dry(c);
        ui.content = draw_all(0);
    };
    measure();
    if (ui.scrolls()) {
        sheets = sheets_of(c, table, area.w - c.mm(3), under_a_drawing);
        measure();
    }
    scroll(ui, 0);
    const Canvas::Clip clip(c, area, ui.scrolls());
    const Canvas::Inside rows(c, "table", ui.scrolls() ? Rect{area.x, -1e6f, area.w, 2e6f} : area);
    draw_all(area.y - ui.scroll);
    if (ui.scrolls()) draw_scroll_mark(c, ui, area.right() - c.mm(0.8f));
}

}  // namespace restand
