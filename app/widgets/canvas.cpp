#include "app/widgets/canvas.h"

#include <cmath>

namespace restand {

const Target* Book::find(std::string_view id) const {
    for (const Target& target : targets) {
        if (target.id == id) return &target;
    }
    return nullptr;
}

const std::string* Book::hint(std::string_view id) const {
    for (const auto& [target, words] : hints)
        if (target == id) return &words;
    return nullptr;
}

void Canvas::fill(const Rect& a, Colour colour, float round_mm) {
    if (dry_) return;
    list.AddRectFilled({a.x, a.y}, {a.right(), a.bottom()}, packed(colour), mm(round_mm));
}

void Canvas::frame(const Rect& a, Colour colour, float width_mm, float round_mm) {
    if (dry_) return;
    // ImGui centres the line on the edge; here the line stays inside.
    const float width = std::max(1.0f, std::round(mm(width_mm)));
    const Rect in = a.inset(width / 2);
    list.AddRect({in.x, in.y}, {in.right(), in.bottom()}, packed(colour), mm(round_mm), 0, width);
}

void Canvas::line(float x1, float y1, float x2, float y2, Colour colour, float width_mm) {
    if (!dry_) list.AddLine({x1, y1}, {x2, y2}, packed(colour), pen_width(width_mm));
}

void Canvas::triangle(ImVec2 a, ImVec2 b, ImVec2 c, Colour colour) {
    if (!dry_) list.AddTriangleFilled(a, b, c, packed(colour));
}

void Canvas::text(Face face, std::string_view words, float x, float baseline, Colour colour, Align align,
                  float scale) {
    if (words.empty() || dry_) return;
    const float wide = type.width(face, words) * scale;
    if (align == Align::centre) x -= wide / 2;
    if (align == Align::right) x -= wide;
    x = std::floor(x);
    baseline = std::round(baseline);
    const float cap = type.cap(face) * scale;
    const Rect area{x, baseline - cap, wide, cap + (Type::has_tail(words) ? type.tail(face) * scale : 0)};

    Drawn drawn{Drawn::Kind::text, box_id_, area.x, area.y, area.w, area.h};
    const Rect keep = list_ ? box_ : box_.both(clip_);
    drawn.clip_x = keep.x;
    drawn.clip_y = keep.y;
    drawn.clip_w = keep.w;
    drawn.clip_h = keep.h;
    drawn.list = list_;
    drawn.text = words;
    drawn.cap = cap;
    book_.drawn.push_back(std::move(drawn));

    if (!area.inset(-cap).overlaps(clip_)) return;
    ImFont* font = type.font(face);
    list.AddText(font, font->FontSize * scale, {x, baseline - std::round(font->Ascent * scale)},
                 packed(colour), words.data(), words.data() + words.size());
}

float Canvas::line_in(Face face, std::string_view words, const Rect& room, Colour colour, Align align,
                      float scale) {
    scale *= std::min(1.0f, type.fit(face, words, room.w / scale));
    scale = std::min(scale, room.h / (type.cap(face) + 2 * type.tail(face)));
    const float x = align == Align::left ? room.x : align == Align::centre ? room.middle_x() : room.right();
    text(face, words, x, room.middle_y() + type.cap(face) * scale / 2, colour, align, scale);
    return type.width(face, words) * scale;
}

float Canvas::paragraph(Face face, std::string_view words, float x, float top, float width, Colour colour,
                        Align align, float scale) {
    if (words.empty()) return 0;
    const Lines lines = type.wrap(face, words, width, scale);
    const float at = align == Align::left ? x : align == Align::centre ? x + width / 2 : x + width;
    float baseline = top + type.cap(face) * lines.scale;
    for (std::size_t i = 0; i < lines.count; ++i) {
        text(face, lines.line[i], at, baseline, colour, align, lines.scale);
        baseline += type.pitch(face) * lines.scale;
    }
    return type.height(face, lines);
}

void Canvas::block_in(Face face, std::string_view words, const Rect& room, Colour colour, Align align) {
    float scale = 1;
    Lines lines = type.wrap(face, words, room.w, scale);
    // Caps stand in the middle, so room for tails is needed on both sides.
    const float tails = Type::has_tail(words) ? type.tail(face) : 0;
    while (type.height(face, lines) + (tails - type.tail(face) + tails) * lines.scale > room.h &&
           scale > 0.2f) {
        scale *= 0.92f;
        lines = type.wrap(face, words, room.w, scale);
    }
    const float tall = type.height(face, lines) - type.tail(face) * lines.scale;
    paragraph(face, words, room.x, room.middle_y() - tall / 2, room.w, colour, align, scale);
}

bool Canvas::touch(std::string_view id, const Rect& area, float least_mm, std::optional<Action> tap,
                   Local local) {
    const bool stored_readings = tap || local != Local::none;
    const Rect seen = area.both(clip_);
    if (stored_readings && !dry_) {
        Drawn drawn{Drawn::Kind::touch, std::string(id), area.x, area.y, area.w, area.h};
        drawn.clip_x = clip_.x;
        drawn.clip_y = clip_.y;
        drawn.clip_w = clip_.w;
        drawn.clip_h = clip_.h;
        drawn.list = list_;
        drawn.least_mm = pointer == Pointer::mouse ? std::min(least_mm, mouse_target_mm) : least_mm;
        book_.drawn.push_back(std::move(drawn));
        book_.targets.push_back({std::string(id), area, seen, std::move(tap), local, list_ != 0, place});
    }
    return stored_readings && held_.pressed == id;
}

void Canvas::note(Drawn::Kind kind, std::string_view id, const Rect& area) {
    if (dry_) return;
    Drawn drawn{kind, std::string(id), area.x, area.y, area.w, area.h};
    drawn.clip_x = clip_.x;
    drawn.clip_y = clip_.y;
    drawn.clip_w = clip_.w;
    drawn.clip_h = clip_.h;
    drawn.list = list_;
    book_.drawn.push_back(std::move(drawn));
}

void Canvas::focus_ring() {
    const Target* target = held_.focus.empty() ? nullptr : book_.find(held_.focus);
    if (!target || target->seen.w < 1 || target->seen.h < 1) return;
    frame(target->seen.inset(-mm(1.2f)), line_of(Ink::baseline), 0.8f, 1.6f);
}

void Canvas::hint(std::string_view id, std::string_view words) {
    if (!dry_ && !words.empty()) book_.hints.emplace_back(id, words);
}

void Canvas::hover_hint(const Rect& viewport) {
    const Target* target = held_.hover.empty() ? nullptr : book_.find(held_.hover);
    const std::string* words = target ? book_.hint(target->id) : nullptr;
    if (!words) return;
    const float pad = mm(1.6f);
    const Lines lines = type.wrap(Face::small, *words, std::min(mm(90), viewport.w - 4 * pad));
    float wide = 0;
    for (std::size_t i = 0; i < lines.count; ++i)
        wide = std::max(wide, type.width(Face::small, lines.line[i]) * lines.scale);
    Rect box{target->seen.x, target->seen.bottom() + mm(1.2f), wide + 2 * pad + 1,
             type.height(Face::small, lines) + 2 * pad};
    box.x = std::clamp(box.x, viewport.x + pad, std::max(viewport.x + pad, viewport.right() - pad - box.w));
    if (box.bottom() > viewport.bottom() - pad) box.y = target->seen.y - mm(1.2f) - box.h;
    fill(box, text_of(Ink::ink), 0.6f);
    Drawn drawn{Drawn::Kind::hint, target->id, box.x, box.y, box.w, box.h};
    drawn.text = *words;
    book_.drawn.push_back(std::move(drawn));
    // Not among the texts of the page: it covers what is below it, for as long as the mouse rests there.
    ImFont* font = type.font(Face::small);
    float baseline = box.y + pad + type.cap(Face::small) * lines.scale;
    for (std::size_t i = 0; i < lines.count; ++i, baseline += type.pitch(Face::small) * lines.scale)
        list.AddText(font, font->FontSize * lines.scale,
                     {std::floor(box.x + pad), std::round(baseline) - std::round(font->Ascent * lines.scale)},
                     packed(paper.panel), lines.line[i].data(), lines.line[i].data() + lines.line[i].size());
}

Canvas::Inside::Inside(Canvas& canvas, std::string_view id, const Rect& box)
    : canvas_(canvas), id_(std::move(canvas.box_id_)), box_(canvas.box_) {
    canvas_.box_id_ = id;
    canvas_.box_ = box;
}

Canvas::Inside::~Inside() {
    canvas_.box_id_ = std::move(id_);
    canvas_.box_ = box_;
}

Canvas::Clip::Clip(Canvas& canvas, const Rect& area, bool scrolls)
    : canvas_(canvas), clip_(canvas.clip_), list_(canvas.list_) {
    canvas_.clip_ = area.both(clip_);
    canvas_.list_ = scrolls ? ++canvas_.lists_ : 0;
    const Rect& now = canvas_.clip_;
    canvas_.list.PushClipRect({now.x, now.y}, {now.right(), now.bottom()});
}

Canvas::Clip::~Clip() {
    canvas_.list.PopClipRect();
    canvas_.clip_ = clip_;
    canvas_.list_ = list_;
}

}  // namespace restand
