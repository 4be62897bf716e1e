#include "app/screens/page_zones.h"

#include <algorithm>
#include <cmath>

#include "app/widgets/drawing.h"
#include "app/widgets/key.h"
#include "app/widgets/pad.h"
#include "app/widgets/ruler.h"

namespace restand {
namespace {

constexpr float edge_mm = 1.6f, strip_mm = 14.4f;

// Larger letters need a wider side panel, but less than in proportion: rows stack instead.
float panel_width(const Canvas& c, const PageView& view, float whole) {
    const float letters = static_cast<float>(view.text_percent) / 100.0f;
    const float wish = 0.345f * whole * (letters > 1 ? std::sqrt(letters) : 1.0f);
    const float most = std::max(c.mm(110) * std::max(1.0f, letters), 0.24f * whole);
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

// Without a drawing the side panel fills the body. A notice stands beside the primary, or under the rows.
void whole_sheet(const Canvas& c, const PageView& view, Rect body, Zones& zones) {
    zones.panel = body;
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
    if (landscape) {
        second.w = view.pad
                       ? std::max(pad_width(c, *view.pad), std::min(panel_width(c, view, whole_w), c.mm(110)))
                       : panel_width(c, view, whole_w);
        second.x = body.right() - second.w;
        first.w -= second.w + c.mm(3);
    } else {
        second.h =
            view.pad ? std::clamp(pad_height(c, *view.pad), 0.5f * body.h, 0.76f * body.h) : 0.52f * body.h;
        second.y = body.bottom() - second.h;
        first.h -= second.h + c.mm(1);
    }
    zones.strip = cut_strip(c, view, first);
    (view.pad ? zones.pad : zones.panel) = second;
    (drawn ? zones.drawing : zones.panel) = first;
    return zones;
}

}  // namespace restand
