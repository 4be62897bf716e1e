// Swaps of parts that are not units: link rod, tyres, fork oil; alone and several at once. Each answer is
// compared with mechanics worked out here independently, from the linkage's own points and Boyle's law. The
// chain's tests are in swap_chain.cpp.

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "tests/unit/swap_kit.h"

using namespace restand;
using namespace restand::test;

namespace {

using P = Point;

double spring_force(const WholeBike& b, double preload, double travel) {
    return b.shock.spring.rate.value * (preload + travel) + b.shock.gas.topped_out.value;
}

}  // namespace

TEST_CASE("link rod: the bike stands as before when the unit pushes the arm as hard, at the same droop") {
    RandomBikes random(501);
    int solved = 0;
    for (int i = 0; i < 400; ++i) {
        const WholeBike b = with_rocker(random);
        Known k = known(b, {SwapPart::link_rod});
        const double rod = in_mm(b.linkage.rocker->rod) + random.between(-1.5, 1.5);
        k.read(Phase::before, End::rear, P::link_rod, in_mm(b.linkage.rocker->rod));
        k.read(Phase::new_part, End::rear, P::link_rod, rod);
        const auto input = case_of(k.site(), End::rear);
        if (!input) continue;  // a rod that does not close is refused; see below
        const auto answer = restore(input->swap_case);
        if (!answer || !answer->limits.empty()) continue;
        ++solved;
        Linkage after = b.linkage;
        after.rocker->rod = mm(rod);
        const Angle droop = standing(b, Rider::on)->pose.droop,
                    top = LinkageMap::of(b.linkage)->droop_at(b.shock.length).value();
        const auto was = place_at(b.linkage, droop), is = place_at(after, droop),
                   hangs = place_at(after, top);
        REQUIRE((was && is && hangs));
        // Topped out as before: the new unit length is the new linkage's at that droop.
        CHECK(in_mm(answer->setting.length - hangs->length) == doctest::Approx(0.0).epsilon(1e-5));
        const double old_preload = in_mm(b.shock.spring.free_length - b.shock.installed_length);
        const double old_moment =
            spring_force(b, old_preload, in_mm(b.shock.length - was->length)) * was->slope;
        const double new_moment =
            spring_force(b, in_mm(answer->setting.preload), in_mm(answer->setting.length - is->length)) *
            is->slope;
        CHECK(new_moment / old_moment == doctest::Approx(1.0).epsilon(1e-6));
    }
    CHECK(solved > 200);
}

TEST_CASE(
    "link rod: the same rod again changes nothing, one that does not close is refused with the reason") {
    RandomBikes random(502);
    const WholeBike b = with_rocker(random);
    Known k = known(b, {SwapPart::link_rod});
    const double rod = in_mm(b.linkage.rocker->rod);
    k.read(Phase::before, End::rear, P::link_rod, rod).read(Phase::new_part, End::rear, P::link_rod, rod);
    const auto same = solve_swap(k.site()).end(End::rear)->answer;
    REQUIRE(same.has_value());
    CHECK(in_mm(same->setting.length - b.shock.length) == doctest::Approx(0.0).epsilon(1e-5));
    CHECK(in_mm(same->setting.installed_length - b.shock.installed_length) ==
          doctest::Approx(0.0).epsilon(1e-5));
    k.read(Phase::new_part, End::rear, P::link_rod, 900);
    const auto never = case_of(k.site(), End::rear);
    REQUIRE(!never);
    CHECK(never.error().code == ErrorCode::no_solution);
}

// Radius by circumference/2π: +18.849556 mm of circumference is 3 mm of radius.
TEST_CASE("a larger front tyre: the tubes come up by what the radius gained, the frame stands as before") {
    RandomBikes random(503);
    for (int i = 0; i < 100; ++i) {
        Known k = known(random.bike(), {SwapPart::front_tyre});
        k.read(Phase::before, End::front, P::rolling_circumference, 1880);
        k.read(Phase::new_part, End::front, P::rolling_circumference, 1880 + 6 * pi);
        const auto input = case_of(k.site(), End::front);
        REQUIRE(input.has_value());
        const auto answer = restore(input->swap_case);
        REQUIRE(answer.has_value());
        CHECK(in_mm(input->swap_case.length.now - answer->setting.length) ==
              doctest::Approx(3 / 0.9).epsilon(1e-5));
        CHECK(in_mm(answer->setting.preload) == doctest::Approx(15.0).epsilon(1e-5));
        const auto both = solve_swap(k.site()).attitudes;
        REQUIRE(both.has_value());
        // The tubes are set to half a millimetre: at most a quarter remains, over a wheelbase of 1.3 m.
        CHECK(std::fabs(in_degrees(both->will.rake - both->was.rake)) < 0.25 / 1300 * 180 / pi);
        // A larger wheel under the same steering head: more trail, by ΔR·tan(rake).
        CHECK(in_mm(both->will.trail - both->was.trail) ==
              doctest::Approx(3 * std::tan(both->was.rake.value)).epsilon(0.02));
    }
}

