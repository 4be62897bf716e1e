#include "app/print/sheet_drawing.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "app/views/crossing.h"

namespace restand::paper {
namespace {

constexpr double air = 2;        // between a tag's line and the drawing
constexpr double between = 1.6;  // tags one above the other

double tag_height(const Fit& fit) {
    return 1.15 * small_size(fit) + 1.2 * fit.size;
}

// From the drawing's millimetres to the page's.
struct Camera {
    double scale = 1, x = 0, y = 0;
    PaperSpot at(PaperSpot p) const { return {x + p.x * scale, y - p.y * scale}; }
};

struct Tag {
    const PaperTag* from;
    PaperSpot target;  // on the page
    double y = 0;      // top
};

double tag_width(const Ink& ink, const SheetPage& page, const Fit& fit) {
    double most = 0;
    for (const PaperTag& tag : page.tags)
        most = std::max(
            {most, ink.width(tag.label, {small_size(fit), false}), ink.width(tag.value, {fit.size, true})});
    return most;
}

// Limit tag width, so that long names leave space for the drawing.
double side_width(const Ink& ink, const SheetPage& page, double width, const Fit& fit) {
    return page.tags.empty() ? 0 : std::min(tag_width(ink, page, fit), 0.27 * width);
}

PaperSpot middle(PaperSpot a, PaperSpot b) {
    return {(a.x + b.x) / 2, (a.y + b.y) / 2};
}

struct Dimension {
    PaperSpot a, b, from, to;  // on the bike; ends of the dimension line
};

Dimension dimension_of(const PaperTag& tag, const Camera& camera) {
    const PaperSpot a = tag.at, b = *tag.other;
    const double dx = b.x - a.x, dy = b.y - a.y, length = std::hypot(dx, dy);
    const double k = length > 0 ? tag.offset / length : 0;
    const PaperSpot shift{-dy * k, dx * k};
    return {camera.at(a), camera.at(b), camera.at({a.x + shift.x, a.y + shift.y}),
            camera.at({b.x + shift.x, b.y + shift.y})};
}

PaperSpot target_of(const PaperTag& tag, const Camera& camera) {
    if (!tag.other) return camera.at(tag.at);
    const Dimension d = dimension_of(tag, camera);
    return middle(d.from, d.to);
}

// Tag tops from `low` on, as near to their points as the order allows.
void spread(std::vector<Tag>& tags, const Box& area, double height) {
    const double step = height + between;
    const auto count = static_cast<double>(tags.size());
    double y = area.y;
    for (Tag& tag : tags) {
        tag.y = std::max(y, tag.target.y - height);
        y = tag.y + step;
    }
    double bottom = area.bottom() - height;
    for (auto tag = tags.rbegin(); tag != tags.rend(); ++tag) {
        tag->y = std::min(tag->y, bottom);
        bottom = tag->y - step;
    }
    // More than there is room for: even steps.
    if (!tags.empty() && tags.front().y < area.y)
        for (std::size_t i = 0; i < tags.size(); ++i)
            tags[i].y = area.y + static_cast<double>(i) * (area.h - height) / std::max(1.0, count - 1);
}

// Ordered by height, then exchanged where two leaders still cross.
void settle(std::vector<Tag>& tags, const Box& area, double height, double edge) {
    std::stable_sort(tags.begin(), tags.end(),
                     [](const Tag& a, const Tag& b) { return a.target.y < b.target.y; });
    spread(tags, area, height);
    for (std::size_t round = 0; round < tags.size(); ++round) {
        bool crossed = false;
        for (std::size_t i = 0; i + 1 < tags.size(); ++i)
            for (std::size_t j = i + 1; j < tags.size(); ++j)
                if (segments_cross({edge, tags[i].y + height}, tags[i].target, {edge, tags[j].y + height},
                                   tags[j].target)) {
                    std::swap(tags[i].from, tags[j].from);
                    std::swap(tags[i].target, tags[j].target);
                    crossed = true;
                }
        if (!crossed) return;
    }
}

void draw_line(Ink& ink, const PaperLine& line, const Camera& camera) {
    std::vector<PaperSpot> points;
    points.reserve(line.points.size());
    for (const PaperSpot& p : line.points) points.push_back(camera.at(p));
    if (points.size() < 2) return;
    if (line.filled) ink.fill(points, Colour::white);  // hides what is behind it
    const bool ghost = line.pen == PaperLine::Pen::ghost;
    ink.line(points, line.pen, ghost ? Colour::blue : Colour::black, line.closed);
}

// Dimension line with arrowheads and extension lines (ISO 129-1); a dot where there is only a spot.
void draw_target(Ink& ink, const PaperTag& tag, const Camera& camera) {
    if (!tag.other) {
        const PaperSpot at = camera.at(tag.at);
        std::vector<PaperSpot> dot;
        for (int i = 0; i < 16; ++i) {
            const double t = i * 0.392699;  // 2π/16
            dot.push_back({at.x + 0.7 * std::cos(t), at.y + 0.7 * std::sin(t)});
        }
        ink.fill(dot, Colour::blue);
        return;
    }
    const Dimension d = dimension_of(tag, camera);
    const auto beyond = [](PaperSpot from, PaperSpot to) {
        const double length = std::hypot(to.x - from.x, to.y - from.y), k = length > 0 ? 1.5 / length : 0;
        return PaperSpot{to.x + (to.x - from.x) * k, to.y + (to.y - from.y) * k};
    };
    for (const auto& [on, end] : {std::pair{d.a, d.from}, std::pair{d.b, d.to}})
        ink.line(std::array{on, beyond(on, end)}, PaperLine::Pen::narrow, Colour::blue);
    ink.line(std::array{d.from, d.to}, PaperLine::Pen::narrow, Colour::blue);
    // Too short for two heads inside: they point from outside.
    const bool inside = std::hypot(d.to.x - d.from.x, d.to.y - d.from.y) > 6;
    const PaperSpot m = middle(d.from, d.to);
    const auto outside = [&](PaperSpot end) { return PaperSpot{2 * end.x - m.x, 2 * end.y - m.y}; };
    ink.arrowhead(d.from, inside ? d.to : outside(d.from), Colour::blue);
    ink.arrowhead(d.to, inside ? d.from : outside(d.to), Colour::blue);
}

void draw_label(Ink& ink, const PaperLabel& label, const Camera& camera, const Fit& fit) {
    const Type type{small_size(fit), false};
    const PaperSpot at = camera.at(label.at);
    const double share = label.lies == PaperLabel::Lies::left     ? 1.0
                         : label.lies == PaperLabel::Lies::middle ? 0.5
                                                                  : 0;
    ink.text(at.x - share * ink.width(label.text, type), at.y + 0.36 * type.size, label.text, type);
}

// Size at which a text fits its side.
Type shrunk(const Ink& ink, const std::string& text, Type type, double room) {
    const double w = ink.width(text, type);
    if (w > room) type.size *= room / w;
    return type;
}

void draw_tag(Ink& ink, const Tag& tag, const Box& side, bool left, const Fit& fit) {
    const double base = tag.y + tag_height(fit), edge = left ? side.right() : side.x;
    const auto text = [&](const std::string& words, double y, Type type) {
        const Type fitted = shrunk(ink, words, type, side.w);
        ink.text(left ? side.x : side.right() - ink.width(words, fitted), y, words, fitted);
    };
    text(tag.from->label, tag.y + 0.85 * small_size(fit), {small_size(fit), false});
    text(tag.from->value, base - 0.28 * fit.size, {fit.size, true});
    const std::array leader{PaperSpot{left ? side.x : side.right(), base}, PaperSpot{edge, base}, tag.target};
    ink.line(leader, PaperLine::Pen::narrow, Colour::blue);
}

}  // namespace

double tags_height(const SheetPage& page, const Fit& fit) {
    const double half = (page.low.x + page.high.x) / 2;
    const auto left = std::count_if(page.tags.begin(), page.tags.end(), [&](const PaperTag& tag) {
        return (tag.other ? (tag.at.x + tag.other->x) / 2 : tag.at.x) < half;
    });
    const auto all = static_cast<std::ptrdiff_t>(page.tags.size());
    // Each on its own side, unless that stacks too many.
    const auto most = std::max((all + 1) / 2, std::min<std::ptrdiff_t>(std::max(left, all - left), 9));
    return static_cast<double>(most) * (tag_height(fit) + between);
}

double full_height(const Ink& ink, const SheetPage& page, double width, const Fit& fit) {
    const double room = width - 2 * (side_width(ink, page, width, fit) + air);
    const double wide = std::max(1.0, page.high.x - page.low.x),
                 tall = std::max(1.0, page.high.y - page.low.y);
    return std::max(tags_height(page, fit), room * tall / wide);
}

void draw(Ink& ink, const SheetPage& page, const Box& area, const Fit& fit) {
    const double side = side_width(ink, page, area.w, fit), height = tag_height(fit);
    const Box view{area.x + side + air, area.y, area.w - 2 * (side + air), area.h};
    Camera camera;
    camera.scale = std::min(view.w / std::max(1.0, page.high.x - page.low.x),
                            view.h / std::max(1.0, page.high.y - page.low.y));
    camera.x = view.x + view.w / 2 - (page.low.x + page.high.x) / 2 * camera.scale;
    camera.y = view.y + view.h / 2 + (page.low.y + page.high.y) / 2 * camera.scale;
    ink.clip(area);
    for (const PaperLine& line : page.drawing) draw_line(ink, line, camera);
    for (const PaperTag& tag : page.tags) draw_target(ink, tag, camera);
    ink.unclip();
    for (const PaperLabel& label : page.labels) draw_label(ink, label, camera, fit);

    // To the side it is on; what is nearest the middle gives way where one side has too many.
    std::vector<Tag> all;
    for (const PaperTag& tag : page.tags) all.push_back({&tag, target_of(tag, camera)});
    std::stable_sort(all.begin(), all.end(),
                     [](const Tag& a, const Tag& b) { return a.target.x < b.target.x; });
    const auto most =
        std::max<std::ptrdiff_t>(static_cast<std::ptrdiff_t>((all.size() + 1) / 2),
                                 static_cast<std::ptrdiff_t>((area.h + between) / (height + between)));
    auto split = std::partition_point(all.begin(), all.end(),
                                      [&](const Tag& t) { return t.target.x < view.x + view.w / 2; }) -
                 all.begin();
    const auto count = static_cast<std::ptrdiff_t>(all.size());
    split = std::clamp(split, std::max<std::ptrdiff_t>(0, count - most), std::min(count, most));
    std::vector<Tag> left(all.begin(), all.begin() + split), right(all.begin() + split, all.end());
    const Box left_side{area.x, area.y, side, area.h}, right_side{area.right() - side, area.y, side, area.h};
    settle(left, area, height, left_side.right());
    settle(right, area, height, right_side.x);
    for (const Tag& tag : left) draw_tag(ink, tag, left_side, true, fit);
    for (const Tag& tag : right) draw_tag(ink, tag, right_side, false, fit);
}

}  // namespace restand::paper
