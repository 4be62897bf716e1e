#include "app/views/drawing/swingarm.h"

#include <algorithm>
#include <array>

namespace restand::drawing {
namespace {

constexpr Vec2 rocker_pivot = {-38, -168};
constexpr Vec2 foot_topped_out = {-152, -142};  // of the shock
constexpr Vec2 unconstrained = {0.21, 0.978};   // from the shock's foot to its top
constexpr double rod_at = 112;                  // along the arm, from the pivot

Place arm_place(const Plan& plan, double height) {
    return {{0, 0}, direction({0, 0}, plan.rear_axle(height), {-1, 0})};
}

// Outline along the arm; v grows downwards, since u runs backwards.
std::vector<Vec2> arm_outline(const Plan& plan, double height) {
    const double l = plan.swingarm;
    const Place place = arm_place(plan, height);
    const std::array<Vec2, 11> local = {Vec2{-44, 8},    {-44, -30},     {-10, -50},    {0.22 * l, -72},
                                        {0.42 * l, -70}, {l - 110, -36}, {l + 58, -30}, {l + 58, 26},
                                        {l - 90, 30},    {0.30 * l, 44}, {-10, 46}};
    std::vector<Vec2> corners;
    for (const Vec2& p : local) corners.push_back(place(p.x, p.y));
    return rounded(corners, 26);
}

}  // namespace

ArmSpots draw_arm(Pen& pen, const Plan& plan, double height, Ink ink) {
    const Place place = arm_place(plan, height);
    const double l = plan.swingarm, front = l - plan.chain.axle_position;
    const double back = std::max(front + 46, l + 18);
    pen.outline(arm_outline(plan, height), {Line::wide, ink, true});
    // Window in the arm: the shock goes through it on the real one.
    const std::array<Vec2, 4> window = {Vec2{0.36 * l, -46}, {0.62 * l, -36}, {0.60 * l, 10}, {0.34 * l, 18}};
    std::vector<Vec2> corners;
    for (const Vec2& p : window) corners.push_back(place(p.x, p.y));
    pen.outline(rounded(corners, 16), {Line::narrow, ink});
    pen.capsule(place(front, 0), place(back, 0), 13, {Line::narrow, ink});
    pen.bar(place, back + 14, l + 58, 10, {Line::narrow, ink});       // adjuster block
    pen.line(place(l + 58, 0), place(l + 72, 0), {Line::wide, ink});  // its screw
    pen.circle({0, 0}, 19, {Line::wide, ink, true});
    pen.circle({0, 0}, 11, {Line::wide, ink, true});
    pen.centre_cross({0, 0}, 30);
    pen.joint({0, 0}, 19);
    return {place(l, 0), place(front, 0), place(back + 13, 0)};
}

void ghost_arm(Pen& pen, const Plan& plan, double height, Ink ink) {
    pen.outline(arm_outline(plan, height), {Line::ghost, ink});
    pen.circle(plan.rear_axle(height), 17, {Line::ghost, ink});
}

namespace {
// The measured points of the linkage, at the droop of this height.
std::optional<Linkage> measured_linkage(const Plan& plan, double height) {
    const Vec2 axle = plan.rear_axle(height);
    const auto at = place_at(*plan.linkage, radians(std::atan2(-axle.y, -axle.x)));
    if (!at) return std::nullopt;
    const auto drawn = [](const PlanePoint& p) { return Vec2{in_mm(p.x), in_mm(p.z)}; };
    Linkage k{drawn(at->unit_end),
              drawn(at->unit_at_rocker),
              {},
              drawn(at->rod_at_rocker),
              drawn(at->rod_at_arm_side)};
    k.plate = plan.linkage->rocker.has_value();
    if (!k.plate) return k;
    const Pin& pivot = plan.linkage->rocker->pivot;
    const Vec2 own = drawn(pivot.at);
    k.rocker =
        pivot.on == Carrier::frame ? own : Place{{0, 0}, direction({0, 0}, axle, {-1, 0})}(-own.x, -own.y);
    return k;
}
}  // namespace

Linkage linkage_at(const Plan& plan, double height) {
    if (plan.linkage)
        if (const auto measured = measured_linkage(plan, height)) return *measured;
    Linkage k;
    k.rocker = rocker_pivot;
    k.shock_top = foot_topped_out + unconstrained * plan.shock.length;
    // Foot: on the rocker's circle, the unit's length from the top; the rocker turns with it as one piece.
    const double arm = length(foot_topped_out - rocker_pivot);
    const double unit = plan.shock_length(height);
    const Vec2 base = k.shock_top - rocker_pivot;
    const double c = length(base);
    const double cosine = (arm * arm + c * c - unit * unit) / (2 * arm * c);
    const double angle = std::acos(std::clamp(cosine, -1.0, 1.0));
    const double bearing = std::atan2(base.y, base.x) + angle;
    k.shock_foot = rocker_pivot + heading(bearing) * arm;
    k.rod_rocker = rocker_pivot + heading(bearing + 0.42) * (0.56 * arm);
    k.rod_arm = arm_place(plan, height)(rod_at, 30);
    return k;
}

void draw_linkage(Pen& pen, const Linkage& k, Ink ink) {
    if (!k.plate) return;
    pen.capsule(k.rod_arm, k.rod_rocker, 7, {Line::wide, ink, true});
    const std::array<Vec2, 3> plate = {k.rocker, k.shock_foot, k.rod_rocker};
    pen.outline(std::vector<Vec2>(plate.begin(), plate.end()), {Line::wide, ink, true});
    for (const Vec2 at : {k.rocker, k.rod_rocker, k.rod_arm}) {
        pen.circle(at, 9, {Line::wide, ink, true});
        pen.joint(at, 9);
    }
}

}  // namespace restand::drawing