TEST_CASE("a rear tyre by its marking: the rear comes down by what the radius gained") {
    RandomBikes random(504);
    Known k = known(random.bike(), {SwapPart::rear_tyre});
    const auto marked = [](const char* text) {
        return std::vector{StoredReading{reading(P::tyre, text), {}, {}, {1000, 0}, {}, false}};
    };
    k.swap.stored_readings[{Phase::before, End::rear, P::tyre}] = marked("190/55-17");
    k.swap.stored_readings[{Phase::new_part, End::rear, P::tyre}] = marked("200/55-17");
    const auto input = case_of(k.site(), End::rear);
    REQUIRE(input.has_value());
    // UN R75: 5.5 mm of radius between these two (check value G-04).
    CHECK(in_mm(input->swap_case.raise) == doctest::Approx(-5.5));
    const auto answer = restore(input->swap_case);
    REQUIRE(answer.has_value());
    CHECK(in_mm(*answer->predicted.residual_at(State::rider)) == doctest::Approx(0.0).epsilon(1e-6));
    CHECK(in_mm(answer->predicted.at(State::rider)->height) ==
          doctest::Approx(measured(k.stood.stored(End::rear, P::ride_height_rider)->reading).value - 5.5));
    // An unreadable tyre size moves nothing.
    k.swap.stored_readings[{Phase::new_part, End::rear, P::tyre}] = marked("the soft one");
    CHECK(case_of(k.site(), End::rear)->swap_case.raise == mm(0));
}

// Boyle's law on the air of one leg, in mm and N: V = A·(level + travel) − A·x, p·V constant from the day's
// pressure.
TEST_CASE("fork oil: less air is stiffer, and preload gives back what it took") {
    RandomBikes random(505);
    for (int i = 0; i < 200; ++i) {
        Known k = known(random.bike(), {SwapPart::fork_oil});
        const double bore = random.between(38, 46), old_level = random.between(90, 160),
                     new_level = random.between(90, 160);
        k.read(Phase::before, End::front, P::fork_bore, bore)
            .read(Phase::before, End::front, P::fork_oil_level, old_level);
        k.read(Phase::new_part, End::front, P::fork_oil_level, new_level);
        const auto input = case_of(k.site(), End::front);
        REQUIRE(input.has_value());
        const auto answer = restore(input->swap_case);
        REQUIRE(answer.has_value());
        const double area = bore * bore * pi / 4, x = 40 / 0.9, travel = 120;
        const auto air = [&](double level) {
            const double closed = level + travel;
            return area * 0.101325 * (closed / (closed - x) - 1);
        };
        const double preload = 15 + (air(old_level) - air(new_level)) / 9.5;
        CHECK(in_mm(answer->wanted.preload) == doctest::Approx(preload).epsilon(1e-5));
    }
}

TEST_CASE("fork oil: a level known on one side only is left out on both") {
    RandomBikes random(506);
    Known k = known(random.bike(), {SwapPart::fork_springs});
    k.read(Phase::new_part, End::front, P::spring_rate, 10)
        .read(Phase::new_part, End::front, P::spring_free_length, 250);
    const auto without = case_of(k.site(), End::front);
    k.swap.stored_readings[{Phase::before, End::front, P::fork_bore}] = {taken(P::fork_bore, 43)};
    k.swap.stored_readings[{Phase::before, End::front, P::fork_oil_level}] = {taken(P::fork_oil_level, 120)};
    // A spring swap keeps the oil: its earlier reading stays valid.
    const auto with = case_of(k.site(), End::front);
    REQUIRE((without && with));
    CHECK(!without->swap_case.new_unit.gas.chamber);
    CHECK(with->swap_case.new_unit.gas.chamber);
    CHECK(with->swap_case.before.unit.gas.chamber);
    // Another fork has its own oil, of which there is no reading.
    k.swap.parts = {SwapPart::fork};
    const auto other = case_of(k.site(), End::front);
    REQUIRE(other.has_value());
    CHECK(!other->swap_case.before.unit.gas.chamber);
    CHECK(!other->swap_case.new_unit.gas.chamber);
}

