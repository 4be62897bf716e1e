// The end on its wheel and the whole bike: drawn points must be where they were measured. Tolerance of all
// lengths here: 1e-6 mm, rounding of doubles over a few operations on numbers of about 1000.

#include <doctest/doctest.h>

#include <set>

#include "tests/screen/drawing_shapes.h"

using namespace restand;
using namespace restand::test;

namespace {

constexpr double near = 1e-6;

double perpendicular_distance(Vec2 p, Vec2 a, Vec2 b) {
    return std::fabs((b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x)) / distance(a, b);
}

}  // namespace

TEST_CASE("drawing: the rear axle stands its ride height below the mark, at any height") {
    const BikeBody bike = club_racer();
    for (double h = 430; h <= 495; h += 2.5) {
        PictureInput in = rear_input(Scene::stand, &bike);
        in.height = mm(h);
        const BikePicture p = picture(in);
        const Vec2 mark = *p.anchors.at(Point::ride_height_topped_out).b;
        CHECK(mark.y - tyre(p).centre.y == doctest::Approx(h).epsilon(near / 500));
    }
}

TEST_CASE("drawing: topped out the mark is straight above the axle") {
    const BikeBody bike = club_racer();
    const BikePicture p = picture(rear_input(Scene::stand, &bike));
    CHECK(std::fabs(p.anchors.at(Point::ride_height_topped_out).b->x - tyre(p).centre.x) < near);
}

TEST_CASE("drawing: a longer swingarm draws longer, to scale, and the angle comes from the pivot's height") {
    for (double l = 520; l <= 660; l += 20) {
        BikeBody bike = club_racer();
        bike.geometry.swingarm = mm(l);
        PictureInput in = rear_input(Scene::stand, &bike);
        in.height = mm(481.5);
        const BikePicture p = picture(in);
        const Vec2 axle = tyre(p).centre;
        CHECK(distance({0, 0}, axle) == doctest::Approx(l).epsilon(near / 500));
        // Static: the pivot is 440 above the ground, the axle 317.
        CHECK(axle.y == doctest::Approx(317.0 - 440.0).epsilon(near / 100));
    }
}

TEST_CASE("drawing: with no pivot height the swingarm droops 15 degrees topped out") {
    BikeBody bike = club_racer();
    bike.geometry.pivot_height.reset();
    const Vec2 axle = tyre(picture(rear_input(Scene::stand, &bike))).centre;
    CHECK(in_degrees(radians(std::atan2(-axle.y, -axle.x))) == doctest::Approx(15).epsilon(1e-9));
}

TEST_CASE("drawing: now and ghost stand apart by exactly the difference of their heights") {
    BikeBody bike = club_racer();
    for (const auto& [end, front] : {std::pair{End::rear, FrontHeights::square},
                                     {End::front, FrontHeights::square},
                                     {End::front, FrontHeights::along_fork}}) {
        bike.how_read.front_heights = front;
        PictureInput in =
            end == End::rear ? rear_input(Scene::stand, &bike) : front_input(Scene::stand, &bike);
        in.height = mm(end == End::rear ? 490.9 : 560);
        in.ghost = mm(end == End::rear ? 462.0 : 520);
        in.ghost_ink = Ink::now;
        const BikePicture p = picture(in);
        const Round full = tyre(p), ghost = tyre(p, Line::ghost);
        CHECK(ghost.ink == Ink::now);
        CHECK(ghost.radius == doctest::Approx(full.radius));
        // Front heights are read along the fork, or upright, as the bike's numbers say.
        const double apart = end == End::front && front == FrontHeights::along_fork
                                 ? distance(ghost.centre, full.centre)
                                 : ghost.centre.y - full.centre.y;
        CHECK(apart == doctest::Approx(in_mm(*in.height - *in.ghost)).epsilon(near / 30));
    }
}

TEST_CASE("drawing: no ghost is drawn where none was asked for") {
    const BikeBody bike = club_racer();
    const auto is_ghost = [](const Stroke& s) { return s.line == Line::ghost; };
    for (const BikePicture& p :
         {picture(rear_input(Scene::stand, &bike)), picture(front_input(Scene::stand, &bike)),
          picture(rear_input(Scene::whole, &bike))})
        CHECK(std::none_of(p.strokes.begin(), p.strokes.end(), is_ghost));
}

TEST_CASE("drawing: the three heights stand beside each other, each as long as it was read") {
    const BikeBody bike = club_racer();
    for (const PictureInput& in : {rear_input(Scene::stand, &bike), front_input(Scene::stand, &bike)}) {
        const BikePicture p = picture(in);
        std::set<double> offsets;
        for (const Point point :
             {Point::ride_height_topped_out, Point::ride_height_static, Point::ride_height_rider}) {
            CHECK(length_of(p.anchors.at(point)) == doctest::Approx(in.known.at(point)).epsilon(near / 500));
            offsets.insert(p.anchors.at(point).offset);
        }
        CHECK(offsets.size() == 3);
    }
}

TEST_CASE("drawing: the front height is read along the fork, or vertically where the leverage says so") {
    BikeBody bike = club_racer();
    for (double h = 480; h <= 560; h += 5) {
        PictureInput in = front_input(Scene::stand, &bike);
        in.height = mm(h);
        bike.front.leverage = 1.0;
        const BikePicture along = picture(in);
        const Vec2 mark = *along.anchors.at(Point::ride_height_topped_out).b, axle = tyre(along).centre;
        CHECK(distance(mark, axle) == doctest::Approx(h).epsilon(near / 500));
        CHECK(std::atan2(axle.x - mark.x, mark.y - axle.y) ==
              doctest::Approx(degrees(24).value).epsilon(1e-9));
        bike.front.leverage = std::cos(degrees(24).value);
        const BikePicture upright = picture(in);
        const Vec2 above = *upright.anchors.at(Point::ride_height_topped_out).b;
        CHECK(above.y - tyre(upright).centre.y == doctest::Approx(h).epsilon(near / 500));
    }
}

