// The page from top to bottom: title, drawing, tables, cautions, foot. Text as large as fits.

#include "app/print/sheet_pdf.h"

#include <algorithm>
#include <array>

#include "app/print/sheet_drawing.h"
#include "app/widgets/font_data.h"

namespace restand {
namespace paper {
namespace {

// In order: large text with much space to write; what a full baseline needs; 3 mm, the smallest readable at
// arm's length.
constexpr std::array fits{Fit{4.0, 1.75, 90}, Fit{4.0, 1.5, 84},   Fit{4.0, 1.4, 76},  Fit{3.75, 1.75, 84},
                          Fit{3.75, 1.5, 76}, Fit{3.75, 1.4, 72},  Fit{3.5, 1.6, 76},  Fit{3.5, 1.45, 72},
                          Fit{3.5, 1.35, 70}, Fit{3.25, 1.35, 66}, Fit{3.0, 1.35, 60}, Fit{3.0, 1.2, 45}};
constexpr double line_pitch = 1.25, part_gap = 3.5;
constexpr double least_unbroken = 3.5;  // mm; smaller text costs more than a broken line

struct Texts {  // of the whole width
    std::vector<std::string> title, subtitle, cautions, foot;
    Type title_type, subtitle_type, caution_type, foot_type;
    double head = 0, foot_height = 0, cautions_height = 0;
};

double lines_height(const std::vector<std::string>& lines, Type type) {
    return static_cast<double>(lines.size()) * line_pitch * type.size;
}

Texts texts_of(const Ink& ink, const SheetPage& page, double width, const Fit& fit) {
    Texts t;
    t.title_type = {1.7 * fit.size, true};
    t.subtitle_type = {fit.size, false};
    t.caution_type = {small_size(fit), false};
    t.foot_type = {3, false};
    t.title = ink.wrapped(page.title, t.title_type, width);
    if (!page.subtitle.empty()) t.subtitle = ink.wrapped(page.subtitle, t.subtitle_type, width);
    for (const std::string& caution : page.cautions)
        for (std::string& line : ink.wrapped(caution, t.caution_type, width - 4 - 3))
            t.cautions.push_back(std::move(line));
    if (!page.foot.empty()) t.foot = ink.wrapped(page.foot, t.foot_type, width);
    t.head = lines_height(t.title, t.title_type) + lines_height(t.subtitle, t.subtitle_type) + 2;
    t.cautions_height = t.cautions.empty() ? 0 : lines_height(t.cautions, t.caution_type) + 3;
    t.foot_height = t.foot.empty() ? 0 : lines_height(t.foot, t.foot_type) + 1.5;
    return t;
}

void write_lines(Ink& ink, const std::vector<std::string>& lines, double x, double y, Type type) {
    for (const std::string& line : lines) {
        ink.text(x, y + 0.95 * type.size, line, type);
        y += line_pitch * type.size;
    }
}

void draw_row(Ink& ink, const PlacedRow& placed, double x0, double y0, double width) {
    const RowLayout& row = placed.row;
    const double x = x0 + placed.x, y = y0 + placed.y, below = y + row.h;
    for (const CellLayout& cell : row.cells) {
        const double pitch = wrapped_pitch * cell.type.size;
        const double more = static_cast<double>(cell.lines.size() - 1) * pitch;
        // In a line to write on the text stands in the middle; notes and heads stand on what follows them.
        const double last = row.kind == RowLayout::Kind::line ? y + (row.h + more) / 2 + 0.36 * cell.type.size
                                                              : below - 0.42 * cell.type.size;
        double base = last - more;
        for (const std::string& line : cell.lines) {
            const double w = cell.right ? ink.width(line, cell.type) : 0;
            ink.text(x + (cell.right ? cell.x + cell.w - w : cell.x), base, line, cell.type);
            base += pitch;
        }
    }
    if (row.box) {
        const double side = std::min(box_side, row.h - 1.2);
        ink.box({x + 0.3, y + (row.h - side) / 2, side, side}, narrow_line * 1.4);
    }
    const bool head = row.kind == RowLayout::Kind::title;
    if (row.kind != RowLayout::Kind::note)
        ink.line(std::array{PaperSpot{x, below}, PaperSpot{x + width, below}},
                 head ? PaperLine::Pen::wide : PaperLine::Pen::narrow, Colour::black);
    if (row.blank_w > 0)
        ink.line(std::array{PaperSpot{x + row.blank_x - 1, y}, PaperSpot{x + row.blank_x - 1, below}},
                 PaperLine::Pen::narrow, Colour::black);
}

void draw_cautions(Ink& ink, const Texts& t, const Box& box) {
    ink.box(box, wide_line);
    write_lines(ink, t.cautions, box.x + 3.5, box.y + 1.2, t.caution_type);
}

// Result of one layout attempt; `too_long`: the table without room.
struct Plan {
    Texts texts;
    Placed tables;
    double drawing = 0;
};

Plan plan_of(const Ink& ink, const SheetPage& page, const Box& area, const Fit& fit) {
    Plan plan{texts_of(ink, page, area.w, fit), {}, 0};
    const Texts& t = plan.texts;
    const bool drawn = !page.drawing.empty();
    const double least = drawn ? std::max(fit.drawing, tags_height(page, fit)) + part_gap : 0;
    const double ends = t.head + t.foot_height + (t.cautions_height > 0 ? t.cautions_height + part_gap : 0);
    const double room = area.h - ends - least - part_gap;
    plan.tables = place_tables(ink, page.tables, area.w, std::max(0.0, room), fit);
    if (page.tables.empty() && room < 0) plan.tables.all = false;
    if (drawn)
        plan.drawing =
            std::min(full_height(ink, page, area.w, fit), room + least - part_gap - plan.tables.height);
    return plan;
}

void draw_page(Ink& ink, const SheetPage& page, const Box& area, const Fit& fit, const Plan& plan) {
    const Texts& t = plan.texts;
    double y = area.y;
    write_lines(ink, t.title, area.x, y, t.title_type);
    y += lines_height(t.title, t.title_type);
    write_lines(ink, t.subtitle, area.x, y, t.subtitle_type);
    y = area.y + t.head;
    ink.line(std::array{PaperSpot{area.x, y}, PaperSpot{area.right(), y}}, PaperLine::Pen::wide,
             Colour::black);
    y += part_gap;
    if (plan.drawing > 0) {
        draw(ink, page, {area.x, y, area.w, plan.drawing}, fit);
        y += plan.drawing + part_gap;
    }
    for (const PlacedRow& row : plan.tables.rows) draw_row(ink, row, area.x, y, plan.tables.column_width);
    const double foot = area.bottom() - t.foot_height;
    if (t.cautions_height > 0)
        draw_cautions(
            ink, t,
            {area.x + wide_line / 2, foot - t.cautions_height, area.w - wide_line, t.cautions_height});
    write_lines(ink, t.foot, area.x, foot + 1.5, t.foot_type);
}

}  // namespace
}  // namespace paper

Result<std::string> sheet_pdf(const SheetPage& page, Paper paper, const PaperFaces& faces) {
    Result<paper::Ink> ink = paper::Ink::open(paper, faces);
    if (!ink) return ink.error();
    const paper::Box sheet = paper::page_box(paper);
    const paper::Box area{paper::margin, paper::margin, sheet.w - 2 * paper::margin,
                          sheet.h - 2 * paper::margin};
    // The largest text that fits; somewhat smaller where that spares broken lines.
    const paper::Fit* chosen = nullptr;
    int broken = 0;
    std::string too_long;
    for (const paper::Fit& fit : paper::fits) {
        if (chosen && (broken == 0 || fit.size < paper::least_unbroken)) break;
        const paper::Placed tables = paper::plan_of(*ink, page, area, fit).tables;
        too_long = tables.too_long;
        if (!tables.all || (chosen && tables.broken >= broken)) continue;
        chosen = &fit;
        broken = tables.broken;
    }
    if (!chosen) return Error{ErrorCode::too_large, too_long.empty() ? "page" : too_long, "one page"};
    paper::draw_page(*ink, page, area, *chosen, paper::plan_of(*ink, page, area, *chosen));
    return ink->close(page.title, page.made_ms);
}

Result<std::string> print(const SheetPage& page, Paper paper) {
    return sheet_pdf(page, paper, {b612_regular(), b612_bold()});
}

}  // namespace restand