TEST_CASE(
    "several at once: both ends are answered, and what one part brings is not taken for the other end's") {
    RandomBikes random(510);
    const WholeBike b = random.bike();
    Known k = with_chain(b, {SwapPart::shock_spring, SwapPart::sprockets, SwapPart::front_tyre});
    k.read(Phase::new_part, End::rear, P::spring_rate, b.shock.spring.rate.value * 1.05);
    k.read(Phase::new_part, End::rear, P::spring_free_length, in_mm(b.shock.spring.free_length));
    k.read(Phase::new_part, End::rear, P::sprocket_front, b.chain->sprockets.front);
    k.read(Phase::new_part, End::rear, P::sprocket_rear, b.chain->sprockets.rear + 1);
    k.read(Phase::new_part, End::front, P::rolling_circumference, 1890);
    k.read(Phase::before, End::front, P::rolling_circumference, 1880);
    CHECK(missing(k.swap, Phase::before).empty());
    CHECK(missing(k.swap, Phase::new_part).empty());
    const auto rear = solve_swap(k.site()).end(End::rear)->answer,
               front = solve_swap(k.site()).end(End::front)->answer;
    REQUIRE((rear && front));
    CHECK(in_mm(*rear->predicted.residual_at(State::rider)) == doctest::Approx(0.0).epsilon(1e-6));
    CHECK(in_mm(*front->predicted.residual_at(State::rider)) == doctest::Approx(0.0).epsilon(1e-6));
    CHECK(in_mm(front->setting.preload) == doctest::Approx(15.0).epsilon(1e-5));
    CHECK(solve_swap(k.site()).attitudes.has_value());
}

TEST_CASE("set: what the answer moves must be read there, whatever is swapped") {
    const auto required = [](SwapPart part, P point) {
        Swap swap;
        swap.parts = {part};
        const auto spots = missing(swap, Phase::set);
        return std::any_of(spots.begin(), spots.end(), [point](const ReadAt& s) { return s.point == point; });
    };
    using enum SwapPart;
    for (const SwapPart part : {shock, link_rod, rear_tyre}) CHECK(required(part, P::eye_to_eye));
    for (const SwapPart part : {fork, front_tyre}) CHECK(required(part, P::fork_position));
    for (const SwapPart part :
         {shock, shock_spring, link_rod, rear_tyre, fork, fork_springs, fork_oil, front_tyre})
        CHECK(required(part, P::spring_installed_length));
    for (const SwapPart part : {sprockets, chain}) {
        CHECK(required(part, P::axle_position));
        CHECK(required(part, P::chain_links));
    }
}

TEST_CASE("link rod: without the swingarm's length or the linkage it says so instead of changing nothing") {
    RandomBikes random(514);
    const WholeBike b = with_rocker(random);
    Known k = known(b, {SwapPart::link_rod});
    k.read(Phase::before, End::rear, P::link_rod, in_mm(b.linkage.rocker->rod));
    k.read(Phase::new_part, End::rear, P::link_rod, in_mm(b.linkage.rocker->rod) + 1);
    k.body.rear.leverage = 2.0;
    k.body.geometry.swingarm.reset();
    CHECK(case_of(k.site(), End::rear).error() == Error{ErrorCode::missing, "swingarm", "bike"});
    k.body.mechanism.linkage.reset();
    CHECK(case_of(k.site(), End::rear).error() == Error{ErrorCode::missing, "linkage", "bike"});
}