TEST_CASE("drawing: wheels, wheelbase, offset and pivot height of the whole bike are to scale") {
    const BikeBody bike = club_racer();
    PictureInput in = rear_input(Scene::whole, &bike);
    in.height = mm(490.9);
    const BikePicture p = picture(in);
    CHECK(tyre(p).radius == doctest::Approx(317));
    CHECK(length_of(p.bike_anchors.at(BikeField::wheelbase)) == doctest::Approx(1405).epsilon(near / 1000));
    CHECK(length_of(p.bike_anchors.at(BikeField::swingarm)) == doctest::Approx(585).epsilon(near / 500));
    CHECK(length_of(p.bike_anchors.at(BikeField::offset)) == doctest::Approx(28).epsilon(near / 20));
    CHECK(length_of(p.bike_anchors.at(BikeField::front_wheel_radius)) ==
          doctest::Approx(300).epsilon(near / 300));
    // The offset is perpendicular to the steering axis, which is 24° from vertical.
    const Anchor& offset = p.bike_anchors.at(BikeField::offset);
    CHECK(std::atan2(offset.b->y - offset.a.y, offset.b->x - offset.a.x) ==
          doctest::Approx(degrees(24).value));
    // At static height the pivot is at its measured height. The front sinks by as much, so the ground is
    // level.
    in.height = mm(481.5);
    const BikePicture standing = picture(in);
    CHECK(length_of(standing.bike_anchors.at(BikeField::pivot_height)) ==
          doctest::Approx(440).epsilon(near / 400));
    const Stroke& ground = standing.strokes.front();
    CHECK(std::fabs(ground.points.front().y - ground.points.back().y) < near);
}

TEST_CASE("drawing: pitch circles of the sprockets have their published diameters") {
    // Pitch diameters p/sin(180°/z) at p = 15.875 mm as printed in tables for ISO 606 10B (from memory):
    // 16 teeth 81.37 mm, 42 teeth 212.43 mm. Tolerance: the tables' last digit.
    const BikeBody bike = club_racer();
    const BikePicture p = picture(rear_input(Scene::stand, &bike));
    std::vector<double> diameters;
    for (const Round& c : circles(p))
        if (c.line == Line::axis) diameters.push_back(2 * c.radius);
    std::sort(diameters.begin(), diameters.end());
    REQUIRE(diameters.size() == 2);
    CHECK(std::fabs(diameters[0] - 81.37) < 0.01);
    CHECK(std::fabs(diameters[1] - 212.43) < 0.01);
}

TEST_CASE("drawing: both chain runs touch both pitch circles") {
    const BikeBody bike = club_racer();
    const BikePicture p = picture(rear_input(Scene::stand, &bike));
    std::vector<Round> pitch;
    for (const Round& c : circles(p))
        if (c.line == Line::axis) pitch.push_back(c);
    REQUIRE(pitch.size() == 2);
    int runs = 0;
    for (const Stroke& s : p.strokes) {
        if (s.line != Line::axis || s.closed || s.points.size() != 2 ||
            distance(s.points[0], s.points[1]) < 400)
            continue;
        ++runs;
        for (const Round& c : pitch)
            CHECK(perpendicular_distance(c.centre, s.points[0], s.points[1]) ==
                  doctest::Approx(c.radius).epsilon(1e-9));
    }
    CHECK(runs == 2);
}

TEST_CASE("drawing: the shock on the bike is drawn at its own length and shortens by the leverage ratio") {
    const BikeBody bike = club_racer();
    PictureInput in = rear_input(Scene::stand, &bike);
    in.height = mm(490.9);
    CHECK(length_of(picture(in).anchors.at(Point::eye_to_eye)) == doctest::Approx(310).epsilon(near / 300));
    in.height = mm(490.9 - 41);
    CHECK(length_of(picture(in).anchors.at(Point::eye_to_eye)) == doctest::Approx(290).epsilon(near / 300));
}

TEST_CASE("drawing: a wheel off the ground hangs clear of it, a loaded one stands on it") {
    const BikeBody bike = club_racer();
    const auto gap = [&](double height) {
        PictureInput in = rear_input(Scene::stand, &bike);
        in.height = mm(height);
        const BikePicture p = picture(in);
        const Round wheel = tyre(p);
        const Stroke& ground = p.strokes.front();
        return wheel.centre.y - wheel.radius - ground.points.front().y;
    };
    CHECK(gap(490.9) > 10);
    CHECK(std::fabs(gap(481.5)) < near);
}

TEST_CASE("drawing: how front heights are read is as it was said, whatever is known of the rake") {
    for (const auto& rake : {std::optional<Angle>(), std::optional(degrees(2)), std::optional(degrees(24))})
        for (const FrontHeights said : {FrontHeights::square, FrontHeights::along_fork}) {
            BikeBody bike = club_racer();
            bike.geometry.rake = rake;
            bike.how_read.front_heights = said;
            const Anchor height =
                picture(front_input(Scene::stand, &bike)).anchors.at(Point::ride_height_topped_out);
            const bool upright = std::fabs(height.a.x - height.b->x) < near;
            CHECK(upright == (said == FrontHeights::square));
        }
}
