#include "app/widgets/ruler.h"
#include "app/swap/swap_actions.h"

#include <algorithm>
#include <string>

#include "app/widgets/key.h"

namespace restand {
namespace {

constexpr int ticks_a_mark = 10;
constexpr float scale_mm = 3.4f;  // depth of the engraved edge

// Ticks as on a rule: long at each mark's middle, medium between marks, short else.
void draw_scale(Canvas& c, const Rect& area, bool upright, std::size_t marks) {
    const float start = upright ? area.y : area.x, length = upright ? area.h : area.w;
    const float edge = upright ? area.right() : area.bottom();
    const auto steps = static_cast<int>(marks) * ticks_a_mark;
    const Colour ink = c.line_of(Ink::ink);
    const auto stroke = [&](float along, float depth, float width) {
        if (upright)
            c.line(edge - depth, along, edge, along, ink, width);
        else
            c.line(along, edge - depth, along, edge, ink, width);
    };
    for (int i = 0; i <= steps; ++i) {
        const float along = start + length * static_cast<float>(i) / static_cast<float>(steps);
        const bool middle = i % ticks_a_mark == ticks_a_mark / 2, border = i % ticks_a_mark == 0;
        stroke(along, c.mm(border ? scale_mm : middle ? 2.2f : 1.3f), border ? 0.3f : 0.12f);
    }
    if (upright)
        c.line(edge, start, edge, start + length, ink, 0.4f);
    else
        c.line(start, edge, start + length, edge, ink, 0.4f);
}

void draw_mark(Canvas& c, const Ruler::Mark& mark, std::size_t index, const Rect& cell, bool upright) {
    const std::string id = "step:" + std::to_string(index + 1);
    const auto step = static_cast<Step6>(index);
    const bool pressed =
        c.touch(id, cell, 12, mark.reachable ? std::optional<Action>(act::GoToStep{step}) : std::nullopt);
    const Canvas::Inside inside(c, id, cell);
    Colour ink = c.text_of(mark.reachable ? Ink::ink : Ink::quiet);
    if (mark.current) {
        c.fill(cell, c.text_of(Ink::ink), 0.8f);
        ink = c.paper.panel;
        // The pointer, over the ticks to the edge of the rule.
        const float tip = c.mm(scale_mm + 2.2f), half = c.mm(1.9f);
        if (upright)
            c.triangle({cell.right() + tip, cell.middle_y()}, {cell.right(), cell.middle_y() - half},
                       {cell.right(), cell.middle_y() + half}, c.text_of(Ink::ink));
        else
            c.triangle({cell.middle_x(), cell.bottom() + tip}, {cell.middle_x() + half, cell.bottom()},
                       {cell.middle_x() - half, cell.bottom()}, c.text_of(Ink::ink));
    } else if (pressed) {
        c.fill(cell, c.paper.tint, 0.8f);
    }
    const Rect in = cell.inset(c.mm(0.8f), c.mm(1));
    const Face name_face = mark.current ? Face::bold : Face::small;
    const Face number = mark.current ? Face::value : Face::head;
    const float head = std::min(c.type.cap(number) + c.mm(1.4f), in.h * 0.45f);
    const float words = std::min(c.type.height(name_face, mark.name, in.w), in.h - head - c.mm(1));
    const float top = in.middle_y() - (head + c.mm(1) + words) / 2;
    const Rect place{in.x, top, in.w, head};
    if (mark.done && !mark.current) {
        draw_check(c, place.middle_x(), place.middle_y(), std::min(c.mm(4.2f), head), ink);
    } else {
        c.line_in(number, std::to_string(index + 1), place.inset(0, -c.mm(1)), ink, Align::centre);
    }
    c.block_in(name_face, mark.name, {in.x, top + head + c.mm(1), in.w, in.bottom() - top - head - c.mm(1)},
               ink);
}

}  // namespace

float ruler_size(const Canvas& c, const Ruler& ruler, bool upright, float along) {
    float words = 0;
    for (const auto& mark : ruler.marks) words = std::max(words, c.type.width(Face::bold, mark.name));
    if (upright)
        return std::clamp(words + c.mm(3), c.mm(16), std::max(c.mm(20), along * 0.15f)) +
               c.mm(scale_mm + 1.2f);
    const float cell = along / static_cast<float>(std::max<std::size_t>(1, ruler.marks.size())) - c.mm(4);
    float tall = 0;
    for (const auto& mark : ruler.marks) {
        const Lines lines = c.type.wrap(Face::bold, mark.name, cell);
        tall = std::max(tall, c.type.height(Face::bold, lines));
    }
    return std::max(c.mm(14), c.type.cap(Face::value) + c.mm(5.4f) + tall) + c.mm(scale_mm + 1.2f);
}

void draw_ruler(Canvas& c, const Ruler& ruler, const Rect& area, bool upright) {
    if (ruler.marks.empty()) return;
    c.place = Region::ruler;
    c.note(Drawn::Kind::panel, "ruler", area);
    draw_scale(c, area, upright, ruler.marks.size());
    const auto count = static_cast<float>(ruler.marks.size());
    const float edge = c.mm(scale_mm + 1.2f), gap = c.mm(2.1f);
    for (std::size_t i = 0; i < ruler.marks.size(); ++i) {
        const auto k = static_cast<float>(i);
        const float step = (upright ? area.h : area.w) / count;
        const float size = std::min(step - gap, c.mm(upright ? 26.0f : 60.0f));
        Rect cell = upright ? Rect{area.x, area.y + k * step + (step - size) / 2, area.w - edge, size}
                            : Rect{area.x + k * step + (step - size) / 2, area.y, size, area.h - edge};
        draw_mark(c, ruler.marks[i], i, cell, upright);
    }
}

}  // namespace restand
