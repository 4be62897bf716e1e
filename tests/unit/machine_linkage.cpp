// Linkages by their points: derivatives against differences, round trips, limits, a measured table.

#include <doctest/doctest.h>

#include <algorithm>

#include "core/machine/height_map.h"
#include "core/machine/linkage_bulk.h"
#include "core/machine/linkage_fit.h"
#include "tests/unit/random_bike.h"

using namespace restand;
using test::RandomBikes;

namespace {

LinkageMap map_of(const Linkage& l) {
    const auto map = LinkageMap::of(l);
    REQUIRE(map.has_value());
    return *map;
}

// Arm, rod, rocker and frame form a parallelogram: the rocker turns with the arm.
Linkage parallelogram() {
    Linkage l;
    l.unit_end = {Carrier::frame, {mm(0), mm(200)}};
    l.rocker = Rocker{{Carrier::frame, {mm(0), mm(-80)}},
                      {Carrier::arm, {mm(-120), mm(0)}},
                      mm(80),
                      mm(120),
                      mm(100),
                      degrees(0),
                      1};
    return l;
}

}  // namespace

TEST_CASE(
    "linkage: motion ratio and its slope are the differences' limits, on 10 000 linkages of all kinds") {
    RandomBikes random(1);
    int kinds[3] = {};
    for (int i = 0; i < 10000; ++i) {
        const Linkage l = random.linkage();
        ++kinds[!l.rocker ? 0 : l.rocker->pivot.on == Carrier::frame ? 1 : 2];
        const double droop = degrees(random.between(1, 17)).value, h = 1e-5;
        const auto at = place_at(l, radians(droop)), less = place_at(l, radians(droop - h)),
                   more = place_at(l, radians(droop + h));
        REQUIRE(at.has_value());
        // Central differences have an error of h²/6 times the third derivative; near a dead centre that is
        // large.
        const double slope = in_mm(more->length - less->length) / (2 * h),
                     bend = (more->slope - less->slope) / (2 * h);
        REQUIRE(std::fabs(at->slope - slope) < 1e-5 * std::max(1.0, std::fabs(slope)));
        REQUIRE(std::fabs(at->bend - bend) < 1e-4 * std::max(100.0, std::fabs(bend)));
    }
    for (const int count : kinds) CHECK(count > 500);
}

TEST_CASE("linkage: droop to length and back, and height to length and back, on 10 000 linkages") {
    RandomBikes random(2);
    for (int i = 0; i < 10000; ++i) {
        const LinkageMap map = map_of(random.linkage());
        const double low = map.shortest().droop.value, high = map.longest().droop.value;
        const Angle droop = radians(low + random.between(0.02, 0.98) * (high - low));
        const auto at = place_at(map.linkage(), droop);
        const auto back = map.droop_at(at->length);
        REQUIRE(back.has_value());
        REQUIRE(std::fabs(back->value - droop.value) < 1e-9);
        const bool marked = i % 2;
        const auto heights = HeightMap::linkage(
            map, mm(580), marked ? std::optional<PlanePoint>({{mm(-480), mm(900)}}) : std::nullopt);
        if (!heights) continue;  // from this mark the height does not rise over the whole range
        const auto point = heights->at(at->length);
        REQUIRE(point.has_value());
        const auto length = heights->length_at(point->height);
        REQUIRE(length.has_value());
        REQUIRE(std::fabs(in_mm(*length - at->length)) < 1e-8);
    }
}

TEST_CASE("linkage: leverage and curvature of the height map are the differences' limits") {
    RandomBikes random(3);
    for (int i = 0; i < 10000; ++i) {
        const LinkageMap map = map_of(random.linkage());
        const auto heights = HeightMap::linkage(
            map, mm(580), i % 2 ? std::optional<PlanePoint>({{mm(-480), mm(500)}}) : std::nullopt);
        if (!heights) continue;
        const Length l = place_at(map.linkage(), degrees(10))->length;
        const double h = 1e-3;
        const auto at = heights->at(l), less = heights->at(l - mm(h)), more = heights->at(l + mm(h));
        REQUIRE(std::fabs(at->leverage - in_mm(more->height - less->height) / (2 * h)) < 1e-5);
        REQUIRE(std::fabs(at->curvature - (more->leverage - less->leverage) / (2 * h)) < 1e-5);
    }
}

