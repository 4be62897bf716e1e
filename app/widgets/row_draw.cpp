#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "app/widgets/drawing.h"
#include "app/widgets/row_draw.h"

namespace restand {

float letters_of(const Canvas& c) {
    return c.type.cap(Face::small) / c.mm(cap_height_mm(Face::small));
}

namespace {

float draw(const Column& k, const row::Heading& r, float y) {
    return k.c.paragraph(Face::head, r.text, k.x, y, k.width, k.c.text_of(Ink::ink));
}

float draw(const Column& k, const row::Big& r, float y) {
    Canvas& c = k.c;
    const float inset = r.limit ? c.mm(2.5f) : 0;
    const float x = k.x + inset, width = k.width - 2 * inset;
    float at = y + inset;
    {
        const Canvas::Inside inside(c, r.id, {k.x, y, k.width, 1e5f});
        at += c.paragraph(Face::body, r.label, x, at, width, c.text_of(Ink::ink)) + c.mm(2.2f);
        const float unit = r.unit.empty() ? 0 : c.mm(1.6f) + c.type.width(Face::head, r.unit);
        const float scale = std::min(1.0f, (width - 1) / (c.type.width(Face::answer, r.value) + unit));
        const float cap = c.type.cap(Face::answer) * scale,
                    number = c.type.width(Face::answer, r.value) * scale;
        at += cap;
        c.text(Face::answer, r.value, x, at, c.text_of(r.ink), Align::left, scale);
        c.text(Face::head, r.unit, x + number + c.mm(1.6f) * scale, at, c.text_of(r.ink), Align::left, scale);
        // The adjustment is drawn beside the number if it fits, else under it.
        const float beside = width - number - unit * scale - c.mm(3);
        const float words = std::max(c.type.width(Face::bold, r.action), c.type.width(Face::small, r.from));
        if (words <= beside) {
            const float from = r.from.empty() ? at : at - c.type.pitch(Face::small) * 1.15f;
            c.text(Face::bold, r.action, x + width, from, c.text_of(Ink::ink), Align::right);
            c.text(Face::small, r.from, x + width, at, c.text_of(Ink::quiet), Align::right);
            at += c.type.tail(Face::answer) * scale * 0.5f;
        } else {
            at += c.mm(2.8f);
            const float one =
                c.type.width(Face::bold, r.action) + c.mm(3) + c.type.width(Face::small, r.from);
            if (one <= width) {
                at += c.type.cap(Face::bold);
                c.text(Face::bold, r.action, x, at, c.text_of(Ink::ink));
                c.text(Face::small, r.from, x + width, at, c.text_of(Ink::quiet), Align::right);
                at += c.type.tail(Face::bold);
            } else {
                at += c.paragraph(Face::bold, r.action, x, at, width, c.text_of(Ink::ink));
                if (!r.from.empty())
                    at += c.mm(1) +
                          c.paragraph(Face::small, r.from, x, at + c.mm(1), width, c.text_of(Ink::quiet));
            }
        }
        if (!r.note.empty())
            at += c.mm(1.6f) +
                  c.paragraph(Face::small, r.note, x, at + c.mm(1.6f), width, c.text_of(Ink::quiet));
    }
    at += inset;
    if (r.limit) {
        const Rect area{k.x, y, k.width, at - y};
        c.frame(area, c.line_of(r.ink), 0.4f, 0.6f);
        c.frame(area.inset(c.mm(0.9f)), c.line_of(r.ink), 0.2f, 0.4f);
    } else {
        c.line(k.x, at + c.mm(1.2f), k.x + k.width, at + c.mm(1.2f), c.paper.hair, 0.1f);
        at += c.mm(0.8f);
    }
    return at - y;
}

float draw(const Column& k, const row::TableHead& r, float y) {
    Canvas& c = k.c;
    const float baseline = y + c.type.cap(Face::small), right = k.x + k.width;
    c.text(Face::small, r.will, right, baseline, c.text_of(Ink::now), Align::right);
    c.text(Face::small, r.was, right - k.table.will() - c.mm(4), baseline, c.text_of(Ink::baseline),
           Align::right);
    return c.type.cap(Face::small) + c.type.tail(Face::small);
}

float draw(const Column& k, const row::TableLine& r, float y) {
    Canvas& c = k.c;
    const float numbers = k.table.was() + k.table.will() + c.mm(7), right = k.x + k.width;
    const bool above = numbers > k.width * 0.7f;
    const float room = above ? k.width : k.width - numbers;
    const float words = c.paragraph(Face::body, r.label, k.x, y, room, c.text_of(Ink::ink));
    const float baseline =
        above ? y + words + c.mm(1.2f) + c.type.cap(Face::body) : y + c.type.cap(Face::body);
    const float scale = std::min(1.0f, k.width / numbers);
    const auto number = [&](Face face, std::string_view text, float end, float rest, Colour ink) {
        draw_at_point(c, face, text, end - rest * scale, rest * scale, baseline, ink, scale);
    };
    number(Face::bold, r.will, right, k.table.will_rest, c.text_of(r.held ? Ink::now : Ink::ink));
    number(Face::body, r.was, right - (k.table.will() + c.mm(4)) * scale, k.table.was_rest,
           c.text_of(Ink::baseline));
    return std::max(words, baseline - y + c.type.tail(Face::body));
}

float draw(const Column& k, const row::Note& r, float y) {
    const Face face = r.bold ? Face::bold : r.small ? Face::small : Face::body;
    return k.c.paragraph(face, r.text, k.x, y, k.width, k.c.text_of(r.ink));
}

float draw(const Column& k, const row::Button& r, float y) {
    Canvas& c = k.c;
    const float pad = c.by_pointer(k.least_button > 0 ? 2.4f : 3, 2), check = r.selected ? c.mm(8) : 0,
                room = k.width - 2 * pad - check;
    const float label = height_of(c, Face::bold, r.label, room) - c.type.tail(Face::bold);
    const float detail = r.detail.empty() ? 0 : height_of(c, Face::small, r.detail, room) + c.mm(1.8f);
    const Rect area{k.x, y, k.width,
                    std::max({c.by_pointer(touch_mm, 9), label + detail + 2 * pad, k.least_button})};
    const bool pressed = c.touch(r.id, area, 12, r.enabled ? std::optional(r.tap) : std::nullopt);
    c.fill(area, pressed ? c.paper.tint : c.paper.panel, 0.8f);
    c.frame(area, r.enabled ? c.line_of(Ink::ink) : c.paper.hair, r.selected || pressed ? 0.8f : 0.3f, 0.8f);
    const Canvas::Inside inside(c, r.id, area);
    const float top = area.middle_y() - (label + detail) / 2;
    c.paragraph(Face::bold, r.label, k.x + pad, top, room, c.text_of(r.enabled ? Ink::ink : Ink::quiet));
    c.paragraph(Face::small, r.detail, k.x + pad, top + label + c.mm(1.8f), room, c.text_of(Ink::quiet));
    if (r.selected) draw_check(c, area.right() - c.mm(6), area.middle_y(), c.mm(4), c.line_of(Ink::ink));
    return area.h;
}

// Key, value, key; the label above. The keys say what they do.
float draw(const Column& k, const row::Stepper& r, float y) {
    Canvas& c = k.c;
    const float gap = c.mm(row_gap_mm),
                label = c.paragraph(Face::body, r.label, k.x, y, k.width, c.text_of(Ink::ink));
    const float tall = std::max(c.by_pointer(13, 10), c.type.cap(Face::value) + c.by_pointer(6, 4));
    const float side =
        std::clamp(std::max(c.type.width(Face::bold, r.less), c.type.width(Face::bold, r.more)) + c.mm(5),
                   c.mm(18), k.width * 0.31f);
    const float top = y + label + c.mm(1.4f);
    const Rect less{k.x, top, side, tall}, more{k.x + k.width - side, top, side, tall};
    const Rect middle{less.right() + gap, top, k.width - 2 * (side + gap), tall};
    key(c, r.id + ":less", less, r.less, r.saving ? std::nullopt : std::optional(r.tap_less));
    key(c, r.id + ":more", more, r.more, r.saving ? std::nullopt : std::optional(r.tap_more));
    const bool pressed = c.touch("row:" + r.id, middle, 12, r.tap_value);
    if (pressed) c.fill(middle, c.paper.tint, 0.6f);
    const Canvas::Inside inside(c, "row:" + r.id, middle);
    const float small = c.type.width(Face::small, r.unit) > 0.4f * middle.w ? c.floor_scale(Face::small) : 1;
    const float unit = r.unit.empty() ? 0 : c.mm(1.2f) + c.type.width(Face::small, r.unit) * small;
    const float scale =
        std::clamp((middle.w - unit - 1) / std::max(1.0f, c.type.width(Face::value, r.value)), 0.3f, 1.0f);
    const float number = c.type.width(Face::value, r.value) * scale;
    const float x = middle.middle_x() - (number + unit) / 2;
    const float baseline = middle.middle_y() + c.type.cap(Face::value) * scale / 2;
    c.text(Face::value, r.value, x, baseline, c.text_of(r.saving ? Ink::quiet : Ink::ink), Align::left,
           scale);
    c.text(Face::small, r.unit, x + number + c.mm(1.2f), baseline, c.text_of(Ink::quiet), Align::left, small);
    return top + tall - y;
}

// A check box, the action in bold, and the current state below.
float draw(const Column& k, const row::PlanStep& r, float y) {
    Canvas& c = k.c;
    const float pad = c.by_pointer(2.6f, 2), mark = c.mm(9), room = k.width - mark - pad;
    const Face face = r.done ? Face::body : Face::bold;
    const float label = height_of(c, face, r.label, room) - c.type.tail(face);
    const float detail = r.detail.empty() ? 0 : height_of(c, Face::small, r.detail, room) + c.mm(1.8f);
    const Rect area{k.x, y, k.width, std::max(c.by_pointer(touch_mm, 9), label + detail + 2 * pad)};
    const bool pressed = c.touch(r.id, area, 12, r.tap);
    if (r.next) c.fill(area, c.paper.warm, 0.6f);
    if (r.next || pressed) c.frame(area, c.line_of(Ink::now), 0.6f, 0.6f);
    const Canvas::Inside inside(c, r.id, area);
    draw_mark(c, r.done ? row::Mark::done : row::Mark::todo, k.x + mark / 2, area.middle_y());
    const float top = area.middle_y() - (label + detail) / 2;
    c.paragraph(face, r.label, k.x + mark, top, room, c.text_of(r.next ? Ink::now : Ink::ink));
    c.paragraph(Face::small, r.detail, k.x + mark, top + label + c.mm(1.8f), room, c.text_of(Ink::quiet));
    return area.h;
}

// One option with its picture: the name stands below, solid where it is chosen.
void draw_option(Canvas& c, const row::Choice& r, std::size_t i, const Rect& area, float name) {
    const auto tap = i < r.taps.size() ? std::optional(r.taps[i]) : std::nullopt;
    const std::string id = r.id + ":" + std::to_string(i);
    if (i >= r.pictures.size()) return key(c, id, area, r.options[i], tap, {.chosen = i == r.selected});
    key(c, id, area, "", tap);
    const Canvas::Inside inside(c, id, area);
    const Rect below{area.x, area.bottom() - name, area.w, name};
    if (i == r.selected) c.fill(below, c.text_of(Ink::ink), 0.8f);
    c.block_in(Face::bold, r.options[i], below.inset(c.mm(1.2f), c.mm(0.8f)),
               i == r.selected ? c.paper.panel : c.text_of(Ink::ink));
    draw_small(c, r.pictures[i], Rect{area.x, area.y, area.w, area.h - name}.inset(c.mm(1.5f)));
}

float draw(const Column& k, const row::Choice& r, float y) {
    Canvas& c = k.c;
    const float gap = c.mm(row_gap_mm);
    float at = y;
    if (!r.label.empty())
        at += c.paragraph(Face::body, r.label, k.x, y, k.width, c.text_of(Ink::ink)) + c.mm(1.2f);
    float widest = c.mm(r.pictures.empty() ? touch_mm : 2 * touch_mm);
    for (const auto& option : r.options)
        widest = std::max(widest, c.type.width(Face::bold, option) + c.mm(5));
    const auto count = std::max<std::size_t>(1, r.options.size());
    const auto fits =
        static_cast<std::size_t>(std::max(1.0f, (k.width + gap) / (std::min(widest, k.width) + gap)));
    // Pictures stand beside each other: they are compared.
    const std::size_t columns = r.pictures.empty() ? std::min(fits, count) : count;
    const float wide =
        std::min((k.width - gap * static_cast<float>(columns - 1)) / static_cast<float>(columns), c.mm(60));
    const float name = std::max(c.by_pointer(touch_mm, 9), c.type.cap(Face::bold) + c.by_pointer(6, 4));
    const float tall = name + (r.pictures.empty() ? 0 : std::min(wide * 0.7f, c.mm(32)));
    for (std::size_t i = 0; i < r.options.size(); ++i) {
        const auto column = static_cast<float>(i % columns), line = static_cast<float>(i / columns);
        draw_option(c, r, i, {k.x + column * (wide + gap), at + line * (tall + gap), wide, tall}, name);
    }
    const auto lines = static_cast<float>((count + columns - 1) / columns);
    return at - y + lines * (tall + gap) - gap;
}

float draw(const Column& k, const row::Card& r, float y) {
    Canvas& c = k.c;
    const float pad = c.mm(3), room = k.width - 2 * pad;
    const float badge = r.badge.empty() ? 0 : std::min(room, c.type.width(Face::small, r.badge) + c.mm(4));
    const float mark_tall = c.type.cap(Face::small) + c.mm(3.4f);
    // Beside the title, unless it would take most of the line.
    const bool beside = badge > 0 && badge < 0.5f * room;
    const bool below = badge > 0 && !beside;
    const float head = beside ? room - badge - c.mm(2) : room;
    float tall = 2 * pad + std::max(height_of(c, Face::head, r.title, head), c.mm(5));
    if (below) tall += c.mm(1.8f) + mark_tall;
    for (const auto& text : {std::string_view(r.line1), std::string_view(r.line2)}) {
        if (!text.empty())
            tall += c.mm(1.8f) +
                    height_of(c, text.data() == r.line1.data() ? Face::body : Face::small, text, room);
    }
    const Rect area{k.x, y, k.width, std::max(c.mm(15), tall)};
    const bool pressed = c.touch(r.id, area, 12, r.tap);
    c.fill(area, pressed ? c.paper.tint : c.paper.panel, 0.8f);
    c.frame(area, c.line_of(Ink::ink), pressed ? 0.8f : 0.3f, 0.8f);
    const Canvas::Inside inside(c, r.id, area);
    float at = y + pad;
    at += std::max(c.paragraph(Face::head, r.title, k.x + pad, at, head, c.text_of(Ink::ink)), c.mm(5));
    if (badge > 0) {
        const Rect mark{below ? k.x + pad : area.right() - pad - badge,
                        below ? at + c.mm(1.8f) : y + pad - c.mm(1.2f), badge, mark_tall};
        c.frame(mark, c.line_of(Ink::now), 0.3f, 1.6f);
        c.line_in(Face::small, r.badge, mark.inset(c.mm(1.2f), 0), c.text_of(Ink::now), Align::centre);
        if (below) at = mark.bottom();
    }
    if (!r.line1.empty())
        at += c.mm(1.8f) +
              c.paragraph(Face::body, r.line1, k.x + pad, at + c.mm(1.8f), room, c.text_of(Ink::ink));
    if (!r.line2.empty())
        c.paragraph(Face::small, r.line2, k.x + pad, at + c.mm(1.8f), room, c.text_of(Ink::quiet));
    return area.h;
}

// Where there is room the detail stands beside the word.
float draw(const Column& k, const row::Verdict& r, float y) {
    Canvas& c = k.c;
    const float pad = c.mm(3), letters = letters_of(c);
    const bool beside = !r.detail.empty() && k.width > c.mm(84) * letters;
    const float whole = k.width - 2 * pad, room = beside ? whole * 0.46f : whole;
    const float detail_room = beside ? whole - room - c.mm(4) : whole;
    float scale = 1;
    while (scale > 0.5f && c.type.wrap(Face::pad, r.text, room, scale).count > (beside ? 1u : 2u))
        scale *= 0.9f;
    const Lines lines = c.type.wrap(Face::pad, r.text, room, scale);
    const float word = c.type.height(Face::pad, lines);
    const float detail = r.detail.empty() ? 0 : height_of(c, Face::body, r.detail, detail_room);
    const float tall = beside ? std::max(word, detail) : word + (detail > 0 ? detail + c.mm(2.5f) : 0);
    const Rect area{k.x, y, k.width, tall + 2 * pad};
    c.frame(area, c.line_of(r.ink), 0.8f, 0.6f);
    if (r.ink == Ink::stop) c.frame(area.inset(c.mm(1.2f)), c.line_of(r.ink), 0.3f, 0.4f);
    const Canvas::Inside inside(c, "verdict", area);
    const float top = beside ? area.middle_y() - word / 2 : y + pad;
    c.paragraph(Face::pad, r.text, k.x + pad, top, room, c.text_of(r.ink), Align::left, scale);
    if (detail <= 0) return area.h;
    const float x = beside ? k.x + pad + room + c.mm(4) : k.x + pad;
    const float at = beside ? area.middle_y() - detail / 2 : y + pad + word + c.mm(2.5f);
    c.paragraph(Face::body, r.detail, x, at, detail_room, c.text_of(Ink::ink));
    return area.h;
}

// A scale of target ± `scale`, the interval on it, the value as a stroke. Outside the scale: an arrow at its
// end.
float draw(const Column& k, const row::Band& r, float y) {
    Canvas& c = k.c;
    const float words = c.paragraph(Face::small, r.label, k.x, y, k.width, c.text_of(Ink::ink));
    const float axis = y + words + c.mm(5.5f), left = k.x + c.mm(3), right = k.x + k.width - c.mm(3);
    const double half = r.scale > 0 ? r.scale : 1;
    const auto at = [&](double v) {
        const double t = std::clamp((v - r.target) / half, -1.0, 1.0);
        return (left + right) / 2 + static_cast<float>(t) * (right - left) / 2;
    };
    c.line(left, axis, right, axis, c.line_of(Ink::ink), 0.25f);
    for (int i = -4; i <= 4; ++i) {
        const float x = at(r.target + half * i / 4), tall = i % 4 == 0 ? c.mm(1.6f) : c.mm(0.9f);
        c.line(x, axis, x, axis + tall, c.line_of(Ink::ink), 0.2f);
    }
    const Colour now = c.line_of(Ink::now);
    const float from = at(r.low), to = std::max(at(r.high), from + c.mm(0.6f));
    c.frame({from, axis - c.mm(2.6f), to - from, c.mm(2)}, now, 0.35f);
    c.line(at(r.value), axis - c.mm(3.6f), at(r.value), axis, now, 0.7f);
    c.line(at(r.target), axis - c.mm(4.4f), at(r.target), axis + c.mm(2), c.line_of(Ink::baseline), 0.4f);
    const float mid = axis - c.mm(1.6f), tip = c.mm(2.4f);
    if (r.value > r.target + half)
        c.triangle({right + tip, mid}, {right, mid - tip / 2}, {right, mid + tip / 2}, now);
    if (r.value < r.target - half)
        c.triangle({left - tip, mid}, {left, mid + tip / 2}, {left, mid - tip / 2}, now);
    return axis + c.mm(2) - y;
}

}  // namespace

float draw_row(const Column& k, const Row& row, float y) {
    return std::visit([&](const auto& each) { return draw(k, each, y); }, row);
}

}  // namespace restand
