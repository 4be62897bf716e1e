// Springs from the shelf, against arithmetic by hand and against the end built with them.

#include <doctest/doctest.h>

#include <cmath>

#include "core/restore/spring_choice.h"
#include "tests/unit/random_bike.h"

using namespace restand;

namespace {

// Leverage 2, eye to eye 310, spring 95 N/mm with 10 mm preload, no gas. Rider sag 30 mm = 15 mm of travel:
// F = 95·25 = 2375 N, load 2375/2 = 1187.5 N. Free sag 10 mm = 5 mm: F = 95·15 = 1425 N, load 712.5 N.
SwapCase by_hand() {
    SuspensionUnit unit;
    unit.length = mm(310);
    unit.spring = {newton_per_mm(95), mm(160), {}};
    unit.installed_length = mm(150);
    SwapCase now{.map = HeightMap::leverage(2.0).value(),
                 .before = {unit, mm(500), {}, {}},
                 .new_unit = unit,
                 .length = {},
                 .installed = {}};
    now.before.static_ = mm(490);
    now.before.rider = mm(470);
    return now;
}

constexpr SpringWish as_now{mm(30), {mm(5), mm(15)}, {mm(5), mm(15)}};

}  // namespace

TEST_CASE("spring choice: worked by hand") {
    const Spring springs[] = {{newton_per_mm(100), mm(155), mm(70)},
                              {newton_per_mm(95), mm(160), {}},
                              {newton_per_mm(160), mm(150), {}}};
    const auto options = spring_options(by_hand(), springs, as_now);
    REQUIRE(options.has_value());
    REQUIRE(options->size() == 3);
    // The fitted spring gives the present sag, in the middle of both bands.
    CHECK((*options)[0].index == 1);
    CHECK(in_mm((*options)[0].preload) == doctest::Approx(10));
    CHECK(in_mm(*(*options)[0].free_sag) == doctest::Approx(10));
    // 100 N/mm: 23.75 − 15 = 8.75 mm of preload. Without rider 1425/100 − 8.75 = 5.5 mm of travel, 11 mm of
    // sag.
    CHECK((*options)[1].index == 0);
    CHECK(in_mm((*options)[1].preload) == doctest::Approx(8.75));
    CHECK(in_mm((*options)[1].installed_length) == doctest::Approx(146.25));
    CHECK(in_mm(*(*options)[1].free_sag) == doctest::Approx(11));
    CHECK(in_newton_per_mm(*(*options)[1].wheel_rate) == doctest::Approx(25));  // k/4
    // 160 N/mm: 14.84 − 15 < 0: loose, so this sag is impossible.
    CHECK(in_mm((*options)[2].preload) == doctest::Approx(2375.0 / 160 - 15));
    CHECK(!(*options)[2].fits(as_now));
}

TEST_CASE("spring choice: the end built with any option has the wanted rider sag, and the free sag it says") {
    test::RandomBikes random(601);
    int built_so = 0;
    for (int i = 0; i < 500; ++i) {
        SwapCase now = by_hand();
        const LinkageMap map = LinkageMap::of(random.linkage()).value();
        const Length top = place_at(map.linkage(), degrees(14))->length;
        const auto heights = HeightMap::linkage(map, mm(580));
        REQUIRE(heights.has_value());
        now.map = *heights;
        now.before.unit.length = now.new_unit.length = top;
        now.before.unit.gas.topped_out = newton(random.between(0, 200));
        now.before.topped_out = mm(500);
        now.before.static_ = mm(500 - random.between(5, 15));
        now.before.rider = mm(500 - random.between(25, 40));
        const Spring spring{newton_per_mm(random.between(80, 130)), mm(160), {}};
        const SpringWish wish{mm(random.between(25, 40)), {mm(0), mm(40)}, {mm(0), mm(60)}};
        const auto options = spring_options(now, std::span(&spring, 1), wish);
        REQUIRE(options.has_value());
        const SpringOption& o = options->front();
        if (o.preload < mm(0.5)) continue;  // loose: the option says that this sag is impossible
        const HeightMap anchored = now.map.anchored(top, mm(500)).value();
        SuspensionUnit unit = now.before.unit;
        const Force rider = standing_at({unit, anchored}, *now.before.rider)->load,
                    alone = standing_at({unit, anchored}, *now.before.static_)->load;
        unit.spring = spring;
        unit.installed_length = o.installed_length;
        const EndModel built{unit, anchored};
        const auto rides = standing_under(built, rider);
        CHECK(rides.has_value() == o.wheel_rate.has_value());
        if (!rides) {  // with a falling ratio it drops through under this load
            CHECK(!o.fits(wish));
            continue;
        }
        ++built_so;
        CHECK(in_mm(mm(500) - rides->height) == doctest::Approx(in_mm(wish.rider_sag)).epsilon(1e-7));
        CHECK(in_mm(mm(500) - standing_under(built, alone)->height) ==
              doctest::Approx(in_mm(*o.free_sag)).epsilon(1e-7));
    }
    CHECK(built_so > 200);
}

TEST_CASE("spring choice: coils that would touch, bands missed and a sag beyond the travel") {
    SwapCase now = by_hand();
    now.new_unit.travel = mm(60);
    // 8.75 mm preload and 60 of travel on a spring of 155: 86.25 left. Coils that touch at 90 do so 3.75 too
    // early.
    const Spring touches{newton_per_mm(100), mm(155), mm(90)};
    const auto options = spring_options(now, std::span(&touches, 1), as_now);
    REQUIRE(options.has_value());
    CHECK(in_mm(*options->front().block_margin) == doctest::Approx(-3.75));
    CHECK(!options->front().fits(as_now));
    SpringWish narrow = as_now;
    narrow.free_sag = {mm(2), mm(9)};
    const Spring sound{newton_per_mm(100), mm(155), {}};
    CHECK(!spring_options(now, std::span(&sound, 1), narrow)->front().fits(narrow));
    SpringWish deep = as_now;
    deep.rider_sag = mm(130);
    CHECK(spring_options(now, std::span(&sound, 1), deep).error().code == ErrorCode::out_of_range);
    now.before.rider.reset();
    CHECK(spring_options(now, std::span(&sound, 1), as_now).error() ==
          Error{ErrorCode::missing, "ride_height_rider", "before"});
}