TEST_CASE("linkage: the rocker of a parallelogram turns as the arm does") {
    const Linkage l = parallelogram();
    for (const double droop : {2.0, 9.0, 16.0}) {
        const auto at = place_at(l, degrees(droop));
        REQUIRE(at.has_value());
        // A unit mounted directly on the arm at the same lever is equivalent.
        Linkage direct;
        direct.unit_end = {Carrier::frame, {mm(0), mm(280)}};
        direct.direct = {Carrier::arm, {mm(-100), mm(0)}};
        const auto same = place_at(direct, degrees(droop));
        CHECK(in_mm(at->length) == doctest::Approx(in_mm(same->length)).epsilon(1e-12));
        CHECK(at->slope == doctest::Approx(same->slope).epsilon(1e-12));
    }
}

TEST_CASE("linkage: a unit it cannot have is refused with the place it ends at") {
    RandomBikes random(4);
    for (int i = 0; i < 200; ++i) {
        const LinkageMap map = map_of(random.linkage());
        for (const auto& [limit, beyond] : {std::pair{map.shortest(), -1.0}, {map.longest(), 1.0}}) {
            CHECK(map.covers(limit.length));
            const auto refused = map.droop_at(limit.length + mm(beyond));
            REQUIRE_FALSE(refused.has_value());
            CHECK(refused.error().code == ErrorCode::no_solution);
            CHECK(refused.error().detail.find(std::string(key(limit.why))) != std::string::npos);
            if (limit.why == LinkageEnd::searched) continue;
            // Just inside the limit it works; just beyond it the linkage does not close or the unit's length
            // stops changing.
            const auto past = place_at(map.linkage(), limit.droop + radians(beyond * 1e-6));
            CHECK((!past || past->slope <= 0));
        }
    }
}

TEST_CASE("linkage: one that cannot close, or works the wrong way round, says so") {
    Linkage l = parallelogram();
    l.rocker->rod = mm(20);
    l.rocker->pivot_to_rod = mm(30);
    const auto open = LinkageMap::of(l);
    REQUIRE_FALSE(open.has_value());
    CHECK(open.error().detail.find("do not meet") != std::string::npos);
    Linkage inverted;
    inverted.unit_end = {Carrier::frame, {mm(-20), mm(-260)}};
    inverted.direct = {Carrier::arm, {mm(-240), mm(0)}};
    const auto wrong = LinkageMap::of(inverted);
    REQUIRE_FALSE(wrong.has_value());
    CHECK(wrong.error().detail.find("shorter") != std::string::npos);
    l.rocker->rod = mm(-1);
    CHECK(LinkageMap::of(l).error().subject == "map.linkage.rocker.rod");
}

