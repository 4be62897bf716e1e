#include "app/widgets/title.h"
#include "app/navigation.h"

#include "app/widgets/key.h"

namespace restand {

void draw_title(Canvas& c, const PageView& view, const Rect& area) {
    c.place = Region::title;
    c.note(Drawn::Kind::panel, "title", area);
    c.line(area.x, area.bottom(), area.right(), area.bottom(), c.line_of(Ink::ink), 0.35f);
    const float key_side = c.mm(12.1f), gap = c.mm(2.4f), y = area.middle_y() - key_side / 2;
    float left = area.x + c.mm(2.2f), right = area.right() - c.mm(2.2f);
    if (view.can_go_back) {
        key(c, "title:back", {left, y, key_side, key_side}, "", act::Back{},
            {.sign = Sign::back, .light = true});
        left += key_side + gap;
    } else {
        left += c.mm(1);
    }
    right -= key_side;
    key(c, "title:settings", {right, y, key_side, key_side}, "", act::Go{Screen::settings, {}},
        {.sign = Sign::settings, .light = true});
    right -= gap;

    if (view.add_job) {
        const float wide = std::max(key_side, c.type.width(Face::small, "+ job") + c.mm(4));
        right -= wide;
        key(c, "title:job", {right, y, wide, key_side}, "+ job", *view.add_job,
            {.face = Face::small, .light = true});
        right -= gap;
    }

    const Canvas::Inside inside(c, "title", area);
    const float room = right - left;
    const float saved = std::min(c.type.width(Face::small, view.saved) + 2, room * 0.24f);
    if (!view.saved.empty()) {
        c.block_in(Face::small, view.saved, {right - saved, y + c.mm(0.6f), saved, key_side - c.mm(1.2f)},
                   c.text_of(Ink::quiet), Align::right);
        right -= saved + gap;
    }
    if (!view.who.empty()) {
        const float who = std::clamp(c.type.width(Face::small, view.who) + c.mm(5), key_side,
                                     std::max(key_side, room * 0.3f));
        key(c, "title:who", {right - who, y, who, key_side}, view.who, act::Go{Screen::people, {}},
            {.face = Face::small, .light = true});
        right -= who + gap;
    }
    c.block_in(Face::head, view.title, {left, area.y, right - left, area.h}, c.text_of(Ink::ink),
               Align::left);
}

void draw_caption(Canvas& c, const Drawing& drawing, const Rect& area) {
    if (drawing.caption.empty()) return;
    const Canvas::Inside inside(c, "caption", area);
    // It stands on the bottom line, like a caption, however many lines it has.
    float scale = 1;
    Lines lines = c.type.wrap(Face::small, drawing.caption, area.w, scale);
    while (c.type.height(Face::small, lines) > area.h && scale > 0.3f) {
        scale *= 0.93f;
        lines = c.type.wrap(Face::small, drawing.caption, area.w, scale);
    }
    const float tall = c.type.height(Face::small, lines);
    c.paragraph(Face::small, drawing.caption, area.x, area.bottom() - tall, area.w,
                c.text_of(drawing.caption_ink), Align::left, scale);
}

void draw_readout(Canvas& c, const std::string& words, const Rect& area) {
    c.note(Drawn::Kind::panel, "readout", area);
    const Canvas::Inside inside(c, "readout", area);
    c.block_in(Face::bold, words, area, c.text_of(Ink::ink), Align::left);
}

void draw_notice(Canvas& c, const Notice& notice, const Rect& area) {
    c.place = Region::notice;
    const float side = c.mm(12.1f), gap = c.mm(2.1f), usual = c.mm(14.2f);
    const float undo =
        std::max(side, std::min(c.type.width(Face::bold, notice.key) + c.mm(5), area.w * 0.35f));
    const float beside = area.w - c.mm(3.55f) - side - gap - (notice.tap ? gap + undo : 0.0f);
    // Where no word has room beside the keys, the words stand over them.
    const bool over = beside < c.mm(25);
    const float words = over ? area.w - c.mm(5) : beside;
    // Text shrinks to a limit; then the strip grows upwards over the drawing.
    const float least_letters = std::min(0.8f, c.mm(2.06f) / c.type.cap(Face::body));
    const float needed =
        (c.type.height(Face::body, notice.text, words / least_letters) + 1.3f * c.type.tail(Face::body)) *
            least_letters +
        usual - (over ? 0.0f : side);
    const float tall = std::clamp(needed, usual, std::max(usual, area.bottom() - c.mm(20)));
    const Rect strip{area.x, area.bottom() - tall, area.w, tall};
    c.note(Drawn::Kind::panel, "notice", strip);
    c.fill(strip, c.paper.panel, 0.6f);
    c.frame(strip, c.line_of(notice.ink), 0.5f, 0.6f);
    const float y = strip.bottom() - usual / 2 - side / 2;
    float right = strip.right() - c.mm(1.05f) - side;
    key(c, "notice:close", {right, y, side, side}, "", act::DismissNotice{},
        {.sign = Sign::close, .quiet = true});
    if (notice.tap) {
        right -= gap + undo;
        key(c, "notice:key", {right, y, undo, side}, notice.key, notice.tap);
    }
    const Canvas::Inside inside(c, "notice", strip);
    const float left = strip.x + c.mm(2.5f);
    const float keys = over ? side : 0.0f;
    const Rect room{left, strip.y + (usual - side) / 2, words, tall - usual + side - keys};
    c.block_in(Face::body, notice.text, room, c.text_of(notice.ink), Align::left);
}

}  // namespace restand
