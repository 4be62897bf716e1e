#include "app/widgets/side_panel.h"

#include <algorithm>

#include "app/widgets/key.h"
#include "app/widgets/rows.h"

namespace restand {
namespace {

float cautions_height(const Canvas& c, const SidePanel& panel, float width) {
    float tall = 0;
    for (const auto& caution : panel.cautions)
        tall += c.type.height(Face::small, caution, width) + c.mm(1.2f);
    return tall;
}

float draw_cautions(Canvas& c, const SidePanel& panel, float x, float y, float width) {
    const float top = y;
    for (const auto& caution : panel.cautions) {
        y += c.paragraph(Face::small, caution, x, y, width, c.text_of(Ink::quiet)) + c.mm(1.2f);
    }
    return y - top;
}

// The first words of the first caution; all of it stands below the rows.
void draw_caution_begun(Canvas& c, const SidePanel& panel, float x, float y, float width) {
    constexpr std::string_view more = " … all below";
    std::string said = panel.cautions.front();
    while (!said.empty() && c.type.width(Face::small, said + std::string(more)) > width) {
        const std::size_t at = said.rfind(' ');
        said.resize(at == std::string::npos ? 0 : at);
    }
    said += more;
    c.line_in(Face::small, said, {x, y, width, c.type.cap(Face::small) + 2 * c.type.tail(Face::small)},
              c.text_of(Ink::stop));
}

}  // namespace

// Scroll indicator; drawn only when the rows do not all fit.
void draw_scroll_mark(Canvas& c, const SidePanelUi& ui, float x) {
    const Rect& w = ui.window;
    const float share = w.h / ui.content, tall = std::max(c.mm(8), w.h * share);
    const float y = w.y + (w.h - tall) * ui.scroll / std::max(1.0f, ui.content - w.h);
    c.line(x, w.y, x, w.bottom(), c.paper.hair, 0.1f);
    c.fill({x - c.mm(0.6f), y, c.mm(1.2f), tall}, c.line_of(Ink::quiet), 0.6f);
}

void scroll(SidePanelUi& ui, float dy) {
    ui.scroll = std::clamp(ui.scroll + dy, 0.0f, std::max(0.0f, ui.content - ui.window.h));
}

bool bring_into_sight(SidePanelUi& ui, const Rect& target, float margin) {
    const Rect& w = ui.window;
    const float before = ui.scroll;
    if (target.y < w.y)
        scroll(ui, target.y - w.y - margin);
    else if (target.bottom() > w.bottom())
        scroll(ui, target.bottom() - w.bottom() + margin);
    return ui.scroll != before;
}

void draw_paper(Canvas& c, const Rect& area) {
    const float lift = c.mm(0.9f);
    c.fill({area.x + lift, area.y + lift, area.w, area.h}, c.paper.shadow, 0.5f);
    c.fill(area, c.paper.panel, 0.5f);
    c.frame(area, c.line_of(Ink::ink), 0.25f, 0.5f);
}

void draw_side_panel(Canvas& c, const SidePanel& panel, const Primary& primary, const Rect& area,
                     SidePanelUi& ui, const SidePanelLook& look) {
    c.place = Region::panel;
    draw_paper(c, area);
    c.note(Drawn::Kind::panel, "panel", area);
    const Canvas::Inside inside(c, "panel", area);
    const float margin = c.mm(3.2f), gap = c.mm(2.2f);
    const Rect in = area.inset(margin);

    float top = in.y + c.mm(0.6f), bottom = in.bottom();
    if (!panel.title.empty()) {
        top += c.paragraph(Face::head, panel.title, in.x, top, in.w, c.text_of(Ink::ink)) + c.mm(2.4f);
    }
    float rows_width = in.w;
    if (look.primary && !primary.label.empty()) {
        const float wide = std::min(in.w, look.widest_primary), tall = primary_height(c, primary, wide);
        draw_primary(c, primary, {in.right() - wide, bottom - tall, wide, tall});
        // A low, wide panel: the rows stand beside the primary.
        if (look.flows && in.h < c.mm(75) && in.w > 2 * wide)
            rows_width = in.w - wide - c.mm(6);
        else
            bottom -= tall + gap;
    }
    // Cautions stand above the primary while that leaves the rows most of the room; else they are the last
    // rows.
    const bool cautions = look.cautions && !panel.cautions.empty();
    const float words = cautions ? cautions_height(c, panel, rows_width) : 0;
    const bool fixed = words < 0.3f * (bottom - top);
    if (cautions && fixed) {
        bottom -= words;
        draw_cautions(c, panel, in.x, bottom, rows_width);
        bottom -= gap;
    } else if (cautions) {
        // The beginning always stays in sight.
        bottom -= c.type.cap(Face::small) + c.type.tail(Face::small);
        draw_caution_begun(c, panel, in.x, bottom, rows_width);
        bottom -= gap;
    }

    // Another list begins at its top. One that stays, stays where it is under another title.
    const std::string& list = panel.list.empty() ? panel.title : panel.list;
    if (ui.title != list) ui.scroll = 0;
    ui.title = list;
    ui.window = {in.x, top, rows_width, std::max(0.0f, bottom - top)};
    const auto draw_all = [&](float y, float width) {
        const RowsLook rows{.flows = look.flows, .wide_panel = panel.wide};
        float tall = draw_rows(c, panel.rows, in.x, y, width, rows);
        if (cautions && !fixed) tall += gap + draw_cautions(c, panel, in.x, y + tall + gap, width);
        return tall;
    };
    float width = rows_width;
    {
        const Canvas::Dry dry(c);
        ui.content = draw_all(top, width);
        if (ui.scrolls()) {
            width -= c.mm(3);
            ui.content = draw_all(top, width) + c.mm(1);
        }
    }
    scroll(ui, 0);
    const Rect window = ui.window.inset(-c.mm(1.4f), 0);
    const Canvas::Clip clip(c, window, ui.scrolls());
    // Scrolling rows must fit the column's width; their height is not limited.
    const Rect column = ui.scrolls() ? Rect{window.x, -1e6f, window.w, 2e6f} : area;
    const Canvas::Inside rows(c, "panel", column);
    draw_all(top - ui.scroll, width);
    if (!ui.scrolls()) return;
    draw_scroll_mark(c, ui, in.x + rows_width - c.mm(0.4f));
    if (ui.scroll < ui.content - ui.window.h - 1) {
        c.line(in.x, ui.window.bottom() - 1, in.x + rows_width, ui.window.bottom() - 1, c.line_of(Ink::quiet),
               0.2f);
    }
}

}  // namespace restand
