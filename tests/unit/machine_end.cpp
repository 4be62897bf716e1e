#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "tests/unit/random_bike.h"
#include "tests/unit/restore_cases.h"

using namespace restand;

namespace {

EndModel random_end(test::Random& random) {
    const SwapCase swap = test::random_swap(random, 10);
    EndModel end{swap.before.unit, *swap.map.anchored(swap.before.unit.length, swap.before.topped_out)};
    if (random.one_in(2)) end.unit.gas.chamber = Gas::Chamber{Area(154), Volume(60000), 1.2};
    if (random.one_in(3)) end.unit.bump = {{mm(40), newton(0)}, {mm(60), newton(1500)}};
    return end;
}

}  // namespace

TEST_CASE("end: standing at a height and standing under its load are inverse") {
    test::Random random(11);
    for (int i = 0; i < 5000; ++i) {
        const EndModel end = random_end(random);
        const double x = random.between(0.01, 55);
        const Length height = end.map.at(end.unit.length - mm(x))->height;
        const auto at = standing_at(end, height);
        REQUIRE(at.has_value());
        const auto under = standing_under(end, at->load);
        REQUIRE(under.has_value());
        // 1e-9 mm as promised; the height itself is exact only to rounding.
        CHECK(std::fabs(in_mm(under->height - height)) < 1e-9);
        CHECK(std::fabs(in_mm(under->travel) - x) < 1e-9);
        CHECK_FALSE(under->topped_out);
    }
}

TEST_CASE("end: the wheel rate is load over height") {
    test::Random random(12);
    for (int i = 0; i < 3000; ++i) {
        const EndModel end = random_end(random);
        const double x = random.between(1, 55), d = 1e-4;
        const Length height = end.map.at(end.unit.length - mm(x))->height;
        const auto low = standing_at(end, height - mm(d)), here = standing_at(end, height),
                   high = standing_at(end, height + mm(d));
        REQUIRE(here.has_value());
        // The map's curvature and the rubber's rate jump at their points; the slope is not compared there.
        if (std::fabs(in_newton_per_mm(low->wheel_rate - high->wheel_rate)) > 0.01) continue;
        const double slope = in_newton(low->load - high->load) / (2 * d);
        CHECK(in_newton_per_mm(here->wheel_rate) == doctest::Approx(slope).epsilon(1e-4));
    }
}

TEST_CASE("end: virtual work, the wheel takes what the unit gives") {
    test::Random random(13);
    for (int i = 0; i < 50; ++i) {
        EndModel end = random_end(random);
        end.unit.bump.clear();
        // Simpson's rule over 50 mm of travel on both sides; W dh = F dl. The map's corners reduce its
        // accuracy a little.
        const int n = 4000;
        double unit_work = 0, wheel_work = 0;
        for (int k = 0; k <= n; ++k) {
            const double x = 50.0 * k / n, weight = k == 0 || k == n ? 1 : k % 2 ? 4 : 2;
            const auto here = *standing_at(end, end.map.at(end.unit.length - mm(x))->height);
            unit_work += weight * in_newton(unit_force(end.unit, mm(x)));
            wheel_work += weight * in_newton(here.load) * here.leverage;
        }
        CHECK(wheel_work == doctest::Approx(unit_work).epsilon(1e-9));
        // The same over heights: trapezoids between neighbouring heights.
        double by_height = 0;
        Standing last = *standing_at(end, end.map.at(end.unit.length)->height);
        for (int k = 1; k <= n; ++k) {
            const Standing here = *standing_at(end, end.map.at(end.unit.length - mm(50.0 * k / n))->height);
            by_height += 0.5 * in_newton(here.load + last.load) * in_mm(last.height - here.height);
            last = here;
        }
        CHECK(by_height == doctest::Approx(unit_work * 50.0 / n / 3.0).epsilon(1e-5));
    }
}

TEST_CASE("end: more load never stands higher") {
    test::Random random(14);
    for (int i = 0; i < 300; ++i) {
        const EndModel end = random_end(random);
        double last = std::numeric_limits<double>::infinity();
        for (double load = 0; load < 1500; load += 37) {
            const auto here = standing_under(end, newton(load));
            if (!here) break;
            CHECK(in_mm(here->height) <= last + 1e-12);
            last = in_mm(here->height);
        }
    }
}

