#include <doctest/doctest.h>

#include <cmath>
#include <limits>
using std::isnan;  // Boost 1.74's pchip.hpp calls it unqualified
#include <boost/math/interpolators/pchip.hpp>

#include "tests/unit/restore_cases.h"

using namespace restand;

namespace {

using Pairs = std::vector<std::pair<Length, Length>>;

Pairs uneven() {
    return {{mm(244), mm(368)}, {mm(251), mm(381)}, {mm(263), mm(405)}, {mm(270), mm(418.5)},
            {mm(288), mm(455)}, {mm(296), mm(470)}, {mm(310), mm(500)}};
}

ErrorCode refused(const Pairs& pairs) {
    const auto map = HeightMap::pairs(pairs);
    REQUIRE_FALSE(map.has_value());
    CHECK(map.error().subject == "map.pairs");
    return map.error().code;
}

}  // namespace

TEST_CASE("height map: the cubic is the monotone cubic of Boost.Math") {
    // Independent check: Boost.Math 1.74 pchip (Fritsch & Butland slopes). It is given our end slopes, which
    // use three points where its own use two. 1e-12 of the value: rounding.
    const auto map = *HeightMap::pairs(uneven());
    std::vector<double> l, h;
    for (const auto& [length, height] : uneven()) l.push_back(in_mm(length)), h.push_back(in_mm(height));
    const double left = map.at(mm(l.front()))->leverage, right = map.at(mm(l.back()))->leverage;
    const boost::math::interpolators::pchip<std::vector<double>> other(std::vector<double>(l),
                                                                       std::vector<double>(h), left, right);
    for (double x = 244.0; x <= 310.0; x += 0.13) {
        CHECK(in_mm(map.at(mm(x))->height) == doctest::Approx(other(x)).epsilon(1e-12));
        CHECK(map.at(mm(x))->leverage == doctest::Approx(other.prime(x)).epsilon(1e-11));
    }
}

TEST_CASE("height map: leverage and curvature are the slopes of height and leverage") {
    test::Random random(3);
    for (int i = 0; i < 200; ++i) {
        const HeightMap map = test::random_map(random, 310);
        for (int k = 0; k < 20; ++k) {
            const double l = random.between(230, 320), d = 1e-4;
            if (!map.covers(mm(l - d)) || !map.covers(mm(l + d))) continue;
            const MapPoint low = *map.at(mm(l - d)), here = *map.at(mm(l)), high = *map.at(mm(l + d));
            CHECK(here.leverage == doctest::Approx((high.height - low.height).value / (2 * d)).epsilon(1e-6));
            // Curvature jumps at a pair: compare only where both sides agree.
            if (std::fabs(high.curvature - low.curvature) < 1e-3)
                CHECK(here.curvature ==
                      doctest::Approx((high.leverage - low.leverage) / (2 * d)).epsilon(1e-3).scale(1));
        }
    }
}

TEST_CASE("height map: rises everywhere and has an inverse") {
    test::Random random(4);
    for (int i = 0; i < 500; ++i) {
        const HeightMap map = test::random_map(random, 310);
        double last = -1e9;
        for (double l = 240; l <= 312; l += 0.9) {
            if (!map.covers(mm(l))) continue;
            const MapPoint here = *map.at(mm(l));
            CHECK(here.leverage > 0.0);
            CHECK(in_mm(here.height) > last);
            last = in_mm(here.height);
            CHECK(in_mm(*map.length_at(here.height)) == doctest::Approx(l).epsilon(1e-12));
        }
    }
}

TEST_CASE("height map: passes through its pairs, never over or under them") {
    const auto map = *HeightMap::pairs(uneven());
    const Pairs pairs = uneven();
    for (std::size_t i = 0; i < pairs.size(); ++i) {
        CHECK(in_mm(map.at(pairs[i].first)->height) ==
              doctest::Approx(in_mm(pairs[i].second)).epsilon(1e-13));
        if (i == 0) continue;
        for (double t = 0.05; t < 1; t += 0.05) {
            const Length h = map.at(pairs[i - 1].first + t * (pairs[i].first - pairs[i - 1].first))->height;
            CHECK(h > pairs[i - 1].second);
            CHECK(h < pairs[i].second);
        }
    }
}

