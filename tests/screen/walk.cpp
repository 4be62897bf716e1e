#include "tests/screen/walk.h"

#include <algorithm>
#include <cmath>

namespace restand {
namespace {

std::string at(const Rect& r) {
    const auto n = [](float v) { return std::to_string(static_cast<int>(std::lround(v))); };
    return " (" + n(r.x) + ", " + n(r.y) + ", " + n(r.w) + " x " + n(r.h) + ")";
}

std::string name(const Drawn& d) {
    return (d.kind == Drawn::Kind::text ? "'" + d.text + "' in " + d.id : d.id) + at(d.area());
}

// Half a pixel: positions are rounded to whole pixels.
bool within(const Rect& in, const Rect& out, float slack = 0.6f) {
    return in.x >= out.x - slack && in.y >= out.y - slack && in.right() <= out.right() + slack &&
           in.bottom() <= out.bottom() + slack;
}

// The visible part; a list's rows beyond its edge are not visible.
Rect seen(const Drawn& d) {
    return d.kind == Drawn::Kind::touch || d.kind == Drawn::Kind::tag ? d.area().both(d.clip()) : d.area();
}

// Words have capitals of 2.5 mm or more, less a rounding of letters to whole pixels and one step of fitting; on a
// drawing's tags and in notices 1.9 mm. Smaller only where the person chose smaller letters.
float least_cap(const Drawn& d, float mm_px) {
    const bool short_of_room = d.id.starts_with("tag:") || d.id == "notice";
    return (short_of_room ? 1.9f : 0.92f * 2.5f) * mm_px;
}

void check_text(const Drawn& d, const Rect& whole, float mm_px, std::vector<std::string>& out) {
    const float least = least_cap(d, mm_px);
    if (d.cap < least)
        out.push_back("smaller than " + std::to_string(least) + " px: " + std::to_string(d.cap) + " " +
                      name(d));
    if (!within(d.area(), d.clip(), 1.0f)) out.push_back("cut off: " + name(d) + " of" + at(d.clip()));
    if (!d.list && !within(d.area(), whole)) out.push_back("off the glass: " + name(d));
}

void check_touch(const Drawn& d, const Rect& whole, const Viewport& viewport, std::vector<std::string>& out) {
    const float least = d.least_mm * viewport.px_per_mm;
    // `least_mm` is the smallest allowed width and height of this target.
    if (d.w < least || d.h < least)
        out.push_back("too small: " + name(d) + ", least " + std::to_string(least));
    if (!d.list && !within(d.area(), whole)) out.push_back("off the glass: " + name(d));
    if (!d.list && !within(d.area(), d.clip())) out.push_back("cut off: " + name(d) + " of" + at(d.clip()));
}

// `apart`: half the distance between two targets, px.
void check_pair(const Drawn& a, const Drawn& b, float apart, std::vector<std::string>& out) {
    const auto is = [&](Drawn::Kind x, Drawn::Kind y) { return a.kind == x && b.kind == y; };
    const Rect ra = seen(a), rb = seen(b);
    if (ra.w < 1 || ra.h < 1 || rb.w < 1 || rb.h < 1) return;
    // Rows of a scrolling list pass under fixed items and under other lists; the clip hides them.
    if (a.list != b.list) return;
    if (is(Drawn::Kind::text, Drawn::Kind::text) && ra.inset(0.5f).overlaps(rb.inset(0.5f))) {
        out.push_back("text on text: " + name(a) + " and " + name(b));
    }
    if (is(Drawn::Kind::touch, Drawn::Kind::touch) && ra.inset(-apart).overlaps(rb.inset(-apart))) {
        out.push_back("targets too near: " + name(a) + " and " + name(b));
    }
    if (is(Drawn::Kind::tag, Drawn::Kind::tag) && ra.overlaps(rb))
        out.push_back("tag on tag: " + name(a) + " and " + name(b));
    if ((is(Drawn::Kind::tag, Drawn::Kind::joint) || is(Drawn::Kind::joint, Drawn::Kind::tag)) &&
        ra.overlaps(rb)) {
        out.push_back("tag on joint: " + name(a) + " and " + name(b));
    }
    // A tag on text that is not its own, or such text on a tag.
    const auto covers = [&](const Drawn& tag, const Drawn& text) {
        return tag.kind == Drawn::Kind::tag && text.kind == Drawn::Kind::text && text.id != tag.id &&
               seen(tag).overlaps(seen(text));
    };
    if (covers(a, b) || covers(b, a)) out.push_back("tag on text: " + name(a) + " and " + name(b));
}

}  // namespace

std::vector<std::string> faults(const PageScreen& screen, const Viewport& viewport) {
    std::vector<std::string> out;
    const auto& drawn = screen.drawn();
    const float letters =
        viewport.px_per_mm * std::min(1.0f, static_cast<float>(screen.text_percent()) / 100);
    // Under a finger 2 mm, less rounding; a mouse's targets may touch.
    const float apart = screen.pointer() == Pointer::mouse ? -0.5f : 0.95f * viewport.px_per_mm;
    const Rect whole{0, 0, static_cast<float>(viewport.width_px), static_cast<float>(viewport.height_px)};
    for (std::size_t i = 0; i < drawn.size(); ++i) {
        if (drawn[i].kind == Drawn::Kind::text) check_text(drawn[i], whole, letters, out);
        if (drawn[i].kind == Drawn::Kind::touch) check_touch(drawn[i], whole, viewport, out);
        if (drawn[i].kind == Drawn::Kind::panel && !within(drawn[i].area(), whole))
            out.push_back("off the glass: " + name(drawn[i]));
        for (std::size_t k = i + 1; k < drawn.size(); ++k) check_pair(drawn[i], drawn[k], apart, out);
    }
    return out;
}

}  // namespace restand