TEST_CASE("heights of another day are not mixed with those of today") {
    RandomBikes random(515);
    Known k = known(random.bike(), {SwapPart::front_tyre});
    k.swap.stored_readings.erase({Phase::before, End::front, P::ride_height_static});
    k.has(End::front, P::ride_height_static, 700);  // of another mark
    // Nothing is known yet of the new tyre: as large as the old one, within a range.
    const auto unknown = case_of(k.site(), End::front);
    REQUIRE(unknown.has_value());
    CHECK(unknown->swap_case.raise == mm(0));
    CHECK(unknown->assumed({Phase::new_part, P::rolling_circumference}));
    k.swap.stored_readings[{Phase::new_part, End::front, P::tyre}] = {
        StoredReading{reading(P::tyre, "120/70-17, rain"), {}, {}, {1000, 0}, {}, false}};
    const auto input = case_of(k.site(), End::front);
    REQUIRE(input.has_value());
    CHECK(!input->swap_case.before.static_);
    CHECK(restore(input->swap_case).has_value());
}

TEST_CASE("a tyre of which only the size is known is compared by size, whatever the old one rolled") {
    RandomBikes random(516);
    Known k = known(random.bike(), {SwapPart::rear_tyre});
    k.read(Phase::before, End::rear, P::rolling_circumference, 1990);
    const auto marked = [](const char* text) {
        return std::vector{StoredReading{reading(P::tyre, text), {}, {}, {1000, 0}, {}, false}};
    };
    k.swap.stored_readings[{Phase::before, End::rear, P::tyre}] = marked("190/55-17");
    k.swap.stored_readings[{Phase::new_part, End::rear, P::tyre}] = marked("200/55-17");
    CHECK(in_mm(case_of(k.site(), End::rear)->swap_case.raise) == doctest::Approx(-5.5));
    const auto both = solve_swap(k.site()).attitudes;
    REQUIRE(both.has_value());
    // The mark comes down as the axle goes up: the frame's pitch stays, to a quarter turn of the adjuster.
    CHECK(std::fabs(in_degrees(both->will.rake - both->was.rake)) < 0.05);
}

TEST_CASE("heights that something moved since they were read are taken where that put them, at both ends") {
    RandomBikes random(517);
    Known k = known(random.bike(), {SwapPart::rear_tyre});
    // The tubes went up 5 mm since the front was read: the front stands lower by 5·0.9.
    k.stood.values[{End::front, P::fork_position}] = taken(P::fork_position, 11);
    for (const P height : {P::ride_height_topped_out, P::ride_height_static, P::ride_height_rider})
        k.stood.stale.insert({End::front, height});
    Known level = k;
    level.stood.stale.clear();
    level.has(End::front, P::ride_height_topped_out, 620 - 4.5)
        .has(End::front, P::ride_height_static, 600 - 4.5);
    level.has(End::front, P::ride_height_rider, 580 - 4.5);
    level.stood.read_with = level.stood.values;
    SwapSite told = k.site(), should = level.site();
    told.described = should.described = known(random.bike(), {SwapPart::rear_tyre}).stood;
    const auto a = solve_swap(told).attitudes, b = solve_swap(should).attitudes;
    REQUIRE((a && b));
    CHECK(in_degrees(a->was.rake) == doctest::Approx(in_degrees(b->was.rake)).epsilon(1e-6));
}

TEST_CASE(
    "baseline: a swap at both ends keeps each end's own values, and heights only where an end was set anew") {
    RandomBikes random(511);
    Known k = with_chain(random.bike(), {SwapPart::sprockets, SwapPart::front_tyre});
    k.swap.started.ms = 1000;
    k.read(Phase::new_part, End::rear, P::sprocket_rear, 45)
        .read(Phase::set, End::rear, P::axle_position, 27.5);
    k.read(Phase::set, End::front, P::fork_position, 9)
        .read(Phase::check, End::front, P::ride_height_rider, 577);
    const BaselineBody body = baseline_of(k.swap, k.stood, "");
    const auto at = [&](End end, P point) -> std::optional<double> {
        for (const BaselineValue& v : body.values)
            if (v.end == end && v.stored.reading.point == point) return measured(v.stored.reading).value;
        return std::nullopt;
    };
    CHECK(at(End::rear, P::sprocket_rear) == 45.0);
    CHECK(at(End::rear, P::axle_position) == 27.5);
    CHECK(!at(End::rear, P::chain_slack));       // of the old sprockets
    CHECK(at(End::rear, P::ride_height_rider));  // the rear was not adjusted
    CHECK(at(End::front, P::fork_position) == 9.0);
    CHECK(at(End::front, P::ride_height_rider) == 577.0);
    CHECK(!at(End::front, P::ride_height_static));  // not checked, so unknown
    CHECK(at(End::front, P::spring_rate) == 9.5);
}
