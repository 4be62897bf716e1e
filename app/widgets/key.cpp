#include "app/widgets/key.h"

#include <cmath>

namespace restand {

void draw_check(Canvas& c, float x, float y, float size, Colour colour) {
    if (c.dry()) return;
    const ImVec2 points[3] = {{x - size * 0.45f, y + size * 0.02f},
                              {x - size * 0.1f, y + size * 0.38f},
                              {x + size * 0.5f, y - size * 0.42f}};
    c.list.AddPolyline(points, 3, packed(colour), 0, c.pen_width(0.55f));
}

std::string_view name_of(Sign sign) {
    switch (sign) {
        case Sign::none:
            return "";
        case Sign::back:
            return "Back · Esc";
        case Sign::close:
            return "Close · Esc";
        case Sign::settings:
            return "Settings";
        case Sign::erase:
            return "Erase the last character · Backspace";
        case Sign::shift:
            return "The next letter large or small";
        case Sign::whole:
            return "The whole drawing";
        case Sign::undo:
            return "Undo · Ctrl+Z";
    }
    return "";
}

namespace {
// A tag that points to the left.
void outline_erase(Canvas& c, float x, float y, float r, Colour colour) {
    const ImVec2 tag[5] = {{x - r * 1.5f, y},
                           {x - r * 0.6f, y - r},
                           {x + r * 1.4f, y - r},
                           {x + r * 1.4f, y + r},
                           {x - r * 0.6f, y + r}};
    c.list.AddPolyline(tag, 5, packed(colour), ImDrawFlags_Closed, c.pen_width(0.5f));
}

// An arrow that points up.
void outline_shift(Canvas& c, float x, float y, float r, Colour colour) {
    const ImVec2 up[7] = {{x, y - r},
                          {x + r, y + r * 0.1f},
                          {x + r * 0.45f, y + r * 0.1f},
                          {x + r * 0.45f, y + r},
                          {x - r * 0.45f, y + r},
                          {x - r * 0.45f, y + r * 0.1f},
                          {x - r, y + r * 0.1f}};
    c.list.AddPolyline(up, 7, packed(colour), ImDrawFlags_Closed, c.pen_width(0.5f));
}
}  // namespace

void draw_sign(Canvas& c, Sign sign, const Rect& area, Colour colour) {
    if (c.dry()) return;
    const float x = area.middle_x(), y = area.middle_y(), r = c.mm(2.2f);
    const auto line = [&](float x1, float y1, float x2, float y2) {
        c.line(x + x1 * r, y + y1 * r, x + x2 * r, y + y2 * r, colour, 0.6f);
    };
    const auto arc = [&](float from, float to) {
        c.list.PathArcTo({x, y}, r, from, to, 24);
        c.list.PathStroke(packed(colour), 0, c.pen_width(0.6f));
    };
    switch (sign) {
        case Sign::none:
            return;
        case Sign::back:
            line(0.45f, -1, -0.55f, 0);
            line(-0.55f, 0, 0.45f, 1);
            return;
        case Sign::close:
            line(-0.85f, -0.85f, 0.85f, 0.85f);
            line(-0.85f, 0.85f, 0.85f, -0.85f);
            return;
        case Sign::settings:
            // Two sliders on their rails.
            for (const float side : {-1.0f, 1.0f}) {
                line(-1.2f, side * 0.55f, 1.2f, side * 0.55f);
                c.list.AddCircleFilled({x + side * r * 0.5f, y + side * r * 0.55f}, r * 0.36f, packed(colour),
                                       20);
            }
            return;
        case Sign::erase:
            outline_erase(c, x, y, r, colour);
            line(0, -0.45f, 0.9f, 0.45f);
            line(0, 0.45f, 0.9f, -0.45f);
            return;
        case Sign::shift:
            outline_shift(c, x, y, r, colour);
            return;
        case Sign::whole:
            // Four corners: all of the drawing.
            for (const float sx : {-1.0f, 1.0f}) {
                for (const float sy : {-1.0f, 1.0f}) {
                    line(sx, sy, sx * 0.35f, sy);
                    line(sx, sy, sx, sy * 0.35f);
                }
            }
            return;
        case Sign::undo:
            arc(-2.6f, 1.9f);
            c.triangle({x - r * 1.35f, y - r * 0.75f}, {x - r * 0.45f, y - r * 0.9f},
                       {x - r * 0.95f, y + r * 0.1f}, colour);
            return;
    }
}

void key(Canvas& c, std::string_view id, const Rect& area, std::string_view label, std::optional<Action> tap,
         const KeyLook& look) {
    const bool stored_readings = tap || look.local != Local::none;
    const bool pressed = c.touch(id, area, look.least_mm, std::move(tap), look.local);
    const Canvas::Inside inside(c, id, area);
    Colour letters = c.text_of(look.ink);
    if (look.chosen) {
        c.fill(area, c.text_of(look.ink), 0.8f);
        letters = c.paper.panel;
    } else if (!look.quiet) {
        c.fill(area, pressed ? c.paper.tint : c.paper.panel, 0.8f);
        c.frame(area, stored_readings && !look.light ? c.line_of(look.ink) : c.paper.hair,
                look.light ? 0.2f : 0.3f, 0.8f);
    }
    if (pressed) c.frame(area, c.line_of(look.ink), 0.9f, 0.8f);
    const Rect room = area.inset(c.mm(1.2f), c.mm(0.8f));
    if (look.sign != Sign::none) {
        c.hint(id, name_of(look.sign));
        draw_sign(c, look.sign, area, letters);
    } else if (label.size() == 1) {
        c.line_in(look.face, label, room, letters, Align::centre);  // letters of one size, tails or not
    } else {
        c.block_in(look.face, label, room, letters);
    }
}

float primary_height(const Canvas& c, const Primary& primary, float width) {
    if (primary.label.empty()) return 0;
    const float words = c.type.height(Face::head, primary.label, width - c.mm(5)) + c.mm(5);
    float tall = std::max(c.mm(15.5f), words);
    if (!primary.tap && !primary.why_not.empty()) {
        tall += c.type.height(Face::small, primary.why_not, width) + c.mm(2);
    }
    return tall;
}

void draw_primary(Canvas& c, const Primary& primary, const Rect& area) {
    if (primary.label.empty()) return;
    Rect at = area;
    if (!primary.tap && !primary.why_not.empty()) {
        const Canvas::Inside inside(c, "primary", area);
        const float room = std::max(c.mm(3), area.h - c.mm(17));
        float scale = 1;
        while (scale > 0.3f &&
               c.type.height(Face::small, c.type.wrap(Face::small, primary.why_not, area.w, scale)) > room) {
            scale *= 0.94f;
        }
        const float tall = c.paragraph(Face::small, primary.why_not, area.x, area.y, area.w,
                                       c.text_of(Ink::quiet), Align::left, scale) +
                           c.mm(1.5f);
        at.y += tall;
        at.h -= tall;
    }
    const Region before = std::exchange(c.place, Region::primary);
    const bool pressed = c.touch("primary", at, 15, primary.tap);
    const Canvas::Inside inside(c, "primary", at);
    const Rect room = at.inset(c.mm(2), c.mm(1));
    if (primary.tap) {
        c.fill(at, c.text_of(Ink::ink), 0.8f);
        if (pressed) c.frame(at.inset(c.mm(0.9f)), c.paper.panel, 0.5f, 0.4f);
        c.block_in(Face::head, primary.label, room, c.paper.panel);
    } else {
        c.frame(at, c.paper.hair, 0.3f, 0.8f);
        c.block_in(Face::head, primary.label, room, c.text_of(Ink::quiet));
    }
    c.place = before;
}

}  // namespace restand