TEST_CASE("linkage: a measured table shows its fit, and the points give way within their tolerance") {
    RandomBikes random(5);
    const Linkage truth = random.linkage();
    const LinkageMap map = map_of(truth);
    std::vector<LinkagePair> pairs;
    const double top = std::sin(degrees(16).value);
    for (double droop = 16; droop >= 2; droop -= 2) {
        const double rise = 580 * (top - std::sin(degrees(droop).value));
        pairs.push_back({place_at(truth, degrees(droop))->length, mm(rise)});
    }
    CHECK(in_mm(fit_of(truth, mm(580), pairs)->worst) < 1e-9);
    Linkage measured = truth;  // a tape locates a bolt's centre no better than this
    measured.unit_end.at.x += mm(1.5);
    if (measured.rocker) {
        measured.rocker->rod += mm(1);
        measured.rocker->pivot.at.z -= mm(1);
    } else {
        measured.direct.at.z += mm(1.5);
    }
    const auto off = fit_of(measured, mm(580), pairs);
    REQUIRE(off.has_value());
    CHECK(in_mm(off->worst) > 0.2);
    const auto better = estimated(measured, mm(580), pairs, mm(1), mm(0.1));
    REQUIRE(better.has_value());
    CHECK(in_mm(fit_of(better->linkage, better->arm, pairs)->worst) < 0.1);
    CHECK(std::fabs(in_mm(better->linkage.unit_end.at.x - measured.unit_end.at.x)) < 3);
    CHECK_FALSE(fit_of(truth, mm(580), {pairs[0], pairs[1]}).has_value());
}

namespace {

// Readings of a strut in place of the unit, lengths about 8 mm apart, with a start of its own.
std::vector<LinkagePair> own_table(const Linkage& l, Length arm, double start) {
    std::vector<LinkagePair> pairs;
    for (double droop = 16; droop >= 2; droop -= 2)
        pairs.push_back({place_at(l, degrees(droop))->length, mm(start - (arm * sin(degrees(droop))).value)});
    return pairs;
}

// Every coordinate and length moved by up to `by`, in either direction.
Linkage moved(Linkage l, RandomBikes& random, double by) {
    const auto off = [&](Length& at) { at += mm(random.between(-by, by)); };
    off(l.unit_end.at.x), off(l.unit_end.at.z);
    if (!l.rocker) {
        off(l.direct.at.x), off(l.direct.at.z);
        return l;
    }
    Rocker& r = *l.rocker;
    for (Length* at : {&r.pivot.at.x, &r.pivot.at.z, &r.rod_end.at.x, &r.rod_end.at.z, &r.rod,
                       &r.pivot_to_rod, &r.pivot_to_unit})
        off(*at);
    return l;
}

}  // namespace

TEST_CASE(
    "linkage table: a linkage's own table fits to rounding, wherever its rise starts, on 1000 linkages") {
    RandomBikes random(6);
    for (int i = 0; i < 1000; ++i) {
        const Linkage l = random.linkage();
        const auto check =
            checked(l, mm(580), {own_table(l, mm(580), random.between(-300, 300)), mm(1), mm(0.5)});
        REQUIRE(check.has_value());
        CHECK(in_mm(check->fit.worst) < 1e-9);
        CHECK(check->agreement == Agreement::agrees);
        if (check->best) CHECK(in_mm(check->best->farthest) < 1e-6);
    }
}

TEST_CASE(
    "linkage table: points moved by up to their tolerance are found to meet the table, better than those "
    "typed") {
    RandomBikes random(7);
    int off = 0, by_points = 0;
    for (int i = 0; i < 500; ++i) {
        const Linkage truth = random.linkage(), typed = moved(truth, random, 2);
        const LinkageTable table{own_table(truth, mm(580), 0), mm(1), mm(0.2)};
        const auto check = checked(typed, mm(580), table);
        if (!check) continue;  // moved so far that it cannot have one of the lengths
        REQUIRE(check->best.has_value());
        CHECK(check->best->fit.rms < check->fit.rms);
        // The true points meet the table exactly, so the best points cannot cost more.
        const auto cost = [&](const LinkageFit& fit, double moves) {
            return double(table.pairs.size()) * std::pow(in_mm(fit.rms) / 0.2, 2) + moves;
        };
        const double most = truth.rocker ? 9 * 4.0 : 4 * 4.0;
        CHECK(cost(check->best->fit, 0) <= most + 1e-6);
        off += check->agreement != Agreement::agrees;
        by_points += check->agreement == Agreement::points;
    }
    CHECK(off > 200);
    CHECK(by_points > 0.9 * off);
}

