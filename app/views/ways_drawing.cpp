#include "app/views/ways_drawing.h"

#include <array>

#include "app/views/drawing/pen.h"

namespace restand {
namespace drawing {
namespace {

constexpr Style solid = {Line::wide, Ink::ink, true}, marked = {Line::wide, Ink::now, false};
constexpr double wheel_radius = 270;

void arrow_line(Pen& pen, Vec2 a, Vec2 b) {
    const Vec2 along = direction(a, b), across = left_of(along);
    pen.line(a, b, marked);
    for (const auto& [tip, back] : {std::pair{a, along}, std::pair{b, along * -1}})
        pen.open({tip + back * 46 + across * 20, tip, tip + back * 46 - across * 20}, marked);
}

void wheel(Pen& pen, Vec2 axle) {
    pen.circle(axle, wheel_radius, solid);
    pen.circle(axle, 0.7 * wheel_radius, {Line::narrow, Ink::ink, false});
    pen.circle(axle, 26, solid);
}

// The rear end from the right: wheel, arm, frame and shock. Both stands hold the wheel clear of the ground.
void rear_end_on(Pen& pen, Way way) {
    const bool hangs = way == Way::frame_carried;
    const Vec2 pivot{0, 0}, axle{-540, hangs ? -150.0 : -20.0};
    const double floor = axle.y - wheel_radius - 46;
    pen.line({-900, floor}, {330, floor}, {Line::narrow, Ink::ink});
    wheel(pen, axle);
    const std::array frame = {Vec2{-60, 300}, Vec2{-480, 330}, Vec2{-470, 270},
                              Vec2{-90, 190}, Vec2{-70, -60},  Vec2{70, -60},
                              Vec2{110, 190}, Vec2{300, 250},  Vec2{300, 320}};
    pen.outline(rounded(frame, 24), {Line::narrow, Ink::ink, false});
    const Vec2 foot = axle * 0.34 + Vec2{0, 12};
    pen.capsule({-70, 215}, foot, 30, solid);
    pen.capsule(axle, pivot, 24, solid);
    pen.circle(pivot, 18, solid);
    if (hangs) {
        pen.open({{-150, floor}, {-20, -60}, {30, -60}, {160, floor}}, marked);
        pen.line({-95, floor + 140}, {105, floor + 140}, marked);
        arrow_line(pen, {axle.x - 330, axle.y + 60}, {axle.x - 330, axle.y - 190});
    } else {
        const Vec2 hook = axle + Vec2{70, -30};
        pen.open({{-880, floor}, {-760, floor}, hook, {-330, floor}}, marked);
        pen.circle(hook, 24, marked);
    }
    pen.view({-930, -500}, {360, 360});
}

void front_end_on(Pen& pen, Way way) {
    const Vec2 axle{0, 0}, up = heading(pi / 2 + 24 * pi / 180), back = left_of(up);
    const double mark = 560, yoke = 600, top = 800;
    pen.line({-420, -wheel_radius}, {420, -wheel_radius}, {Line::narrow, Ink::ink});
    wheel(pen, axle);
    pen.capsule(axle, axle + up * top, 30, solid);
    for (const double u : {yoke, top - 40})
        pen.bar(Place{axle, up}.moved(u, 0), -18, 18, 70, {Line::wide, Ink::ink, true});
    pen.line(axle + up * mark - back * 60, axle + up * mark + back * 60, {Line::narrow, Ink::ink});
    if (way == Way::along_fork) {
        const Vec2 beside = back * -120;
        pen.line(axle, axle + beside, {Line::narrow, Ink::ink});
        pen.line(axle + up * mark, axle + up * mark + beside, {Line::narrow, Ink::ink});
        arrow_line(pen, axle + beside, axle + up * mark + beside);
    } else {
        const Vec2 high = axle + up * mark, low{high.x, axle.y};
        pen.line(axle, low, {Line::narrow, Ink::ink});
        arrow_line(pen, low, high);
    }
    pen.view({-480, -320}, {480, 780});
}

}  // namespace
}  // namespace drawing

Drawing way_drawing(Way way) {
    BikePicture picture;
    drawing::Pen pen(picture);
    if (way == Way::frame_carried || way == Way::stand_under_arm)
        drawing::rear_end_on(pen, way);
    else
        drawing::front_end_on(pen, way);
    Drawing drawing;
    drawing.strokes = std::move(picture.strokes);
    drawing.low = picture.low;
    drawing.high = picture.high;
    return drawing;
}

Drawing both_stands() {
    using drawing::operator+;
    Drawing both = way_drawing(Way::frame_carried);
    const Drawing right = way_drawing(Way::stand_under_arm);
    const double wide = both.high.x - both.low.x;
    for (Stroke stroke : right.strokes) {
        for (Vec2& p : stroke.points) p.x += wide;
        both.strokes.push_back(std::move(stroke));
    }
    const Vec2 left_name{(both.low.x + both.high.x) / 2, both.low.y - 60};
    both.labels = {{left_name, "topped out"}, {left_name + Vec2{wide, 0}, "stand under the arm"}};
    both.high.x += wide;
    both.low.y -= 140;
    return both;
}

}  // namespace restand
