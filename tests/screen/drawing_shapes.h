#pragma once
// Reads shapes back from a picture's strokes, so that the tests check what is drawn, not what was intended.

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "app/views/bike_drawing.h"

namespace restand::test {

struct Round {
    Vec2 centre;
    double radius;
    Line line;
    Ink ink;
};

inline double distance(Vec2 a, Vec2 b) {
    return std::hypot(a.x - b.x, a.y - b.y);
}
inline double length_of(const Anchor& anchor) {
    return anchor.b ? distance(anchor.a, *anchor.b) : 0;
}

// Closed strokes whose points are all at the same distance from their mean.
inline std::vector<Round> circles(const BikePicture& picture) {
    std::vector<Round> found;
    for (const Stroke& s : picture.strokes) {
        if (!s.closed || s.points.size() < 90) continue;
        Vec2 c;
        for (const Vec2& p : s.points) c = {c.x + p.x / s.points.size(), c.y + p.y / s.points.size()};
        const double r = distance(c, s.points.front());
        const bool round = std::all_of(s.points.begin(), s.points.end(), [&](const Vec2& p) {
            return std::fabs(distance(c, p) - r) < 1e-6 * r;
        });
        if (round) found.push_back({c, r, s.line, s.ink});
    }
    return found;
}

// The tyre: the largest circle of that line type.
inline Round tyre(const BikePicture& picture, Line line = Line::wide) {
    Round largest{{}, 0, line, Ink::ink};
    for (const Round& c : circles(picture))
        if (c.line == line && c.radius > largest.radius) largest = c;
    REQUIRE(largest.radius > 0);
    return largest;
}

// An invented bike with usual dimensions.
inline BikeBody club_racer() {
    BikeBody bike;
    bike.name = "No. 27";
    bike.geometry.swingarm = mm(585);
    bike.geometry.wheelbase = mm(1405);
    bike.geometry.rear_wheel_radius = mm(317);
    bike.geometry.front_wheel_radius = mm(300);
    bike.geometry.offset = mm(28);
    bike.geometry.pivot_height = mm(440);
    bike.geometry.rake = degrees(24);
    bike.rear.leverage = 2.05;
    return bike;
}

inline PictureInput rear_input(Scene scene, const BikeBody* bike) {
    PictureInput in;
    in.scene = scene;
    in.bike = bike;
    in.known = {{Point::ride_height_topped_out, 490.9},
                {Point::ride_height_static, 481.5},
                {Point::ride_height_rider, 462.0},
                {Point::eye_to_eye, 310},
                {Point::spring_free_length, 160},
                {Point::spring_installed_length, 150},
                {Point::spring_block_length, 72},
                {Point::travel, 66},
                {Point::sprocket_front, 16},
                {Point::sprocket_rear, 42},
                {Point::chain_slack, 32},
                {Point::axle_position, 11.5}};
    return in;
}

inline PictureInput front_input(Scene scene, const BikeBody* bike) {
    PictureInput in;
    in.end = End::front;
    in.scene = scene;
    in.bike = bike;
    in.known = {{Point::ride_height_topped_out, 560},
                {Point::ride_height_static, 535},
                {Point::ride_height_rider, 520},
                {Point::fork_length, 742},
                {Point::fork_position, 8},
                {Point::spring_free_length, 265},
                {Point::spring_installed_length, 255},
                {Point::spring_block_length, 120},
                {Point::travel, 125}};
    return in;
}

inline PictureInput nothing_known(Scene scene, End end) {
    PictureInput in;
    in.scene = scene;
    in.end = end;
    return in;
}

inline constexpr Scene all_scenes[] = {Scene::stand, Scene::chain, Scene::dampers, Scene::bench,
                                       Scene::whole};

}  // namespace restand::test