TEST_CASE("end: topped out until the load beats preload and gas") {
    const SwapCase swap = test::example_swap();
    const EndModel end{swap.before.unit, *swap.map.anchored(mm(310), mm(500))};
    const double limit = (95 * 10 + 150) / 2.05;
    const auto below = *standing_under(end, newton(limit - 1));
    CHECK(below.topped_out);
    CHECK(in_mm(below.height) == doctest::Approx(500));
    CHECK(in_newton(below.load) == doctest::Approx(limit - 1));
    CHECK(in_newton_per_mm(below.wheel_rate) == doctest::Approx(95 / 2.05 / 2.05));
    const auto above = *standing_under(end, newton(limit + 1));
    CHECK_FALSE(above.topped_out);
    // 1 N over 22.6 N/mm at the wheel.
    CHECK(in_mm(above.height) == doctest::Approx(500 - 1 / (95 / 2.05 / 2.05)));
    // A little above topped out is a reading error; a lot is a mistake.
    CHECK(standing_at(end, mm(501.9))->topped_out);
    CHECK(standing_at(end, mm(502.1)).error().code == ErrorCode::contradiction);
}

TEST_CASE("end: says where it ends") {
    const SwapCase swap = test::example_swap();
    EndModel end{swap.before.unit, *swap.map.anchored(mm(310), mm(500))};
    end.unit.travel = mm(60);
    CHECK(standing_at(end, mm(500 - 2.05 * 61)).error().detail == "travel exhausted");
    CHECK(standing_under(end, newton(1e5)).error().detail == "travel exhausted");
    CHECK(standing_under(end, newton(std::nan(""))).error().code == ErrorCode::not_a_number);
    end.map = *HeightMap::pairs({{mm(280), mm(440)}, {mm(295), mm(470)}, {mm(312), mm(504)}});
    CHECK(standing_under(end, newton(1e5)).error().detail == "off the map");
    CHECK(standing_at(end, mm(430)).error().code == ErrorCode::no_solution);
    // A unit longer than the map is on the map again under enough load.
    end.unit.length = mm(315);
    CHECK(standing_under(end, newton(600)).error().detail == "off the map");
    CHECK(standing_under(end, newton(1200)).has_value());
}

TEST_CASE("end: a loose spring drops by its slack before it carries") {
    const SwapCase swap = test::example_swap();
    EndModel end{swap.before.unit, *swap.map.anchored(mm(310), mm(500))};
    end.unit.installed_length = mm(165);
    // Gas alone holds 150/2.05 N; with one newton more it moves through 5 mm of slack.
    CHECK(standing_under(end, newton(73))->topped_out);
    CHECK(in_mm(standing_under(end, newton(74))->travel) == doctest::Approx(5.0).epsilon(0.01));
}

TEST_CASE("end: a map that gives way faster than the spring stiffens is no place to stand") {
    // Leverage from 1.2 to 5 within 20 mm: the wheel's force falls while the unit is compressed.
    EndModel end{
        test::example_swap().before.unit,
        *HeightMap::pairs({{mm(280), mm(300)}, {mm(290), mm(350)}, {mm(300), mm(390)}, {mm(310), mm(402)}})};
    end.unit.installed_length = mm(100);
    const auto falling = standing_at(end, mm(370));
    REQUIRE_FALSE(falling.has_value());
    CHECK(falling.error().detail == "wheel rate not above 0: check the map");
}

// Without a known travel, the whole range of the linkage counts. Near the range's ends it carries less again.
TEST_CASE("end: on any linkage it stands under the load that its height says, its travel known or not") {
    test::RandomBikes random(801);
    int stood = 0;
    for (int i = 0; i < 2000; ++i) {
        const WholeBike b = random.bike();
        const auto map = HeightMap::linkage(LinkageMap::of(b.linkage).value(), b.arm);
        REQUIRE(map.has_value());
        EndModel end{b.shock, *map};
        if (i % 2) end.unit.travel.reset();
        const Length top = map->at(end.unit.length)->height;
        const Length height = top - mm(random.between(1, 45));
        const auto read = standing_at(end, height);
        if (!read || read->wheel_rate.value < 2.0) continue;  // nearly drops through: no real bike
        ++stood;
        const auto stands = standing_under(end, read->load);
        REQUIRE(stands.has_value());
        CHECK(in_mm(stands->height) == doctest::Approx(in_mm(height)).epsilon(1e-9));
    }
    CHECK(stood > 1500);
}
