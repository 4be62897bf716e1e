#include "app/screens/page_zones.h"

#include <algorithm>
#include <cmath>

#include "app/widgets/drawing.h"
#include "app/widgets/key.h"
#include "app/widgets/pad.h"
#include "app/widgets/ruler.h"
#include "app/widgets/table.h"
#include "app/widgets/table_layout.h"

namespace restand {
namespace {

constexpr float edge_mm = 1.6f, strip_mm = 14.4f, least_drawing_mm = 30;
constexpr float upright_panel = 0.52f, upright_panel_beside_table = 0.58f;  // of the body's height

// Larger letters need a wider side panel, but less than in proportion: rows stack instead.
float panel_width(const Canvas& c, const PageView& view, float whole) {
    const float letters = static_cast<float>(view.text_percent) / 100.0f;
    const bool wide = view.panel.wide && !view.pad;
    const float wish = (wide ? 0.44f : 0.345f) * whole * (letters > 1 ? std::sqrt(letters) : 1.0f);
    const float most = std::max(c.mm(wide ? 130 : 110) * std::max(1.0f, letters), 0.24f * whole);
    return std::clamp(wish, std::min(c.mm(64), 0.5f * whole), std::min(most, 0.48f * whole));
}

// The caption's words, or a notice with its keys; always kept free, so that a notice moves nothing.
float strip_height(const Canvas& c, const PageView& view, float width) {
    const float words = c.type.height(Face::small, view.drawing.caption, width);
    return std::clamp(words + c.mm(1.5f), c.mm(strip_mm), c.mm(24));
}

Rect cut_strip(const Canvas& c, const PageView& view, Rect& from) {
    const float tall = strip_height(c, view, from.w);
    const float gap = c.mm(1.6f);  // a tag above a notice's keys
    from.h -= tall + gap;
    return {from.x, from.bottom() + gap, from.w, tall};
}

// A table under the drawing. Where it leaves too little for a drawing to be read, it stands alone.
void cut_table(const Canvas& c, const PageView& view, Rect& from, Zones& zones) {
    const float letters = c.type.cap(Face::body) + c.type.tail(Face::body) + c.mm(1.0f);
    // Rear and front side by side where there is room (table.cpp), else one below the other.
    const bool beside = view.table->sections_beside && has_room_beside(c, from.w);
    std::size_t longest = 0, here = 0;
    for (const PageTable::Line& line : view.table->lines) {
        here = beside && line.kind == PageTable::Line::Kind::section ? 1 : here + 1;
        longest = std::max(longest, here);
    }
    const float wanted = letters * static_cast<float>(longest) + c.mm(8);
    zones.table_under = true;
    if (from.h - wanted < c.mm(least_drawing_mm)) {
        zones.table = from;
        from.w = 0;
        return;
    }
    from.h -= wanted + c.mm(1.6f);
    zones.table = {from.x, from.bottom() + c.mm(1.6f), from.w, wanted};
}

// Without a drawing the side panel fills the body. A notice stands beside the primary, or under the rows.
void whole_sheet(const Canvas& c, const PageView& view, Rect body, Zones& zones) {
    if (view.table) {
        zones.table = body;
        return;
    }
    zones.panel = body;
    zones.flows = true;
    const Rect in = body.inset(c.mm(3.2f));
    if (!view.primary.label.empty()) {
        zones.widest_primary = std::min(std::max(c.mm(62), in.w * 0.4f), c.mm(110));
        const float tall = c.mm(strip_mm);
        zones.strip = {in.x, in.bottom() - tall, in.w - zones.widest_primary - c.mm(4), tall};
    } else if (view.notice) {
        zones.strip = cut_strip(c, view, zones.panel);
    }
}

}  // namespace

Zones zones_of(const Canvas& c, const PageView& view, const Viewport& viewport) {
    const auto whole_w = static_cast<float>(viewport.width_px),
               whole_h = static_cast<float>(viewport.height_px);
    const float edge = c.mm(edge_mm);
    const bool landscape = whole_w > whole_h, drawn = !is_empty(view.drawing);
    Zones zones;
    zones.title = {0, 0, whole_w, std::max(c.mm(13.4f), c.type.cap(Face::head) + c.mm(6.6f))};
    Rect body{edge, zones.title.bottom() + edge, whole_w - 2 * edge, whole_h - zones.title.h - 2 * edge};
    zones.upright_ruler = landscape;
    if (view.ruler && !view.ruler->marks.empty()) {
        const float size = ruler_size(c, *view.ruler, landscape, body.w);
        if (landscape) {
            zones.ruler = {body.x, body.y, size, body.h};
            body = {body.x + size + c.mm(3), body.y, body.w - size - c.mm(3), body.h};
        } else {
            zones.ruler = {body.x, body.y, body.w, size};
            body = {body.x, body.y + size + c.mm(3), body.w, body.h - size - c.mm(3)};
        }
    }
    if (!view.pad && !drawn) {
        whole_sheet(c, view, body, zones);
        return zones;
    }
    Rect first = body, second = body;  // drawing, then side panel or pad
    const bool plot = view.wide_drawing && !view.pad;
    if (plot) {
        second.h = (landscape ? 0.42f : 0.6f) * body.h;
        second.y = body.bottom() - second.h;
        first.h -= second.h + c.mm(1);
        zones.flows = true;
        zones.widest_primary = landscape ? c.mm(62) : 1e6f;
    } else if (landscape) {
        second.w = view.pad
                       ? std::max(pad_width(c, *view.pad), std::min(panel_width(c, view, whole_w), c.mm(110)))
                       : panel_width(c, view, whole_w);
        second.x = body.right() - second.w;
        first.w -= second.w + c.mm(3);
        // On a small screen the drawing has the ruler's place while a pad is open.
        if (view.pad && first.w < c.mm(least_drawing_mm) && zones.ruler.w > 0) {
            first.w = first.right() - zones.ruler.x;
            first.x = zones.ruler.x;
            zones.ruler = {};
        }
    } else {
        second.h = view.pad ? std::clamp(pad_height(c, *view.pad), 0.5f * body.h, 0.76f * body.h)
                            : (view.table ? upright_panel_beside_table : upright_panel) * body.h;
        second.y = body.bottom() - second.h;
        first.h -= second.h + c.mm(1);
    }
    (view.pad ? zones.pad : zones.panel) = second;
    if (!drawn && view.table) {
        if (view.notice) zones.strip = cut_strip(c, view, first);
        zones.table = first;
        return zones;
    }
    zones.strip = cut_strip(c, view, first);
    if (drawn && view.table && !view.pad) cut_table(c, view, first, zones);
    (drawn ? zones.drawing : zones.panel) = first;
    return zones;
}

}  // namespace restand
