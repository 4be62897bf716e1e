#include "app/views/drawing/chain.h"

#include <algorithm>

namespace restand::drawing {
namespace {

// A run that hangs (or is pushed) `sag` mm out of line at mid span: a parabola, near enough to the catenary.
void draw_sag(Pen& pen, Vec2 a, Vec2 b, double sag) {
    constexpr int parts = 24;
    std::vector<Vec2> points;
    for (int i = 0; i <= parts; ++i) {
        const double t = static_cast<double>(i) / parts;
        points.push_back(a + (b - a) * t + Vec2{0, sag * 4 * t * (1 - t)});
    }
    pen.open(std::move(points), {Line::ghost, Ink::quiet});
}

}  // namespace

ChainRun chain_run(const ChainSizes& sizes, Vec2 rear, Vec2 front) {
    const Vec2 along = direction(rear, front);
    const double c = std::max(length(front - rear), 1.0);
    const double r1 = sizes.radius_front(), r2 = sizes.radius_rear();
    const double s = std::clamp((r2 - r1) / c, -0.95, 0.95);
    // The runs' normals: the line of centres turned by ±(90° − β), sin β = (r2 − r1)/C.
    const double n = std::sqrt(1 - s * s);
    const Vec2 up = along * s + left_of(along) * n, down = along * s - left_of(along) * n;
    return {rear + up * r2, front + up * r1, rear + down * r2, front + down * r1};
}

void draw_chain_axes(Pen& pen, const ChainSizes& sizes, Vec2 rear, Vec2 front) {
    const ChainRun run = chain_run(sizes, rear, front);
    pen.circle(rear, sizes.radius_rear(), axis_line);
    pen.circle(front, sizes.radius_front(), axis_line);
    pen.line(run.upper_rear, run.upper_front, axis_line);
    pen.line(run.lower_rear, run.lower_front, axis_line);
}

void draw_chain(Pen& pen, const ChainSizes& sizes, Vec2 rear, Vec2 front, Ink ink) {
    const ChainRun run = chain_run(sizes, rear, front);
    const double half = 0.3 * sizes.pitch;  // half the height of a link plate
    const Style plate = {Line::narrow, ink};
    const auto edges = [&](Vec2 a, Vec2 b) {
        const Vec2 n = left_of(direction(a, b)) * half;
        pen.line(a + n, b + n, plate);
        pen.line(a - n, b - n, plate);
    };
    edges(run.upper_rear, run.upper_front);
    edges(run.lower_rear, run.lower_front);
    const auto wrap = [&](Vec2 centre, Vec2 from, Vec2 to, double radius) {
        const double a = std::atan2(from.y - centre.y, from.x - centre.x);
        double b = std::atan2(to.y - centre.y, to.x - centre.x);
        if (b < a) b += 2 * pi;
        pen.arc(centre, radius + half, a, b, plate);
    };
    wrap(rear, run.upper_rear, run.lower_rear, sizes.radius_rear());
    wrap(front, run.lower_front, run.upper_front, sizes.radius_front());
    draw_sag(pen, run.lower_rear, run.lower_front, sizes.slack / 2);
    draw_sag(pen, run.lower_rear, run.lower_front, -sizes.slack / 2);
    draw_chain_axes(pen, sizes, rear, front);
}

void draw_sprocket(Pen& pen, Vec2 centre, double teeth, double pitch, Ink ink) {
    const int z = static_cast<int>(std::lround(teeth));
    const double r = pitch / (2 * std::sin(pi / teeth));
    const double root = r - 0.30 * pitch, tip = r + 0.28 * pitch;
    std::vector<Vec2> points;
    for (int i = 0; i < z; ++i) {
        const double at = 2 * pi * i / z, part = 2 * pi / z;
        points.push_back(centre + heading(at - 0.26 * part) * root);
        points.push_back(centre + heading(at - 0.10 * part) * tip);
        points.push_back(centre + heading(at + 0.10 * part) * tip);
        points.push_back(centre + heading(at + 0.26 * part) * root);
    }
    pen.outline(std::move(points), {Line::wide, ink, true});
    if (root > 60) pen.circle(centre, 0.62 * root, {Line::narrow, ink});
    const double bolts = root > 60 ? 0.48 * root : 0;
    for (int i = 0; bolts > 0 && i < 5; ++i)
        pen.circle(centre + heading(i * 2 * pi / 5) * bolts, 6, {Line::narrow, ink});
}

}  // namespace restand::drawing
