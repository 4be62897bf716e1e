// Placement of tags, and the lines of the drawing.
#include <doctest/doctest.h>

#include <cmath>
#include <random>

#include "app/widgets/strokes.h"
#include "app/widgets/tag_place.h"

using namespace restand;

TEST_CASE("places: never on a joint, on what is blocked, on each other or out of the zone") {
    std::mt19937 random(7);
    const Rect zone{100, 60, 700, 600};
    std::uniform_real_distribution<float> x(zone.x, zone.right()), y(zone.y, zone.bottom());
    for (int round = 0; round < 40; ++round) {
        InkMap ink;
        ink.reset(zone, 6);
        for (int i = 0; i < 12; ++i) ink.line({x(random), y(random)}, {x(random), y(random)}, 1);
        ink.finish();
        TagGround ground{zone, {{100, 60, 300, 50}}, {}, &ink, 6};
        for (int i = 0; i < 8; ++i) ground.joints.push_back({x(random) - 8, y(random) - 8, 16, 16});
        std::vector<TagRoom> tags;
        for (int i = 0; i < 7; ++i) {
            TagRoom tag{190, 72, {x(random), y(random)}, {}, false};
            if (i % 2) tag.b = Spot{x(random), y(random)};
            tags.push_back(tag);
        }
        const auto places = place_tags(tags, ground);
        CHECK(places == place_tags(tags, ground));
        for (std::size_t i = 0; i < places.size(); ++i) {
            REQUIRE(places[i]);
            CHECK(zone.holds(*places[i]));
            CHECK(is_free(*places[i], ground, places, i));
        }
    }
}

TEST_CASE("places: alone, a tag sits on the middle of its dimension line") {
    InkMap ink;
    const Rect zone{0, 0, 600, 600};
    ink.reset(zone, 6);
    ink.finish();
    const std::vector<TagRoom> tags{{180, 72, {300, 50}, Spot{300, 550}, false}};
    const auto places = place_tags(tags, {zone, {}, {}, &ink, 6});
    REQUIRE(places[0]);
    CHECK(places[0]->middle_x() == doctest::Approx(300).epsilon(0.02));
    CHECK(places[0]->middle_y() == doctest::Approx(300).epsilon(0.02));
}

// Closed form: the parameters at which the segment crosses the sides.
TEST_CASE("places: of a segment the part inside a rectangle is found, however it lies") {
    const Rect r{10, 10, 80, 80};
    using Part = std::pair<float, float>;
    CHECK(part_inside(r, {0, 50}, {100, 50}) == Part{0.1f, 0.9f});
    CHECK(part_inside(r, {100, 100}, {0, 0}) == Part{0.1f, 0.9f});
    CHECK(part_inside(r, {50, 50}, {50, 130}) == Part{0.0f, 0.5f});
    CHECK(part_inside(r, {20, 20}, {80, 60}) == Part{0.0f, 1.0f});
    CHECK_FALSE(part_inside(r, {0, 5}, {100, 5}).has_value());
    CHECK_FALSE(part_inside(r, {0, 85}, {20, 100}).has_value());  // passes a corner
    CHECK(part_inside(r, {50, 50}, {50, 50}) == Part{0.0f, 1.0f});
}

TEST_CASE("places: ink under a rectangle is counted as cells are") {
    InkMap ink;
    ink.reset({0, 0, 100, 100}, 10);
    ink.line({5, 5}, {95, 5}, 1);  // a row of ten cells
    ink.finish();
    CHECK(ink.cover({0, 0, 99, 99}) == doctest::Approx(10));
    CHECK(ink.cover({0, 0, 39, 5}) == doctest::Approx(4));
    CHECK(ink.cover({0, 20, 99, 50}) == doctest::Approx(0));
}

TEST_CASE("lines: patterns of ISO 128, wide twice the narrow") {
    CHECK(line_width_mm(Line::wide) == 2 * line_width_mm(Line::narrow));
    CHECK(dash_pattern_mm(Line::wide).empty());
    CHECK(dash_pattern_mm(Line::hidden).size() == 2);
    CHECK(dash_pattern_mm(Line::axis).size() == 4);   // long dash, dot
    CHECK(dash_pattern_mm(Line::ghost).size() == 6);  // long dash, two dots
    // Numbers of line widths, from memory of ISO 128-20: dash 12, long dash 24, gap 3.
    const float d = line_width_mm(Line::hidden);
    CHECK(dash_pattern_mm(Line::hidden)[0] == doctest::Approx(12 * d));
    CHECK(dash_pattern_mm(Line::axis)[0] == doctest::Approx(24 * d));
    CHECK(dash_pattern_mm(Line::ghost)[1] == doctest::Approx(3 * d));
}

TEST_CASE("fills: the triangles of a polygon have its area, hollow or not, either way round") {
    std::vector<Vec2> polygon{{0, 0},   {40, 0},  {40, 30}, {25, 30},
                              {25, 10}, {15, 10}, {15, 30}, {0, 30}};  // U-shaped
    for (int plan = 0; plan < 2; ++plan) {
        const auto corners = triangles(polygon);
        CHECK(corners.size() == 3 * (polygon.size() - 2));
        double area = 0;
        for (std::size_t i = 0; i + 2 < corners.size(); i += 3) {
            const Vec2 &a = polygon[corners[i]], &b = polygon[corners[i + 1]], &c = polygon[corners[i + 2]];
            area += std::abs((b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)) / 2;
        }
        CHECK(area == doctest::Approx(40 * 30 - 10 * 20));
        std::reverse(polygon.begin(), polygon.end());
    }
    CHECK(triangles(std::vector<Vec2>{{0, 0}, {1, 1}}).empty());
}
