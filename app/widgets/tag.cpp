#include "app/widgets/tag.h"

#include <cmath>

namespace restand {
namespace {

constexpr float label_width_mm = 42, pad_x_mm = 2.2f, pad_y_mm = 1.9f, tag_gap_mm = 1.5f;

constexpr float arrow_mm = 7.5f, arrow_head_mm = 2.4f;

// Across and along the screen, of the double arrow of what can be dragged; nothing without one.
ImVec2 arrow_of(const Canvas& c, const Tag& tag) {
    if (!tag.drag) return {0, 0};
    return {c.mm(arrow_mm) * static_cast<float>(tag.drag->along.x),
            -c.mm(arrow_mm) * static_cast<float>(tag.drag->along.y)};
}

// What the arrow takes of the tag's width.
float arrow_room(const Canvas& c, const Tag& tag) {
    return tag.drag ? std::max(c.mm(1.2f * arrow_head_mm), std::abs(arrow_of(c, tag).x)) + c.mm(tag_gap_mm)
                    : 0;
}

void draw_arrow(Canvas& c, const Tag& tag, const Rect& room) {
    const ImVec2 plan = arrow_of(c, tag);
    const ImVec2 a{room.middle_x() - plan.x / 2, room.middle_y() - plan.y / 2}, b{a.x + plan.x, a.y + plan.y};
    const Colour colour = c.line_of(Ink::now);
    // Blunter heads than a dimension line's, because this is not a dimension.
    const float length = c.mm(arrow_head_mm) / std::hypot(plan.x, plan.y), half = 0.6f * length;
    const auto head = [&](ImVec2 tip, float back) {
        const ImVec2 base{tip.x + plan.x * length * back, tip.y + plan.y * length * back};
        c.triangle(tip, {base.x - plan.y * half * back, base.y + plan.x * half * back},
                   {base.x + plan.y * half * back, base.y - plan.x * half * back}, colour);
    };
    c.line(a.x + plan.x * length, a.y + plan.y * length, b.x - plan.x * length, b.y - plan.y * length, colour,
           0.7f);
    head(a, 1);
    head(b, -1);
    c.note(Drawn::Kind::handle, tag.id,
           {std::min(a.x, b.x), std::min(a.y, b.y), std::abs(plan.x), std::abs(plan.y)});
}

Lines label_lines(const Canvas& c, const Tag& tag, float scale) {
    return c.type.wrap(Face::small, tag.label, c.mm(label_width_mm) * std::max(1.0f, scale), scale);
}

float value_width(const Canvas& c, const Tag& tag, float scale) {
    const float number = std::max(c.type.width(Face::value, tag.value), c.type.width(Face::value, "000.0"));
    const float unit = tag.unit.empty() ? 0 : c.type.width(Face::body, tag.unit) + c.mm(1.2f);
    return (number + unit) * scale;
}

void draw_value(Canvas& c, const Tag& tag, const Rect& area, float baseline, float scale, Colour colour) {
    const float cap = c.type.cap(Face::value) * scale;
    if (tag.value.empty()) {
        // Waiting for a number.
        const float dash = cap * 0.62f, gap = cap * 0.34f, thick = std::max(2.0f, cap * 0.15f);
        float x = area.middle_x() - 1.5f * dash - gap;
        for (int i = 0; i < 3; ++i, x += dash + gap)
            c.fill({x, baseline - cap / 2 - thick / 2, dash, thick}, colour);
        return;
    }
    const float number = c.type.width(Face::value, tag.value) * scale;
    const float gap = tag.unit.empty() ? 0 : c.mm(1.2f) * scale;
    const float unit = c.type.width(Face::body, tag.unit) * scale;
    const float x = area.middle_x() - (number + gap + unit) / 2;
    c.text(Face::value, tag.value, x, baseline, colour, Align::left, scale);
    c.text(Face::body, tag.unit, x + number + gap, baseline, colour, Align::left, scale);
}

void draw_frame(Canvas& c, const Tag& tag, const Rect& area, bool pressed) {
    const float round = tag.shape == TagShape::rounded ? 3.0f : 0.4f;
    const Ink pen = tag.open ? Ink::now : tag.ink;
    c.fill(area, tag.open ? c.paper.warm : pressed ? c.paper.tint : c.paper.panel, round);
    c.frame(area, c.line_of(pen),
            tag.open || pressed              ? 0.8f
            : tag.shape == TagShape::rounded ? 0.5f
                                             : 0.35f,
            round);
    if (tag.open || tag.limit) {
        const float step = tag.open ? 1.2f : 0.9f;
        c.frame(area.inset(c.mm(step)), c.line_of(pen), 0.2f, std::max(0.2f, round - step));
    }
}

}  // namespace

TagSize tag_size(const Canvas& c, const Tag& tag, float scale) {
    const Lines label = label_lines(c, tag, scale);
    float wide = value_width(c, tag, scale);
    for (std::size_t i = 0; i < label.count; ++i) {
        wide = std::max(wide, c.type.width(Face::small, label.line[i]) * label.scale);
    }
    float tall = c.type.height(Face::small, label) - c.type.tail(Face::small) * label.scale +
                 c.mm(tag_gap_mm) * scale + c.type.cap(Face::value) * scale;
    if (!tag.note.empty()) {
        wide = std::max(wide, c.type.width(Face::small, tag.note) * scale);
        tall += c.mm(tag_gap_mm) * scale + c.type.cap(Face::small) * scale;
    } else if (Type::has_tail(tag.value)) {
        // A name's tails hang below the value's line; the text stays in the middle, so room on both sides.
        tall += 2 * std::max(0.0f, c.type.tail(Face::value) * scale - c.mm(pad_y_mm));
    }
    const float frame = tag.limit || tag.open ? 0.7f : 0.0f;
    return {std::ceil(std::max(c.mm(24.1f), wide + arrow_room(c, tag) + 2 * c.mm(pad_x_mm + frame))),
            std::ceil(std::max(c.mm(12.1f), tall + 2 * c.mm(pad_y_mm + frame)))};
}

void draw_tag(Canvas& c, const Tag& tag, const Rect& whole, float scale) {
    c.note(Drawn::Kind::tag, tag.id, whole);
    const bool pressed = c.touch(tag.id, whole, 12, tag.tap);
    draw_frame(c, tag, whole, pressed);
    const Canvas::Inside inside(c, tag.id, whole);
    Rect area = whole;
    if (const float room = arrow_room(c, tag); room > 0) {
        const float edge = c.mm(pad_x_mm - tag_gap_mm / 2);
        draw_arrow(c, tag, {whole.x + edge, whole.y, room, whole.h});
        area = {whole.x + room, whole.y, whole.w - room, whole.h};
    }

    const Lines label = label_lines(c, tag, scale);
    const float label_tall = c.type.height(Face::small, label) - c.type.tail(Face::small) * label.scale;
    const float cap = c.type.cap(Face::value) * scale, gap = c.mm(tag_gap_mm) * scale;
    const float note = tag.note.empty() ? 0 : gap + c.type.cap(Face::small) * scale;
    float y = area.middle_y() - (label_tall + gap + cap + note) / 2;
    c.paragraph(Face::small, tag.label, area.middle_x() - area.w / 2, y, area.w, c.text_of(Ink::ink),
                Align::centre, label.scale);
    y += label_tall + gap + cap;
    draw_value(c, tag, area, y, scale, c.text_of(tag.open ? Ink::now : tag.ink));
    if (!tag.note.empty()) {
        c.text(Face::small, tag.note, area.middle_x(), y + note, c.text_of(tag.note_ink), Align::centre,
               scale);
    }
}

}  // namespace restand
