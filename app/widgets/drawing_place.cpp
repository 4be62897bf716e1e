#include "app/widgets/drawing_place.h"

#include <algorithm>
#include <cmath>

#include "app/widgets/strokes.h"
#include "app/widgets/tag.h"

namespace restand {

DimensionLine dimension_line(const Tag& tag, const Camera& camera) {
    const double dx = tag.b->x - tag.a.x, dy = tag.b->y - tag.a.y, length = std::hypot(dx, dy);
    const double k = length > 0 ? tag.offset / length : 0;
    const Vec2 shift{-dy * k, dx * k};
    return {camera.at(tag.a), camera.at(*tag.b), camera.at({tag.a.x + shift.x, tag.a.y + shift.y}),
            camera.at({tag.b->x + shift.x, tag.b->y + shift.y})};
}

namespace {

// What is seen of a segment, if anything.
std::optional<std::pair<Spot, Spot>> seen_of(ImVec2 a, ImVec2 b, const Rect& zone) {
    const auto part = part_inside(zone, {a.x, a.y}, {b.x, b.y});
    if (!part) return std::nullopt;
    const auto at = [&](float t) { return Spot{a.x + (b.x - a.x) * t, a.y + (b.y - a.y) * t}; };
    return std::pair{at(part->first), at(part->second)};
}

Camera camera_of(const Drawing& drawing, const DrawingUi& ui) {
    const double wide = std::max(1.0, drawing.high.x - drawing.low.x);
    const double tall = std::max(1.0, drawing.high.y - drawing.low.y);
    Camera camera;
    camera.scale = std::min(ui.fit.w / wide, ui.fit.h / tall) * ui.zoom;
    camera.x = ui.fit.middle_x() + ui.pan_x - (drawing.low.x + drawing.high.x) / 2 * camera.scale;
    camera.y = ui.fit.middle_y() + ui.pan_y + (drawing.low.y + drawing.high.y) / 2 * camera.scale;
    return camera;
}

}  // namespace

float joint_radius(const Canvas& c, const Joint& joint, const Camera& camera) {
    return std::clamp(static_cast<float>(joint.radius_mm * camera.scale), c.mm(0.9f), c.mm(3.2f));
}

Rect joint_area(const Canvas& c, const Joint& joint, const Camera& camera) {
    const ImVec2 at = camera.at(joint.at);
    const float r = joint_radius(c, joint, camera) + c.mm(0.3f);
    return {at.x - r, at.y - r, 2 * r, 2 * r};
}

namespace {

// All inputs of lines and tag places, except the numbers in the tags.
bool same_shape(const Drawing& x, const Drawing& y) {
    const auto same_tag = [](const Tag& a, const Tag& b) {
        return a.id == b.id && a.a == b.a && a.b == b.b && a.offset == b.offset && a.open == b.open &&
               a.drag.has_value() == b.drag.has_value();
    };
    return x.low == y.low && x.high == y.high && x.joints == y.joints && x.guide == y.guide &&
           x.guide_small == y.guide_small && x.strokes == y.strokes &&
           std::equal(x.tags.begin(), x.tags.end(), y.tags.begin(), y.tags.end(), same_tag);
}

// A drawing on which numbers are tried, as before but for the numbers and what they move.
bool same_trial(const Drawing& x, const Drawing& y) {
    return std::any_of(x.tags.begin(), x.tags.end(), [](const Tag& tag) { return tag.drag.has_value(); }) &&
           std::equal(x.tags.begin(), x.tags.end(), y.tags.begin(), y.tags.end(),
                      [](const Tag& a, const Tag& b) { return a.id == b.id && a.open == b.open; });
}

void map_ink(const Canvas& c, const Drawing& drawing, const DrawingUi& ui, InkMap& ink) {
    ink.reset(ui.zone, c.mm(1));
    for (const Stroke& stroke : drawing.strokes) {
        const float weight = stroke.line == Line::wide ? 1.0f : stroke.line == Line::narrow ? 0.6f : 0.35f;
        const std::size_t count = stroke.points.size();
        for (std::size_t i = 0; i + (stroke.closed ? 0 : 1) < count; ++i) {
            const ImVec2 a = ui.camera.at(stroke.points[i]), b = ui.camera.at(stroke.points[(i + 1) % count]);
            ink.line({a.x, a.y}, {b.x, b.y}, weight);
        }
    }
    ink.finish();
}

}  // namespace

Guide guide_of(const Canvas& c, const Drawing& drawing, const Rect& zone) {
    Guide guide;
    if (drawing.guide.empty() && drawing.guide_small.empty()) return guide;
    const float wide = zone.w - c.mm(18);
    float scale = 1;
    for (;; scale *= 0.94f) {
        guide.head = c.type.wrap(Face::body, drawing.guide, wide, scale);
        guide.small = c.type.wrap(Face::small, drawing.guide_small, wide, scale);
        const float tall = (drawing.guide.empty() ? 0 : c.type.height(Face::body, guide.head) + c.mm(1.2f)) +
                           (drawing.guide_small.empty() ? 0 : c.type.height(Face::small, guide.small));
        guide.area = {zone.x, zone.y, zone.w, tall + c.mm(1.5f)};
        if (tall < zone.h * 0.4f || scale < 0.5f) return guide;
    }
}

Rect whole_key(const Canvas& c, const Rect& zone) {
    return {zone.right() - c.mm(13), zone.y + c.mm(1), c.mm(12.1f), c.mm(12.1f)};
}

namespace {

// Omit a dimension that is almost entirely out of view.
bool long_enough(const std::pair<Spot, Spot>& seen, const DimensionLine& d) {
    const float part = std::hypot(seen.first.x - seen.second.x, seen.first.y - seen.second.y);
    return part >= 0.4f * std::hypot(d.from.x - d.to.x, d.from.y - d.to.y);
}

// Tag sizes at one text size. A tag whose anchor is not visible has width 0.
std::vector<TagRoom> rooms_of(const Canvas& c, const Drawing& drawing, const Camera& camera, const Rect& zone,
                              float scale) {
    std::vector<TagRoom> rooms;
    rooms.reserve(drawing.tags.size());
    for (const Tag& tag : drawing.tags) {
        const TagSize size = tag_size(c, tag, scale);
        TagRoom room{size.w, size.h, {}, {}, tag.open};
        if (tag.b) {
            const DimensionLine d = dimension_line(tag, camera);
            if (const auto seen = seen_of(d.from, d.to, zone.inset(c.mm(2))); seen && long_enough(*seen, d)) {
                room.a = seen->first;
                room.b = seen->second;
            } else {
                const Rect in = zone.inset(1);
                room.a = {std::clamp(d.from.x, in.x, in.right()), std::clamp(d.from.y, in.y, in.bottom())};
                if (!tag.open) room.w = 0;
            }
        } else {
            const ImVec2 at = camera.at(tag.a);
            room.a = {std::clamp(at.x, zone.x, zone.right()), std::clamp(at.y, zone.y, zone.bottom())};
            if (!tag.open && !zone.contains(at.x, at.y)) room.w = 0;
        }
        rooms.push_back(room);
    }
    return rooms;
}

TagGround ground_of(const Canvas& c, const Drawing& drawing, const Camera& camera, const DrawingUi& ui,
                    const InkMap& ink) {
    TagGround ground{ui.zone.inset(c.mm(0.5f)), {}, {}, &ink, c.mm(1)};
    const Guide guide = guide_of(c, drawing, ui.zone);
    if (guide.area.w > 0) ground.blocked.push_back(guide.area);
    if (ui.moved()) ground.blocked.push_back(whole_key(c, ui.zone).inset(-c.mm(2)));
    for (const Joint& joint : drawing.joints)
        ground.joints.push_back(joint_area(c, joint, camera).inset(-c.mm(0.6f)));
    return ground;
}

// The same middle, another size, inside the zone.
Rect resized(const Rect& area, const TagRoom& room, const Rect& zone) {
    const Rect out{area.middle_x() - room.w / 2, area.middle_y() - room.h / 2, room.w, room.h};
    return {std::clamp(out.x, zone.x, std::max(zone.x, zone.right() - out.w)),
            std::clamp(out.y, zone.y, std::max(zone.y, zone.bottom() - out.h)), out.w, out.h};
}

// The tag under the finger and its place.
struct HeldTag {
    std::size_t which;
    Rect area;
};

std::optional<HeldTag> held_tag(const Drawing& drawing, const DrawingUi& ui) {
    for (std::size_t i = 0; i < drawing.tags.size() && i < ui.places.size(); ++i)
        if (drawing.tags[i].id == ui.handled && ui.places[i]) return HeldTag{i, *ui.places[i]};
    return std::nullopt;
}

std::vector<std::optional<Rect>> place_at(const Canvas& c, const Drawing& drawing, DrawingUi& ui,
                                          TagGround ground, float scale, const std::optional<HeldTag>& held) {
    ui.rooms = rooms_of(c, drawing, ui.camera, ui.zone, scale);
    std::vector<std::optional<Rect>> places(ui.rooms.size());
    // The dragged tag stays in place if possible; the others avoid it.
    if (held) {
        const Rect area = resized(held->area, ui.rooms[held->which], ground.zone);
        if (ui.rooms[held->which].w > 0 && is_free(area, ground, {}, held->which)) {
            places[held->which] = area;
            ground.blocked.push_back(area.inset(-c.mm(2)));
        }
    }
    // Tags that are not visible are ignored.
    std::vector<TagRoom> seen;
    std::vector<std::size_t> which;
    for (std::size_t i = 0; i < ui.rooms.size(); ++i) {
        if (ui.rooms[i].w <= 0 || places[i]) continue;
        seen.push_back(ui.rooms[i]);
        which.push_back(i);
    }
    const auto found = place_tags(seen, ground);
    for (std::size_t i = 0; i < which.size(); ++i) places[which[i]] = found[i];
    return places;
}

bool all_placed(const Drawing& drawing, const DrawingUi& ui, bool open_only) {
    for (std::size_t i = 0; i < ui.places.size(); ++i) {
        if (ui.rooms[i].w > 0 && !ui.places[i] && (!open_only || drawing.tags[i].open)) return false;
    }
    return true;
}

}  // namespace

bool is_filling(const Drawing& drawing) {
    return std::any_of(drawing.tags.begin(), drawing.tags.end(), [](const Tag& tag) { return tag.open; });
}

namespace {

std::vector<float> leaders_of(const DrawingUi& ui) {
    std::vector<float> lengths(ui.places.size(), 0);
    for (std::size_t i = 0; i < ui.places.size(); ++i)
        if (ui.places[i]) lengths[i] = leader_of(*ui.places[i], ui.rooms[i]).length();
    return lengths;
}

void place_anew(const Canvas& c, const Drawing& drawing, DrawingUi& ui) {
    InkMap ink;
    map_ink(c, drawing, ui, ink);
    const TagGround ground = ground_of(c, drawing, ui.camera, ui, ink);
    // Letters shrink only where the tags find no room otherwise, and not below three quarters of their size
    // at 100 %. While one is being filled it alone must have room.
    const bool filling = is_filling(drawing);
    const auto held = held_tag(drawing, ui);
    const float letters = c.type.cap(Face::value) / c.mm(cap_height_mm(Face::value));
    const float smallest = std::min(0.75f / letters, 0.95f);
    for (ui.tag_scale = 1;; ui.tag_scale *= 0.9f) {
        ui.places = place_at(c, drawing, ui, ground, ui.tag_scale, held);
        if (all_placed(drawing, ui, filling) || ui.tag_scale * 0.9f < smallest) break;
    }
    ui.leaders = leaders_of(ui);
    if (!filling) return;
    // While one tag is being filled, other tags are shown only near their points.
    for (std::size_t i = 0; i < ui.places.size(); ++i) {
        auto& place = ui.places[i];
        if (!place || drawing.tags[i].open || leader_of(*place, ui.rooms[i]).length() < c.mm(14)) continue;
        place.reset();
        ui.rooms[i].w = 0;
    }
}

// How much a leader may grow before its tag is placed again.
constexpr float leader_may_grow_mm = 4;

// Only numbers changed, or what is tried: each tag stays where it is, as long as its new size fits there and
// what it names has not gone far. While a finger drags it may.
bool keep_places(const Canvas& c, const Drawing& drawing, DrawingUi& ui) {
    const auto rooms = rooms_of(c, drawing, ui.camera, ui.zone, ui.tag_scale);
    InkMap ink;
    const TagGround ground = ground_of(c, drawing, ui.camera, ui, ink);
    auto places = ui.places;
    for (std::size_t i = 0; i < rooms.size(); ++i) {
        if (!places[i]) continue;
        if (rooms[i].w <= 0) return false;
        places[i] = resized(*places[i], rooms[i], ground.zone);
    }
    for (std::size_t i = 0; i < rooms.size(); ++i) {
        if (!places[i]) continue;
        if (!is_free(*places[i], ground, places, i)) return false;
        const float may = i < ui.leaders.size() ? ui.leaders[i] + c.mm(leader_may_grow_mm) : 0;
        if (ui.handled.empty() && leader_of(*places[i], rooms[i]).length() > may) return false;
    }
    for (std::size_t i = 0; i < rooms.size(); ++i) {
        if (places[i]) ui.rooms[i] = rooms[i];
    }
    ui.places = std::move(places);
    return true;
}

}  // namespace

void refresh(const Canvas& c, const Drawing& drawing, const Rect& zone, DrawingUi& ui) {
    const bool shape = same_shape(drawing, ui.last);
    if (!(drawing.low == ui.last.low && drawing.high == ui.last.high)) ui.whole();
    const bool viewport = zone == ui.zone && ui.text == c.type.cap(Face::value), ground = shape && viewport;
    const bool trial = viewport && same_trial(drawing, ui.last);
    ui.zone = zone;
    const Guide guide = guide_of(c, drawing, zone);
    ui.fit = zone.inset(c.mm(3));
    if (guide.area.w > 0) {
        ui.fit.y += guide.area.h - c.mm(2);
        ui.fit.h = std::max(c.mm(10), ui.fit.h - guide.area.h + c.mm(2));
    }
    const Camera camera = camera_of(drawing, ui);
    if (!shape) {
        ui.fills.assign(drawing.strokes.size(), {});
        for (std::size_t i = 0; i < drawing.strokes.size(); ++i) {
            if (drawing.strokes[i].filled) ui.fills[i] = triangles(drawing.strokes[i].points);
        }
    }
    const bool same_numbers = ground && drawing == ui.last;
    const bool slid = ui.sliding && ground && camera.scale == ui.camera.scale;
    if (slid && camera != ui.camera) {
        const auto dx = static_cast<float>(camera.x - ui.camera.x),
                   dy = static_cast<float>(camera.y - ui.camera.y);
        for (auto& place : ui.places) {
            if (place) place->x += dx, place->y += dy;
        }
        ui.camera = camera;
        ui.rooms = rooms_of(c, drawing, camera, zone, ui.tag_scale);
        ui.text = 0;  // place again when the finger is lifted
    } else if (!ui.sliding || !same_numbers) {
        const bool still = (ground || trial) && camera == ui.camera;
        ui.camera = camera;
        if (!(still && same_numbers) && !(still && keep_places(c, drawing, ui))) place_anew(c, drawing, ui);
        ui.text = c.type.cap(Face::value);
    }
    if (!same_numbers) ui.last = drawing;
}

}  // namespace restand
