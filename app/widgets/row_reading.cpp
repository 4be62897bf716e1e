#include <algorithm>
#include <cmath>
#include <string>

#include "app/widgets/row_draw.h"

namespace restand {
float height_of(Canvas& c, Face face, std::string_view text, float width) {
    return text.empty() ? 0 : c.type.height(face, text, width);
}

void draw_mark(Canvas& c, row::Mark mark, float x, float y) {
    const float size = c.mm(3.8f);
    const Colour ink = c.line_of(Ink::ink);
    const Rect box{x - size / 2, y - size / 2, size, size};
    switch (mark) {
        case row::Mark::none:
            return;
        case row::Mark::done:
            return draw_check(c, x, y, size * 0.9f, ink);
        case row::Mark::todo:
            return c.frame(box, ink, 0.3f, 0.3f);
        case row::Mark::saving:
            for (int i = -1; i <= 1; ++i) {
                const float side = c.mm(0.9f);
                c.fill({x + static_cast<float>(i) * c.mm(1.5f) - side / 2, y - side / 2, side, side}, ink,
                       0.45f);
            }
            return;
        case row::Mark::question:
            c.text(Face::bold, "?", x, y + c.type.cap(Face::bold) / 2, c.text_of(Ink::now), Align::centre);
            return;
    }
}

namespace {
// Number, unit and ± at the right end of the row. `under_label`: baseline of a number that is stacked.
void draw_value(const Column& k, const row::ReadingRow& r, const ReadingColumns& cols, const Rect& area,
                float under_label) {
    Canvas& c = k.c;
    using Form = ReadingColumns::Form;
    const float gap = c.mm(1.5f), unit = cols.unit > 0 ? gap * 0.7f + cols.unit : 0;
    const float cap = c.type.cap(cols.face) * cols.scale, small = c.type.cap(Face::small);
    const float right = k.x + k.width - gap;
    float baseline = area.middle_y() + cap / 2, end = right;
    if (cols.form == Form::beside) {
        c.text(Face::small, r.plus_minus, right, baseline, c.text_of(Ink::quiet), Align::right);
        end = cols.plus_minus > 0 ? right - cols.plus_minus - gap : right;
    } else if (cols.form == Form::under) {
        if (!r.plus_minus.empty()) baseline -= (c.mm(1.6f) + small) / 2;
        c.text(Face::small, r.plus_minus, right, baseline + c.mm(1.6f) + small, c.text_of(Ink::quiet),
               Align::right);
    } else {
        baseline = under_label;
        c.text(Face::small, r.plus_minus, right, baseline, c.text_of(Ink::quiet), Align::right, cols.small);
        end = cols.plus_minus > 0 ? right - cols.plus_minus * cols.small - gap : right;
    }
    c.text(Face::small, r.unit, end - cols.unit * cols.small, baseline, c.text_of(Ink::quiet), Align::left,
           cols.small);
    draw_at_point(c, cols.face, r.value, end - unit * cols.small - cols.rest * cols.scale,
                  cols.rest * cols.scale, baseline, c.text_of(Ink::ink), cols.scale);
}
}  // namespace

float draw(const Column& k, const row::ReadingRow& r, float y) {
    Canvas& c = k.c;
    using Form = ReadingColumns::Form;
    ReadingColumns cols = k.readings;
    // Text and fractions too long for the number columns are drawn under their label.
    const Face face = cols.face;
    if (const float wide = c.type.width(face, r.value); !is_number(r.value) && wide > cols.value()) {
        cols = {Form::stacked,
                0,
                wide,
                c.type.width(Face::small, r.unit),
                c.type.width(Face::small, r.plus_minus),
                1,
                1,
                face};
        shrink_to(c, cols, k.width - c.mm(10.5f));
    }
    const float mark = c.mm(7.5f), gap = c.mm(1.5f);
    const float pad = std::max(c.by_pointer(2, 1.2f), 1.2f * c.type.tail(Face::body));  // tails of two lines
    const float unit = cols.unit > 0 ? gap * 0.7f + cols.unit : 0;
    const float values = cols.form == Form::beside  ? cols.value() + unit + gap + cols.plus_minus
                         : cols.form == Form::under ? std::max(cols.value() + unit, cols.plus_minus)
                                                    : 0;
    const float room = k.width - mark - 2 * gap - values;
    const float cap = c.type.cap(face) * cols.scale, small = c.type.cap(Face::small);
    const float words = height_of(c, Face::body, r.label, room) - c.type.tail(Face::body);
    const float between = c.type.tail(Face::body) + c.mm(1.4f);  // label to number
    const bool has_value = !r.value.empty() || !r.plus_minus.empty();
    float tall = words;
    const float tails = Type::has_tail(r.value) ? c.type.tail(face) * cols.scale : 0;
    if (cols.form == Form::stacked && has_value) tall += cap + between + tails;
    if (cols.form == Form::under) tall = std::max(tall, cap + c.mm(1.6f) + small);
    tall = std::max(tall, cap) + 2 * pad;
    const float least = k.dense ? 7.0f : touch_mm, by_mouse = k.dense ? 6.2f : 8.2f;
    const Rect area{
        k.x, y, k.width,
        std::max(c.by_pointer(least, by_mouse),
                 k.dense ? tall - 2 * pad + std::max(c.mm(2), 2.4f * c.type.tail(Face::body)) : tall)};

    const bool pressed = c.touch(r.id, area, std::min(12.0f, least), r.tap);
    if (r.open) {
        c.fill(area, c.paper.warm, 0.6f);
        c.frame(area, c.line_of(Ink::now), 0.6f, 0.6f);
    } else if (pressed) {
        c.fill(area, c.paper.tint, 0.6f);
    }
    const Canvas::Inside inside(c, r.id, area);
    const bool stacked_value = cols.form == Form::stacked && has_value;
    const float top = area.middle_y() - (words + (stacked_value ? cap + between : 0)) / 2;
    draw_mark(c, r.mark, k.x + mark / 2, stacked_value ? top + words / 2 : area.middle_y());
    c.paragraph(r.open ? Face::bold : Face::body, r.label, k.x + mark, top, room,
                c.text_of(r.open ? Ink::now : Ink::ink));

    draw_value(k, r, cols, area, top + words + between + cap);
    if (r.share > 0.02)
        c.fill({k.x, area.bottom() - c.mm(1.2f), static_cast<float>(r.share) * k.width, c.mm(1.2f)},
               c.line_of(Ink::now), 0.3f);
    const float rule = area.bottom() + c.mm(row_gap_mm / 2);
    if (!r.open) c.line(k.x, rule, k.x + k.width, rule, c.paper.hair, 0.1f);
    return area.h;
}

}  // namespace restand
