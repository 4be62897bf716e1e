// For any input, incomplete or nonsensical, the drawing is finite and has a place for every point.

#include <doctest/doctest.h>

#include <limits>
#include <random>

#include "tests/screen/drawing_shapes.h"

using namespace restand;
using namespace restand::test;

namespace {

bool only_front(Point p) {
    return p == Point::fork_length || p == Point::fork_position || p == Point::fork_position_min ||
           p == Point::fork_position_max || p == Point::fork_oil_level || p == Point::fork_bore;
}

bool only_rear(Point p) {
    switch (p) {
        case Point::eye_to_eye:
        case Point::eye_to_eye_min:
        case Point::eye_to_eye_max:
        case Point::length_mm_per_turn:
        case Point::chain_slack:
        case Point::axle_position:
        case Point::sprocket_front:
        case Point::sprocket_rear:
        case Point::chain_links:
        case Point::chain_gauge_length:
        case Point::chain_gauge_links:
        case Point::link_rod:
            return true;
        default:
            return false;
    }
}

bool finite(Vec2 p) {
    return std::isfinite(p.x) && std::isfinite(p.y) && std::hypot(p.x, p.y) < 2e4;
}

bool inside(Vec2 p, const BikePicture& of) {
    return p.x >= of.low.x && p.x <= of.high.x && p.y >= of.low.y && p.y <= of.high.y;
}

bool sound(const BikePicture& p) {
    bool ok =
        finite(p.low) && finite(p.high) && p.low.x < p.high.x && p.low.y < p.high.y && !p.strokes.empty();
    for (const Stroke& s : p.strokes) {
        ok = ok && s.points.size() >= 2;
        for (const Vec2& q : s.points) ok = ok && finite(q);
    }
    for (const Joint& j : p.joints) ok = ok && finite(j.at) && j.radius_mm > 0 && j.radius_mm < 100;
    const auto fine = [](const Anchor& a) {
        return finite(a.a) && (!a.b || finite(*a.b)) && std::isfinite(a.offset) && std::fabs(a.offset) < 2000;
    };
    for (const auto& [point, a] : p.anchors) ok = ok && fine(a);
    for (const auto& [field, a] : p.bike_anchors) ok = ok && fine(a);
    return ok;
}

constexpr double nan = std::numeric_limits<double>::quiet_NaN();
constexpr double inf = std::numeric_limits<double>::infinity();
constexpr double garbage[] = {nan, inf, -inf, 0, -0.0, -1, 1e300, -1e300, 1e-300, 1, 17, 300, 2000};

}  // namespace

TEST_CASE(
    "drawing: every point has its place in the stand's drawing and in the whole bike's, inside the view") {
    const BikeBody bike = club_racer();
    for (const Scene scene : {Scene::stand, Scene::whole})
        for (const End end : {End::rear, End::front})
            for (const bool little : {false, true}) {
                PictureInput in = end == End::rear ? rear_input(scene, &bike) : front_input(scene, &bike);
                if (little) in.known.clear(), in.bike = nullptr;
                const BikePicture p = picture(in);
                for (const PointFacts& f : all_points()) {
                    if (end == End::rear ? only_front(f.point) : only_rear(f.point)) continue;
                    CAPTURE(f.key);
                    REQUIRE(p.anchors.count(f.point) == 1);
                    CHECK(inside(p.anchors.at(f.point).a, p));
                }
            }
}

TEST_CASE("drawing: each scene has the points that belong to it") {
    using enum Point;
    struct Row {
        Scene scene;
        End end;
        std::vector<Point> points;
    };
    const Row rows[] = {
        {Scene::chain,
         End::rear,
         {chain_slack, axle_position, sprocket_front, sprocket_rear, chain_links, chain_gauge_length,
          chain_gauge_links, tyre, rolling_circumference, tyre_pressure_cold, tyre_pressure_hot}},
        {Scene::chain, End::front, {tyre, rolling_circumference, tyre_pressure_cold, tyre_pressure_hot}},
        {Scene::dampers,
         End::rear,
         {clicks_compression_low, clicks_compression_high, clicks_rebound_low, clicks_rebound_high}},
        {Scene::dampers,
         End::front,
         {clicks_compression_low, clicks_compression_high, clicks_rebound_low, clicks_rebound_high}},
        {Scene::bench,
         End::rear,
         {part_name, eye_to_eye, eye_to_eye_min, eye_to_eye_max, length_mm_per_turn, travel, gas_force,
          spring_rate, spring_free_length, spring_block_length, spring_installed_length, collar_mm_per_turn}},
        {Scene::bench,
         End::front,
         {part_name, fork_length, fork_position, fork_position_min, fork_position_max, travel, gas_force,
          spring_rate, spring_free_length, spring_block_length, spring_installed_length, collar_mm_per_turn,
          fork_oil_level, fork_bore}},
    };
    for (const Row& row : rows) {
        const BikePicture p = picture(nothing_known(row.scene, row.end));
        for (const Point point : row.points) {
            CAPTURE(facts(point).key);
            REQUIRE(p.anchors.count(point) == 1);
            CHECK(inside(p.anchors.at(point).a, p));
        }
    }
}

