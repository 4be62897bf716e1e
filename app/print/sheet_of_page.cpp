#include "app/print/sheet_of_page.h"

#include <fmt/format.h>

#include <algorithm>

#include "app/print/sheet_parts.h"
#include "app/views/wording.h"

namespace restand {
namespace {

PaperLabel::Lies lies_of(LabelAt at) {
    switch (at) {
        case LabelAt::left:
            return PaperLabel::Lies::left;
        case LabelAt::middle:
            return PaperLabel::Lies::middle;
        case LabelAt::right:
            return PaperLabel::Lies::right;
    }
    return PaperLabel::Lies::middle;
}

void draw_plot(const Drawing& drawing, SheetPage& page) {
    for (const Stroke& stroke : drawing.strokes) {
        // A band's tint would hide what is below it on paper: its outline is drawn.
        PaperLine line{{}, paper::pen_of(stroke.line), stroke.closed, false};
        for (const Vec2& p : stroke.points) line.points.push_back({p.x, p.y});
        page.drawing.push_back(std::move(line));
    }
    for (const Label& label : drawing.labels)
        page.labels.push_back({{label.at.x, label.at.y}, label.text, lies_of(label.lies)});
    page.low = {drawing.low.x, drawing.low.y};
    page.high = {drawing.high.x, drawing.high.y};
}

// A section begins a table of its own.
void add_table(const PageTable& table, SheetPage& page) {
    std::vector<std::string> head;
    for (const PageTable::Column& column : table.columns) head.push_back(column.name);
    PaperTable paper{"", head, {}};
    const auto keep = [&] {
        if (!paper.lines.empty()) page.tables.push_back(paper);
        paper.lines.clear();
    };
    for (const PageTable::Line& line : table.lines) {
        if (line.kind == PageTable::Line::Kind::section) {
            keep();
            paper.title = line.cells.empty() ? "" : line.cells[0];
        } else {
            paper.lines.push_back(line.cells);
        }
    }
    keep();
}

// Under a plot: the rows that bear numbers.
void add_rows(const std::vector<Row>& rows, SheetPage& page) {
    PaperTable paper;
    const auto keep = [&] {
        if (!paper.lines.empty()) page.tables.push_back(paper);
        paper = {};
    };
    for (const Row& each : rows) {
        if (const auto* heading = std::get_if<row::Heading>(&each)) {
            keep();
            paper.title = heading->text;
        } else if (const auto* head = std::get_if<row::TableHead>(&each)) {
            paper.head = {"", head->will, head->was};
        } else if (const auto* line = std::get_if<row::TableLine>(&each)) {
            paper.lines.push_back({line->label, line->will, line->was});
        } else if (const auto* big = std::get_if<row::Big>(&each)) {
            paper.lines.push_back({big->label, big->value + " " + big->unit, big->from});
        } else if (const auto* step = std::get_if<row::Stepper>(&each)) {
            paper.lines.push_back({step->label, step->value + " " + step->unit, ""});
        } else if (const auto* note = std::get_if<row::Note>(&each)) {
            paper.lines.push_back({note->text});
        }
    }
    keep();
}

}  // namespace

SheetPage sheet_of_page(const PageView& page, std::int64_t made_ms, int utc_offset_min) {
    SheetPage out;
    out.title = page.title;
    out.subtitle = page.table ? page.table->foot : page.panel.title;
    if (page.wide_drawing) {
        draw_plot(page.drawing, out);
        out.subtitle += (out.subtitle.empty() ? "" : " · ") + page.drawing.caption;
        add_rows(page.panel.rows, out);
    }
    if (page.table) add_table(*page.table, out);
    out.cautions = page.panel.cautions;
    out.foot =
        "made " + wording::day(made_ms, utc_offset_min) + " " + wording::clock(made_ms, utc_offset_min);
    out.made_ms = made_ms;
    return out;
}

bool shorten(SheetPage& page) {
    const auto longest = std::max_element(
        page.tables.begin(), page.tables.end(),
        [](const PaperTable& a, const PaperTable& b) { return a.lines.size() < b.lines.size(); });
    if (longest == page.tables.end() || longest->lines.size() < 4) return false;
    const std::size_t leave = (longest->lines.size() + 3) / 4;
    longest->lines.resize(longest->lines.size() - leave);
    page.left_out += leave;
    page.foot = page.foot.substr(0, page.foot.find(" · not on this page")) +
                fmt::format(" · not on this page: {} more lines", page.left_out);
    return true;
}

}  // namespace restand