TEST_CASE("height map: two pairs are a straight line, three are enough for a curve") {
    const auto two = *HeightMap::pairs({{mm(250), mm(380)}, {mm(310), mm(500)}});
    for (double l : {250.0, 263.0, 310.0}) {
        CHECK(in_mm(two.at(mm(l))->height) == doctest::Approx(380 + 2 * (l - 250)));
        CHECK(two.at(mm(l))->leverage == doctest::Approx(2.0));
        CHECK(two.at(mm(l))->curvature == doctest::Approx(0.0).epsilon(1e-12));
    }
    // Three evenly spaced pairs of a parabola: its end slopes are exact.
    const auto parabola = [](double l) { return 2 * l + 0.005 * (l - 250) * (l - 250); };
    const auto three = *HeightMap::pairs(
        {{mm(250), mm(parabola(250))}, {mm(280), mm(parabola(280))}, {mm(310), mm(parabola(310))}});
    CHECK(three.at(mm(250))->leverage == doctest::Approx(2.0));
    CHECK(three.at(mm(310))->leverage == doctest::Approx(2.6));
}

TEST_CASE("height map: anchoring shifts the heights and nothing else") {
    for (const HeightMap& map : {*HeightMap::pairs(uneven()), *HeightMap::leverage(2.05)}) {
        const HeightMap moved = *map.anchored(mm(300), mm(612.5));
        CHECK(in_mm(moved.at(mm(300))->height) == doctest::Approx(612.5));
        const double by = in_mm(moved.shift() - map.shift());
        CHECK(in_mm(moved.at(mm(270))->height - map.at(mm(270))->height) == doctest::Approx(by));
        CHECK(moved.at(mm(270))->leverage == map.at(mm(270))->leverage);
        CHECK(in_mm(*moved.length_at(mm(612.5))) == doctest::Approx(300));
        // Anchoring twice to the same reading moves nothing.
        CHECK(in_mm(moved.anchored(mm(300), mm(612.5))->shift()) == doctest::Approx(in_mm(moved.shift())));
    }
}

TEST_CASE("height map: never goes on past its ends") {
    const auto map = *HeightMap::pairs(uneven());
    CHECK(map.covers(mm(244)));
    CHECK(map.covers(mm(310)));
    CHECK_FALSE(map.covers(mm(243.99)));
    CHECK_FALSE(map.covers(mm(310.01)));
    CHECK(map.at(mm(311)).error().code == ErrorCode::no_solution);
    CHECK(map.at(mm(311)).error().detail == "off the map: 244.00 to 310.00 mm");
    CHECK(map.length_at(mm(501)).error().code == ErrorCode::no_solution);
    CHECK(map.length_at(mm(std::nan(""))).error().code == ErrorCode::no_solution);
    CHECK(map.anchored(mm(320), mm(500)).error().code == ErrorCode::out_of_range);
    CHECK(in_mm(map.length_range().first) == 244);
    CHECK(std::isinf(HeightMap::leverage(2)->length_range().second.value));
}

TEST_CASE("height map: refuses what is no map") {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    CHECK(HeightMap::leverage(0.3).error().code == ErrorCode::out_of_range);
    CHECK(HeightMap::leverage(6.0).error().code == ErrorCode::out_of_range);
    CHECK(HeightMap::leverage(-2.0).error().code == ErrorCode::out_of_range);
    CHECK(HeightMap::leverage(nan).error().code == ErrorCode::not_a_number);
    CHECK(refused({}) == ErrorCode::missing);
    CHECK(refused({{mm(300), mm(480)}}) == ErrorCode::missing);
    CHECK(refused({{mm(310), mm(500)}, {mm(300), mm(480)}}) == ErrorCode::not_sorted);
    CHECK(refused({{mm(300), mm(480)}, {mm(300), mm(490)}}) == ErrorCode::not_sorted);
    CHECK(refused({{mm(300), mm(480)}, {mm(310), mm(479)}}) == ErrorCode::not_monotone);
    CHECK(refused({{mm(300), mm(480)}, {mm(310), mm(580)}}) == ErrorCode::out_of_range);
    CHECK(refused({{mm(300), mm(480)}, {mm(310), mm(481)}}) == ErrorCode::out_of_range);
    CHECK(refused({{mm(-300), mm(480)}, {mm(310), mm(500)}}) == ErrorCode::out_of_range);
    CHECK(refused({{mm(300), mm(nan)}, {mm(310), mm(500)}}) == ErrorCode::not_a_number);
    // The error names the pair, counted from 1.
    const auto map = HeightMap::pairs({{mm(290), mm(460)}, {mm(300), mm(480)}, {mm(299), mm(490)}});
    CHECK(map.error().detail == "pair 3: length does not rise");
}