TEST_CASE("drawing: the whole bike has a place for each of its own numbers") {
    const BikePicture p = picture(nothing_known(Scene::whole, End::rear));
    for (const BikeField field :
         {BikeField::name, BikeField::note, BikeField::rear_leverage, BikeField::rear_tolerance,
          BikeField::front_tolerance, BikeField::rake, BikeField::swingarm, BikeField::wheelbase,
          BikeField::rear_wheel_radius, BikeField::front_wheel_radius, BikeField::offset,
          BikeField::pivot_height, BikeField::pair_length, BikeField::pair_height})
        CHECK(p.bike_anchors.count(field) == 1);
}

TEST_CASE("drawing: no two adjusters share a spot") {
    for (const End end : {End::rear, End::front}) {
        const BikePicture p = picture(nothing_known(Scene::dampers, end));
        const Point clicks[] = {Point::clicks_compression_low, Point::clicks_compression_high,
                                Point::clicks_rebound_low, Point::clicks_rebound_high};
        for (const Point a : clicks)
            for (const Point b : clicks)
                if (a != b) CHECK(distance(p.anchors.at(a).a, p.anchors.at(b).a) > 10);
    }
}

TEST_CASE("drawing: one senseless number at a time leaves every scene finite") {
    for (const Scene scene : all_scenes)
        for (const End end : {End::rear, End::front})
            for (const double bad : garbage) {
                BikeBody bike = club_racer();
                const PictureInput base =
                    end == End::rear ? rear_input(scene, &bike) : front_input(scene, &bike);
                for (const PointFacts& f : all_points()) {
                    PictureInput in = base;
                    in.known[f.point] = bad;
                    CAPTURE(f.key);
                    CAPTURE(bad);
                    REQUIRE(sound(picture(in)));
                }
                Geometry& g = bike.geometry;
                for (std::optional<Length>* field : {&g.swingarm, &g.wheelbase, &g.rear_wheel_radius,
                                                     &g.front_wheel_radius, &g.offset, &g.pivot_height}) {
                    const auto was = *field;
                    *field = mm(bad);
                    REQUIRE(sound(picture(base)));
                    *field = was;
                }
                PictureInput in = base;
                in.height = in.ghost = in.topped_out = mm(bad);
                REQUIRE(sound(picture(in)));
                g.rake = radians(bad);
                bike.rear.leverage = bike.front.leverage = bad;
                REQUIRE(sound(picture(base)));
            }
}

TEST_CASE("drawing: a thousand bikes of nothing but senseless numbers are drawn finite") {
    std::mt19937 random(20260117);  // fixed seed: a failure can be repeated
    const auto any = [&] { return garbage[random() % std::size(garbage)]; };
    const auto maybe = [&] { return random() % 4 ? std::optional(mm(any())) : std::nullopt; };
    for (int i = 0; i < 1000; ++i) {
        BikeBody bike;
        bike.geometry = {.swingarm = maybe(),
                         .wheelbase = maybe(),
                         .rear_wheel_radius = maybe(),
                         .front_wheel_radius = maybe(),
                         .offset = maybe(),
                         .pivot_height = maybe(),
                         .rake = radians(any())};
        bike.rear.leverage = any();
        bike.front.leverage = any();
        PictureInput in;
        in.end = random() % 2 ? End::rear : End::front;
        in.scene = all_scenes[random() % std::size(all_scenes)];
        in.bike = random() % 8 ? &bike : nullptr;
        for (const PointFacts& f : all_points())
            if (random() % 2) in.known[f.point] = any();
        in.topped_out = maybe();
        in.height = maybe();
        in.ghost = maybe();
        CAPTURE(i);
        REQUIRE(sound(picture(in)));
    }
}

TEST_CASE("drawing: to scale is said only when what the scene shows was measured") {
    const BikeBody bike = club_racer();
    for (const Scene scene : all_scenes) {
        CHECK(picture(rear_input(scene, &bike)).to_scale);
        CHECK(picture(front_input(scene, &bike)).to_scale);
        CHECK_FALSE(picture(nothing_known(scene, End::rear)).to_scale);
        CHECK_FALSE(picture(nothing_known(scene, End::front)).to_scale);
    }
    BikeBody guessed = bike;
    guessed.geometry.pivot_height.reset();
    CHECK_FALSE(picture(rear_input(Scene::stand, &guessed)).to_scale);
}

TEST_CASE("drawing: the moving end is drawn in the pen asked for, the frame in black") {
    const BikeBody bike = club_racer();
    PictureInput in = rear_input(Scene::stand, &bike);
    in.ink = Ink::now;
    const BikePicture p = picture(in);
    CHECK(tyre(p).ink == Ink::now);
    const auto black = [](const Stroke& s) { return s.ink == Ink::ink && s.filled; };
    CHECK(std::any_of(p.strokes.begin(), p.strokes.end(), black));
}
