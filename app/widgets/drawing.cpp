#include "app/widgets/drawing.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

#include "app/widgets/drawing_place.h"
#include "app/widgets/key.h"
#include "app/widgets/strokes.h"
#include "app/widgets/tag.h"

namespace restand {
namespace {

void draw_lines(Canvas& c, const Drawing& drawing, const DrawingUi& ui) {
    std::vector<ImVec2> points;
    for (std::size_t i = 0; i < drawing.strokes.size(); ++i) {
        const Stroke& stroke = drawing.strokes[i];
        points.clear();
        for (const Vec2& p : stroke.points) points.push_back(ui.camera.at(p));
        if (stroke.filled && i < ui.fills.size()) {
            const std::uint32_t tint = packed(c.paper.tint);
            const auto flags = c.list.Flags;
            c.list.Flags &= ~ImDrawListFlags_AntiAliasedFill;  // triangles would show their seams
            const auto& corners = ui.fills[i];
            for (std::size_t k = 0; k + 2 < corners.size(); k += 3) {
                c.list.AddTriangleFilled(points[corners[k]], points[corners[k + 1]], points[corners[k + 2]],
                                         tint);
            }
            c.list.Flags = flags;
        }
        draw_stroke(c, points, stroke.closed, stroke.line, c.line_of(stroke.ink), ui.zone);
    }
}

// Straight down or up from where it should be, within the zone; where there is no room, as it came.
template <class IsFree>
Rect nearest_free(const Rect& area, const Rect& zone, float step, const IsFree& is_free) {
    for (float off = 0; off < zone.h; off += step) {
        for (const float by : {off, -off}) {
            const Rect moved{area.x, area.y + by, area.w, area.h};
            if (moved.y >= zone.y && moved.bottom() <= zone.bottom() && is_free(moved)) return moved;
        }
    }
    return area;
}

// Axis labels.
void draw_labels(Canvas& c, const Drawing& drawing, const DrawingUi& ui) {
    std::vector<Rect> taken;
    const auto is_free = [&](const Rect& area) {
        return std::none_of(taken.begin(), taken.end(), [&](const Rect& r) { return r.overlaps(area); });
    };
    for (const Label& label : drawing.labels) {
        const ImVec2 at = ui.camera.at(label.at);
        const float wide = c.type.width(Face::small, label.text), tall = c.type.cap(Face::small);
        const float share = label.lies == LabelAt::left ? 1.0f : label.lies == LabelAt::middle ? 0.5f : 0.0f;
        // Inside the zone; with large letters those that would lie on another are left out.
        const float x =
            std::clamp(at.x - share * wide, ui.zone.x, std::max(ui.zone.x, ui.zone.right() - wide));
        Rect area = Rect{x, at.y - tall / 2, wide, tall}.inset(-c.mm(1.6f));
        if (label.stays) area = nearest_free(area, ui.zone, c.mm(0.5f), is_free);
        if (!is_free(area)) continue;
        taken.push_back(area);
        // A name that was moved may lie on a line.
        if (label.stays) c.fill(area.inset(c.mm(0.8f)), c.paper.bench);
        c.text(Face::small, label.text, x, area.middle_y() + tall / 2, c.text_of(label.ink));
    }
}

void draw_joints(Canvas& c, const Drawing& drawing, const DrawingUi& ui) {
    for (const Joint& joint : drawing.joints) {
        const ImVec2 at = ui.camera.at(joint.at);
        const Rect area = joint_area(c, joint, ui.camera);
        if (!ui.zone.overlaps(area)) continue;
        const float r = joint_radius(c, joint, ui.camera);
        c.list.AddCircleFilled(at, r, packed(c.paper.panel), 32);
        c.list.AddCircle(at, r, packed(c.line_of(Ink::ink)), 32, c.pen_width(0.45f));
        if (r > c.mm(1.4f)) {
            c.line(at.x - r * 0.6f, at.y, at.x + r * 0.6f, at.y, c.line_of(Ink::ink), 0.15f);
            c.line(at.x, at.y - r * 0.6f, at.x, at.y + r * 0.6f, c.line_of(Ink::ink), 0.15f);
        }
        if (ui.zone.holds(area)) c.note(Drawn::Kind::joint, "joint", area);
    }
}

void draw_dimension(Canvas& c, const DimensionLine& d, Colour colour) {
    const auto extend = [&](ImVec2 bike, ImVec2 end) {
        const float dx = end.x - bike.x, dy = end.y - bike.y, far = std::hypot(dx, dy);
        if (far < c.mm(1.5f)) return;
        const float gap = c.mm(1) / far, over = 1 + c.mm(1.5f) / far;
        c.line(bike.x + dx * gap, bike.y + dy * gap, bike.x + dx * over, bike.y + dy * over, colour, 0.25f);
    };
    extend(d.a, d.from);
    extend(d.b, d.to);
    const float dx = d.to.x - d.from.x, dy = d.to.y - d.from.y, length = std::hypot(dx, dy);
    if (length < 1) return;
    const float head = 3.0f;
    // Too short for two arrowheads inside: place them outside, pointing inwards.
    if (length < c.mm(2.6f * head)) {
        const float ux = dx / length * c.mm(6), uy = dy / length * c.mm(6);
        const ImVec2 before{d.from.x - ux, d.from.y - uy}, after{d.to.x + ux, d.to.y + uy};
        c.line(before.x, before.y, after.x, after.y, colour, 0.25f);
        draw_arrowhead(c, d.from, before, head, colour);
        draw_arrowhead(c, d.to, after, head, colour);
        return;
    }
    c.line(d.from.x, d.from.y, d.to.x, d.to.y, colour, 0.25f);
    draw_arrowhead(c, d.from, d.to, head, colour);
    draw_arrowhead(c, d.to, d.from, head, colour);
}

// Where the curve is at x: twice where it stands still there; of single points the nearest; off its ends
// nowhere.
std::vector<Vec2> spots_at(const Readout::Curve& curve, double x) {
    const auto& all = curve.points;
    if (all.empty()) return {};
    if (!curve.joined)
        return {*std::min_element(all.begin(), all.end(), [&](const Vec2& a, const Vec2& b) {
            return std::fabs(a.x - x) < std::fabs(b.x - x);
        })};
    std::vector<Vec2> spots;
    for (std::size_t i = 0; i + 1 < all.size(); ++i) {
        const Vec2 &a = all[i], &b = all[i + 1];
        if (x < a.x || x > b.x) continue;
        const double t = b.x > a.x ? (x - a.x) / (b.x - a.x) : 0;
        const Vec2 spot{x, a.y + t * (b.y - a.y)};
        if (spots.empty() || std::fabs(spots.back().y - spot.y) > 1e-9) spots.push_back(spot);
    }
    return spots;
}

void draw_tags(Canvas& c, const Drawing& drawing, const DrawingUi& ui) {
    const auto ink = [&](const Tag& tag) { return c.line_of(tag.open ? Ink::now : tag.ink); };
    const auto shown = [&](std::size_t i) {
        return i < ui.places.size() && ui.places[i] && ui.zone.holds(*ui.places[i]);
    };
    const bool filling = is_filling(drawing);
    for (std::size_t i = 0; i < drawing.tags.size(); ++i) {
        const Tag& tag = drawing.tags[i];
        if (tag.b && (shown(i) || (!filling && ui.rooms[i].w > 0 && !ui.sliding)))
            draw_dimension(c, dimension_line(tag, ui.camera), ink(tag));
    }
    for (std::size_t i = 0; i < drawing.tags.size(); ++i) {
        if (!shown(i)) continue;
        const Leader leader = leader_of(*ui.places[i], ui.rooms[i]);
        if (leader.length() < 1) continue;
        const Colour colour = ink(drawing.tags[i]);
        c.line(leader.from.x, leader.from.y, leader.to.x, leader.to.y, colour, 0.25f);
        // ISO 128: a leader ends in a dot on a surface, in nothing on a dimension line.
        if (!drawing.tags[i].b)
            c.list.AddCircleFilled({leader.to.x, leader.to.y}, c.mm(0.65f), packed(colour), 16);
    }
    for (std::size_t i = 0; i < drawing.tags.size(); ++i) {
        if (shown(i)) draw_tag(c, drawing.tags[i], *ui.places[i], ui.tag_scale);
    }
}

void draw_guide(Canvas& c, const Drawing& drawing, const DrawingUi& ui) {
    const Guide guide = guide_of(c, drawing, ui.zone);
    if (guide.area.w <= 0) return;
    c.fill(guide.area, c.paper.bench);
    const Canvas::Inside inside(c, "guide", guide.area);
    float y = guide.area.y + c.mm(0.5f);
    const float wide = guide.area.w - c.mm(18);
    if (!drawing.guide.empty()) {
        y += c.paragraph(Face::body, drawing.guide, guide.area.x, y, wide, c.text_of(Ink::ink), Align::left,
                         guide.head.scale) +
             c.mm(1.2f);
    }
    c.paragraph(Face::small, drawing.guide_small, guide.area.x, y, wide, c.text_of(Ink::quiet), Align::left,
                guide.small.scale);
}

// A line at the cursor and a ring on each curve; the numbers stand in the caption's place.
void draw_cursor(Canvas& c, const Readout& plot, const DrawingUi& ui) {
    const ImVec2 foot = ui.camera.at({*ui.cursor, 0}), head = ui.camera.at({*ui.cursor, plot.top});
    c.line(foot.x, foot.y, head.x, head.y, c.line_of(Ink::ink), 0.25f);
    for (const Readout::Curve& curve : plot.curves)
        for (const Vec2& p : spots_at(curve, *ui.cursor)) {
            const ImVec2 at = ui.camera.at(p);
            c.list.AddCircle(at, c.mm(1.3f), packed(c.line_of(Ink::ink)), 24, c.pen_width(0.4f));
        }
}

}  // namespace

std::string readout_at(const Readout& plot, double x) {
    const auto words = [](const PlotScale& scale, double mm) {
        const double value = scale.value(mm);
        if (scale.text) return std::string(scale.text(value));
        std::array<char, 48> text{};
        const double least = 0.5 * std::pow(10.0, -scale.decimals);
        std::snprintf(text.data(), text.size(), "%.*f", scale.decimals,
                      std::fabs(value) < least ? 0.0 : value);
        return std::string(text.data()) + (scale.unit.empty() ? "" : " " + scale.unit);
    };
    std::string all;
    double at = x;
    for (const Readout::Curve& curve : plot.curves) {
        const auto spots = spots_at(curve, x);
        if (spots.empty()) continue;
        if (!curve.joined) at = spots.front().x;
        all += all.empty() ? "" : " · ";
        if (!curve.name.empty()) all += curve.name + " ";
        for (std::size_t i = 0; i < spots.size(); ++i)
            all += (i > 0 ? " and " : "") + words(plot.y, spots[i].y);
    }
    if (all.empty()) return "";
    return (plot.x.name.empty() ? "" : plot.x.name + " ") + words(plot.x, at) + ":  " + all;
}

double cursor_at(const Readout& plot, const DrawingUi& ui, float x) {
    const double scale = ui.camera.scale > 0 ? ui.camera.scale : 1;
    return std::clamp((x - ui.camera.x) / scale, plot.low, plot.high);
}

bool is_empty(const Drawing& d) {
    return d.strokes.empty() && d.tags.empty() && d.joints.empty();
}

void zoom_at(DrawingUi& ui, float x, float y, float factor) {
    const float zoom = std::clamp(ui.zoom * factor, 0.25f, 16.0f), k = zoom / ui.zoom;
    const float mid_x = ui.fit.middle_x() + ui.pan_x, mid_y = ui.fit.middle_y() + ui.pan_y;
    ui.zoom = zoom;
    slide(ui, (mid_x - x) * (k - 1), (mid_y - y) * (k - 1));
}

void slide(DrawingUi& ui, float dx, float dy) {
    const float far_x = ui.zone.w * (0.3f + 0.5f * ui.zoom), far_y = ui.zone.h * (0.3f + 0.5f * ui.zoom);
    ui.pan_x = std::clamp(ui.pan_x + dx, -far_x, far_x);
    ui.pan_y = std::clamp(ui.pan_y + dy, -far_y, far_y);
}

void draw_drawing(Canvas& c, const Drawing& drawing, const Rect& zone, DrawingUi& ui) {
    refresh(c, drawing, zone, ui);
    const Canvas::Clip clip(c, zone, false);
    c.note(Drawn::Kind::panel, "drawing", zone);
    draw_lines(c, drawing, ui);
    draw_joints(c, drawing, ui);
    draw_labels(c, drawing, ui);
    draw_tags(c, drawing, ui);
    draw_guide(c, drawing, ui);
    if (ui.cursor && drawing.readout) draw_cursor(c, *drawing.readout, ui);
    // Not while a finger moves the drawing: tags move along and may come close.
    if (ui.moved() && !ui.sliding) {
        key(c, "drawing:whole", whole_key(c, zone), "", std::nullopt,
            {.sign = Sign::whole, .local = Local::whole});
    }
}

void draw_small(Canvas& c, const Drawing& drawing, const Rect& area) {
    if (c.dry() || is_empty(drawing)) return;
    const double wide = std::max(1.0, drawing.high.x - drawing.low.x),
                 tall = std::max(1.0, drawing.high.y - drawing.low.y);
    Camera camera;
    camera.scale = std::min(area.w / wide, area.h / tall);
    camera.x = area.middle_x() - camera.scale * (drawing.low.x + drawing.high.x) / 2;
    camera.y = area.middle_y() + camera.scale * (drawing.low.y + drawing.high.y) / 2;
    std::vector<ImVec2> points;
    for (const Stroke& stroke : drawing.strokes) {
        points.clear();
        for (const Vec2& p : stroke.points) points.push_back(camera.at(p));
        if (stroke.filled)
            c.list.AddConvexPolyFilled(points.data(), static_cast<int>(points.size()), packed(c.paper.tint));
        draw_stroke(c, points, stroke.closed, stroke.line, c.line_of(stroke.ink), area);
    }
}

}  // namespace restand
