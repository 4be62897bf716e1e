#include "app/views/drawing/frame.h"

#include <algorithm>
#include <array>

#include "app/views/drawing/swingarm.h"

namespace restand::drawing {
namespace {

constexpr Style structure = {Line::narrow, Ink::ink, true};

void filled(Pen& pen, std::span<const Vec2> corners, double radius) {
    pen.outline(rounded(corners, radius), structure);
}

Vec2 shock_mount(const Plan& plan) {
    return linkage_at(plan, plan.rear.topped_out).shock_top;
}

}  // namespace

void draw_rear_frame(Pen& pen, const Plan& plan, bool cut) {
    const Vec2 mark = plan.rear_mark(), top = shock_mount(plan);
    const double crown = std::max(top.y, 125.0);  // minimum plate height, for a short shock
    const double rail = crown + 34;               // the tail's rail leaves the frame above the shock
    if (cut) {
        // The main beam goes on to the steering head: cut by hand. Behind plate and tail.
        std::vector<Vec2> beam = broken({236, crown + 72}, {258, crown - 26});
        beam.push_back({40, crown - 84});
        beam.push_back({0, crown + 24});
        pen.outline(std::move(beam), structure);
    }
    // Tail: from the frame up to the mark, slender at its end.
    const std::array tail = {mark + Vec2{-70, 34},        mark + Vec2{-64, -8}, mark + Vec2{40, -20},
                             Vec2{top.x - 20, rail - 36}, Vec2{40, rail - 60},  Vec2{34, rail + 16}};
    filled(pen, tail, 18);
    // Plate round the pivot, with the boss of the shock above and the rocker's below.
    const std::array plate = {Vec2{top.x - 26, crown + 24},
                              Vec2{top.x - 24, top.y - 20},
                              Vec2{top.x + 30, top.y - 26},
                              Vec2{-34, std::max(top.y - 70, 50.0)},
                              Vec2{-44, 40},
                              Vec2{-40, -60},
                              Vec2{-62, -160},
                              Vec2{-56, -192},
                              Vec2{60, -186},
                              Vec2{96, -60},
                              Vec2{84, crown - 60},
                              Vec2{56, crown + 24}};
    filled(pen, plate, 22);
    pen.mark(mark, Ink::ink);
}

YokeSpots yokes_at(const Plan& plan) {
    const Vec2 up = plan.steering(), forward = left_of(up) * -1;
    const Vec2 axle = plan.front_axle(plan.front.topped_out);
    const double upper = plan.fork.length - plan.fork.fork_position;
    const double lower = upper - 205;
    YokeSpots y;
    y.upper = axle + up * upper;
    y.lower = axle + up * lower;
    y.head = axle + up * ((upper + lower) / 2 - 14) - forward * plan.offset;
    y.bar = axle + up * (upper - 52) - forward * 10;
    return y;
}

void draw_steering_head(Pen& pen, const Plan& plan, bool cut) {
    const Place head{yokes_at(plan).head, plan.steering()};  // v > 0 is to the rear
    if (cut) {
        std::vector<Vec2> beam = broken(head(-30, 250), head(-165, 225));
        beam.push_back(head(-76, 22));
        beam.push_back(head(70, 22));
        pen.outline(std::move(beam), structure);
    }
    pen.bar(head, -82, 74, 29, structure);
    pen.line(head(-120, 0), head(190, 0), axis_line);  // the fork hides it further down
}

void draw_yokes(Pen& pen, const Plan& plan) {
    const YokeSpots y = yokes_at(plan);
    const Place upper{y.upper, plan.steering()}, lower{y.lower, plan.steering()};
    const double reach = plan.offset + 34;
    const std::array<Vec2, 4> top = {upper(0, -36), upper(-27, -36), upper(-27, reach), upper(0, reach)};
    const std::array<Vec2, 4> bottom = {lower(0, -37), lower(40, -37), lower(40, reach), lower(0, reach)};
    pen.outline(rounded(top, 9), {Line::wide, Ink::ink, true});
    pen.outline(rounded(bottom, 9), {Line::wide, Ink::ink, true});
    for (const double u : {11.0, 29.0}) pen.circle(lower(u, -31), 2.5, thin);  // clamp screws
    // Clip-on under the upper yoke: its clamp, and the bar running back.
    pen.bar(upper, -66, -36, 33, {Line::wide, Ink::ink, true});
    pen.capsule(y.bar, y.bar + Vec2{-118, -14}, 13, {Line::wide, Ink::ink, true});
    pen.line(y.bar + Vec2{-40, -18}, y.bar + Vec2{-44, 8}, {Line::narrow, Ink::ink});
}

void draw_main_frame(Pen& pen, const Plan& plan) {
    const Place head{yokes_at(plan).head, plan.steering()};
    const Vec2 top = shock_mount(plan);
    // Engine first: crankcase, cylinder leaning forward, sump.
    const Vec2 front = head(-80, 20);
    const double reach = 0.6 * front.x;
    const std::array engine = {
        Vec2{20, 90},         Vec2{0.42 * reach, 104}, Vec2{0.62 * reach, 232}, Vec2{1.12 * reach, 200},
        Vec2{reach + 20, 56}, Vec2{reach + 24, -80},   Vec2{reach - 40, -176},  Vec2{60, -182},
        Vec2{20, -80}};
    filled(pen, engine, 26);
    for (const double r : {72.0, 56.0}) pen.circle({0.66 * reach, -36}, r, thin);  // clutch
    pen.circle({reach - 20, -20}, 36, thin);
    for (const double k : {0.0, 0.5, 1.0})  // cylinder joints
        pen.line({(0.50 + 0.07 * k) * reach, 130 + 52 * k}, {(1.03 + 0.04 * k) * reach, 98 + 52 * k}, thin);
    const std::array beam = {Vec2{34, top.y + 24},
                             head(66, 26),
                             head(-74, 26),
                             Vec2{0.64 * front.x, top.y + 18},
                             Vec2{0.34 * front.x, top.y - 66},
                             Vec2{88, 34},
                             Vec2{30, 34}};
    filled(pen, beam, 24);
}

void draw_bodywork(Pen& pen, const Plan& plan) {
    const Place head{yokes_at(plan).head, plan.steering()};
    const Vec2 top = shock_mount(plan), mark = plan.rear_mark(), nose = head(40, 40);
    // Tank: low behind, where the knees close on it, high in front.
    const std::array tank = {Vec2{40, top.y + 30},
                             Vec2{62, top.y + 74},
                             Vec2{0.30 * nose.x, 0.62 * nose.y + 0.38 * top.y + 92},
                             Vec2{0.55 * nose.x, nose.y + 88},
                             nose + Vec2{-70, 72},
                             nose};
    pen.outline(smooth(tank), structure);
    // Seat and tail: one line from the tank over the pad to the end behind the mark.
    const Vec2 pad = {-40, top.y + 52};
    const std::array seat = {Vec2{62, top.y + 70},
                             pad,
                             (pad + mark + Vec2{90, 46}) * 0.5,
                             mark + Vec2{110, 66},
                             mark + Vec2{70, 96},
                             mark + Vec2{-60, 104},
                             mark + Vec2{-128, 92}};
    std::vector<Vec2> line = smooth(seat);
    line.push_back(mark + Vec2{-70, 30});
    pen.open(std::move(line), {Line::narrow, Ink::ink});
}

// The outline only: a fairing must not hide the fork that is measured.
void draw_fairing(Pen& pen, const Plan& plan) {
    const YokeSpots yokes = yokes_at(plan);
    const Vec2 screen = yokes.upper + Vec2{-6, 122}, beak = yokes.lower + Vec2{196, 78};
    const Vec2 wheel = plan.front_axle(plan.front.topped_out) - Vec2{plan.front_radius + 52, 0};
    const std::array front = {screen,
                              yokes.upper + Vec2{72, 62},
                              beak,
                              beak + Vec2{-36, -56},
                              yokes.lower + Vec2{40, -64},
                              wheel + Vec2{16, 190},
                              wheel + Vec2{-24, -10},
                              Vec2{0.5 * wheel.x, -206},
                              Vec2{84, -200}};
    pen.open(smooth(front), thin);
    pen.open(smooth(std::array{screen, yokes.upper + Vec2{-4, 96}, yokes.upper + Vec2{52, 20}}), thin);
}

}  // namespace restand::drawing
