// The part on the bench and its spring: lengths to scale, and a coil drawn as a coil.

#include <doctest/doctest.h>

#include "app/views/drawing/coil.h"
#include "tests/screen/drawing_shapes.h"

using namespace restand;
using namespace restand::test;

TEST_CASE("drawing: on the bench every known length is drawn as long as it is") {
    for (double k = 0.8; k <= 1.3; k += 0.05) {
        const BikeBody bike = club_racer();
        PictureInput in = rear_input(Scene::bench, &bike);
        for (const Point point : {Point::eye_to_eye, Point::spring_free_length,
                                  Point::spring_installed_length, Point::spring_block_length, Point::travel})
            in.known[point] *= k;
        const BikePicture p = picture(in);
        for (const Point point : {Point::eye_to_eye, Point::spring_free_length,
                                  Point::spring_installed_length, Point::spring_block_length, Point::travel})
            CHECK(length_of(p.anchors.at(point)) == doctest::Approx(in.known[point]).epsilon(1e-9));
    }
}

TEST_CASE("drawing: a fork leg on the bench likewise") {
    const BikeBody bike = club_racer();
    const PictureInput in = front_input(Scene::bench, &bike);
    const BikePicture p = picture(in);
    for (const Point point : {Point::fork_length, Point::fork_position, Point::spring_free_length,
                              Point::spring_installed_length, Point::spring_block_length, Point::travel})
        CHECK(length_of(p.anchors.at(point)) == doctest::Approx(in.known.at(point)).epsilon(1e-9));
}

TEST_CASE("drawing: the eyes stand where the dimension ends") {
    const BikeBody bike = club_racer();
    const BikePicture p = picture(rear_input(Scene::bench, &bike));
    const Anchor& eyes = p.anchors.at(Point::eye_to_eye);
    const auto rings = circles(p);
    for (const Vec2 at : {eyes.a, *eyes.b})
        CHECK(std::any_of(rings.begin(), rings.end(), [&](const Round& c) {
            return c.line == Line::wide && distance(c.centre, at) < 1e-9;
        }));
}

TEST_CASE("drawing: the spring on the shock lies between collar and seat") {
    // Strands of the coil are filled capsules; none extends beyond the installed length.
    const BikeBody bike = club_racer();
    PictureInput in = rear_input(Scene::bench, &bike);
    const BikePicture p = picture(in);
    const Anchor& seats = p.anchors.at(Point::spring_installed_length);
    const double radius = 34;
    int strands = 0;
    for (const Stroke& s : p.strokes) {
        if (!s.closed || !s.filled || s.points.size() != 122) continue;
        const auto [lo, hi] =
            std::minmax_element(s.points.begin(), s.points.end(), [](Vec2 a, Vec2 b) { return a.x < b.x; });
        if (std::fabs(s.points.front().y) > radius) continue;  // skips the loose spring, which lies below
        ++strands;
        CHECK(lo->x > seats.a.x - 0.01);
        CHECK(hi->x < seats.b->x + 0.01);
    }
    CHECK(strands == 9);  // seven turns and the two flat end turns
}

TEST_CASE("drawing: a coil shows its turns, evenly, right-handed, never touching") {
    for (const int turns : {4, 7, 12})
        for (double length = 40; length <= 260; length += 20) {
            const drawing::Coil coil = {.length = length, .radius = 34, .wire = 11, .turns = turns};
            BikePicture page;
            drawing::Pen pen(page);
            coil_before(pen, {{0, 0}, {0, 1}}, coil, Ink::ink);  // axis upwards
            REQUIRE(page.strokes.size() == static_cast<std::size_t>(turns) + 2);
            std::vector<double> heights;
            int slanted = 0;
            for (const Stroke& s : page.strokes) {
                Vec2 c;
                for (const Vec2& p : s.points) c = {c.x + p.x / s.points.size(), c.y + p.y / s.points.size()};
                heights.push_back(c.y);
                // Right-hand coil: a strand in front rises from left to right, as on any right-hand screw.
                const auto [left, right] = std::minmax_element(s.points.begin(), s.points.end(),
                                                               [](Vec2 a, Vec2 b) { return a.x < b.x; });
                if (right->y - left->y > 0.25 * coil.pitch()) ++slanted;
                for (const Vec2& p : s.points) {
                    CHECK(p.y > -1e-9);
                    CHECK(p.y < length + 1e-9);
                    CHECK(std::fabs(p.x) < coil.radius + 1e-9);
                }
            }
            CHECK(slanted == turns);
            for (std::size_t i = 2; i + 1 < heights.size(); ++i)
                CHECK(heights[i] - heights[i - 1] == doctest::Approx(coil.pitch()).epsilon(1e-9));
            CHECK(coil.pitch() > coil.drawn_wire());
        }
}

TEST_CASE("drawing: round things are cut into chords of three degrees at most") {
    const BikeBody bike = club_racer();
    for (const Round& c : circles(picture(rear_input(Scene::whole, &bike)))) CHECK(c.radius > 0);
    BikePicture page;
    drawing::Pen pen(page);
    pen.circle({10, 20}, 300, {});
    pen.arc({0, 0}, 50, 0.2, 2.9, {});
    for (const Stroke& s : page.strokes) {
        const Vec2 centre = s.closed ? Vec2{10, 20} : Vec2{0, 0};
        for (std::size_t i = 1; i < s.points.size(); ++i) {
            const Vec2 a = s.points[i - 1], b = s.points[i];
            const double chord = distance(a, b), r = distance(a, centre);
            CHECK(2 * std::asin(chord / (2 * r)) < 3.0001 * pi / 180);
        }
    }
}
