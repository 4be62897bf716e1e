#include <doctest/doctest.h>

#include <algorithm>
#include <set>
#include <string>

#include "core/measure/point.h"

using namespace restand;

TEST_CASE("points: one line each, in order, with a key of its own that finds it again") {
    REQUIRE(all_points().size() == static_cast<std::size_t>(point_count));
    std::set<std::string_view> keys;
    for (int i = 0; i < point_count; ++i) {
        const PointFacts& f = facts(static_cast<Point>(i));
        CAPTURE(f.key);
        CHECK(f.point == static_cast<Point>(i));
        CHECK(&f == &all_points()[static_cast<std::size_t>(i)]);
        CHECK(keys.insert(f.key).second);
        REQUIRE(point_of_key(f.key).has_value());
        CHECK(*point_of_key(f.key) == f.point);
        CHECK(std::all_of(f.key.begin(), f.key.end(),
                          [](char c) { return c == '_' || (c >= 'a' && c <= 'z'); }));
    }
}

TEST_CASE("points: a key that is none finds nothing") {
    for (const char* key : {"", "eye_to_ey", "eye_to_eye_", "EYE_TO_EYE", "count_", "eye_to_eye_mm"})
        CHECK_FALSE(point_of_key(key).has_value());
}

TEST_CASE("points: the usual lies inside the possible, nothing possible is negative but a temperature") {
    for (const PointFacts& f : all_points()) {
        CAPTURE(f.key);
        CHECK((f.hard_min >= 0.0 || f.dimension == Dimension::temperature));
        CHECK(f.hard_min <= f.usual_min);
        CHECK(f.usual_max <= f.hard_max);
        if (f.dimension == Dimension::text) continue;
        CHECK(f.usual_min < f.usual_max);
        CHECK(f.jump > 0.0);
        CHECK(f.jump < f.hard_max - f.hard_min);
    }
}

TEST_CASE("points: the usual ranges hold what is usual (P-09, P-13, P-24: common practice, no source)") {
    const auto usual = [](Point p, double low, double high) {
        return facts(p).usual_min <= low && high <= facts(p).usual_max;
    };
    CHECK(usual(Point::spring_rate, 60, 130));  // shock
    CHECK(usual(Point::spring_rate, 8, 12));    // fork, each leg
    CHECK(usual(Point::eye_to_eye, 250, 400));
    CHECK(usual(Point::spring_free_length, 120, 220));
    CHECK(usual(Point::chain_links, 96, 124));
    CHECK(usual(Point::sprocket_front, 12, 18));
    CHECK(usual(Point::sprocket_rear, 34, 52));
    CHECK(usual(Point::collar_mm_per_turn, 1.0, 2.0));
    CHECK(usual(Point::chain_slack, 25, 40));
}

TEST_CASE("points: a rate in the wrong unit is unusual enough to be asked about, or close to it") {
    // P-22, common practice, no source: 95 N/mm = 542 lbf/in. Typed as N/mm, it is questioned.
    CHECK(542.0 > facts(Point::spring_rate).usual_max);
    // The reverse: a shock's 95 typed as lbf/in is 16.6 N/mm, a stiff fork spring. The jump limit catches it.
    CHECK(95.0 - to_canonical(95.0, Unit::lbf_per_in) > facts(Point::spring_rate).jump);
}