TEST_CASE("linkage table: a slip in one pair is not explained by points; a length it cannot have is named") {
    RandomBikes random(8);
    int contradicted = 0;
    for (int i = 0; i < 100; ++i) {
        const Linkage l = random.linkage();
        LinkageTable table{own_table(l, mm(580), 0)};
        table.pairs[3].axle_rise += mm(12);
        const auto check = checked(l, mm(580), table);
        REQUIRE(check.has_value());
        contradicted += check->agreement == Agreement::contradict;
        const auto& misses = check->fit.misses;
        const auto worst = std::max_element(misses.begin(), misses.end(),
                                            [](Length a, Length b) { return abs(a) < abs(b); });
        CHECK(worst - misses.begin() == 3);
        table.pairs[5].unit = mm(1900);
        const auto none = checked(l, mm(580), table);
        REQUIRE_FALSE(none.has_value());
        CHECK(none.error().subject == "pairs[6]");
        table.pairs.resize(2);
        CHECK(checked(l, mm(580), table).error().subject == "pairs");
    }
    CHECK(contradicted == 100);
    const Linkage l = random.linkage();
    CHECK(checked(l, mm(580), {own_table(l, mm(580), 0), mm(0), mm(1)}).error().subject == "point_u_mm");
}

TEST_CASE("linkage: many places at once are the single ones, also where the linkage does not close") {
    RandomBikes random(6);
    int open = 0;
    for (int i = 0; i < 300; ++i) {
        const Linkage l = random.linkage();
        std::vector<double> droops;
        for (int k = 0; k < 150; ++k) droops.push_back(degrees(-70 + k + 0.3).value);
        const LinkagePlaces places = places_at(constants_of(l), droops);
        REQUIRE(places.length.size() == droops.size());
        for (std::size_t k = 0; k < droops.size(); ++k) {
            const auto single = place_at(l, radians(droops[k]));
            if (!single) {
                REQUIRE(places.length[k] == 0.0);
                REQUIRE(places.slope[k] == 0.0);
                ++open;
                continue;
            }
            // Near a dead centre slope and bend are large and a rounding of the droop moves them; 1e-9 of
            // their size covers a linkage within 1e-6 rad of it.
            REQUIRE(std::fabs(places.length[k] - in_mm(single->length)) < 1e-9);
            REQUIRE(std::fabs(places.slope[k] - single->slope) <
                    1e-9 * std::max(100.0, std::fabs(single->slope)));
            REQUIRE(std::fabs(places.bend[k] - single->bend) <
                    1e-9 * std::max(100.0, std::fabs(single->bend)));
            REQUIRE(std::fabs(places.sine[k] - std::sin(droops[k])) < 2e-15);
        }
    }
    CHECK(open > 1000);
}

TEST_CASE("linkage: the map finds droop, slope and bend of a length as the linkage has them there") {
    RandomBikes random(7);
    for (int i = 0; i < 3000; ++i) {
        const LinkageMap map = map_of(random.linkage());
        const double low = map.shortest().droop.value, high = map.longest().droop.value;
        const Angle droop = radians(low + random.between(0.01, 0.99) * (high - low));
        const auto at = place_at(map.linkage(), droop);
        const auto found = map.found_at(at->length);
        REQUIRE(found.has_value());
        REQUIRE(std::fabs(found->droop.value - droop.value) < 1e-9);
        const auto there = place_at(map.linkage(), found->droop);
        REQUIRE(std::fabs(in_mm(there->length - at->length)) < 1e-11);
        REQUIRE(std::fabs(found->slope - there->slope) < 1e-9 * std::max(100.0, there->slope));
        REQUIRE(std::fabs(found->bend - there->bend) < 1e-8 * std::max(100.0, std::fabs(there->bend)));
        REQUIRE(std::fabs(found->sine - std::sin(found->droop.value)) < 1e-15);
        REQUIRE(std::fabs(found->cosine - std::cos(found->droop.value)) < 1e-15);
    }
}
