// The table of what a setting moves, checked point by point against the mechanics and against all its users.

#include <doctest/doctest.h>

#include <cmath>

#include "core/ledger/chassis.h"
#include "core/ledger/moved_by.h"
#include "core/ledger/restore_plan.h"
#include "core/ledger/trend.h"
#include "tests/unit/ledger_kit.h"
#include "tests/unit/swap_kit.h"

using namespace restand;
using test::bike_id;
using test::reading;
using test::set_to;

namespace {

using P = Point;

// All readings of a rear end with a linkage between arm and shock.
SetUp rear_end() {
    return test::stands(End::rear, {{P::ride_height_topped_out, "500"},
                                    {P::ride_height_static, "488"},
                                    {P::ride_height_rider, "468"},
                                    {P::eye_to_eye, "310"},
                                    {P::eye_to_eye_min, "305"},
                                    {P::eye_to_eye_max, "315"},
                                    {P::length_mm_per_turn, "1.5"},
                                    {P::travel, "70"},
                                    {P::gas_force, "150"},
                                    {P::spring_rate, "95"},
                                    {P::spring_free_length, "160"},
                                    {P::spring_installed_length, "150"},
                                    {P::spring_block_length, "85"},
                                    {P::collar_mm_per_turn, "1.5"},
                                    {P::clicks_compression_low, "12"},
                                    {P::clicks_compression_high, "8"},
                                    {P::clicks_rebound_low, "14"},
                                    {P::clicks_rebound_high, "6"},
                                    {P::chain_slack, "36"},
                                    {P::axle_position, "20"},
                                    {P::sprocket_front, "16"},
                                    {P::sprocket_rear, "43"},
                                    {P::chain_links, "114"},
                                    {P::tyre_pressure_cold, "1.6"},
                                    {P::tyre_pressure_hot, "1.9"},
                                    {P::chain_gauge_length, "318"},
                                    {P::chain_gauge_links, "20"},
                                    {P::ride_height_lifted, "490"},
                                    {P::ride_height_pressed, "486"},
                                    {P::rolling_circumference, "1990"},
                                    {P::link_rod, "180"}});
}
SetUp front_end() {
    return test::stands(End::front, {{P::ride_height_topped_out, "600"},
                                     {P::ride_height_static, "575"},
                                     {P::ride_height_rider, "560"},
                                     {P::fork_length, "730"},
                                     {P::fork_position, "8"},
                                     {P::fork_position_min, "0"},
                                     {P::fork_position_max, "12"},
                                     {P::travel, "120"},
                                     {P::gas_force, "0"},
                                     {P::spring_rate, "9"},
                                     {P::spring_free_length, "284"},
                                     {P::spring_installed_length, "270"},
                                     {P::spring_block_length, "180"},
                                     {P::collar_mm_per_turn, "1"},
                                     {P::fork_oil_level, "150"},
                                     {P::fork_bore, "43"},
                                     {P::clicks_compression_low, "12"},
                                     {P::clicks_rebound_low, "10"},
                                     {P::tyre_pressure_cold, "2.1"},
                                     {P::tyre_pressure_hot, "2.3"},
                                     {P::ride_height_lifted, "578"},
                                     {P::ride_height_pressed, "571"},
                                     {P::rolling_circumference, "1880"}});
}

BikeBody body_with_geometry() {
    BikeBody b;
    b.rear.leverage = 2.0;
    b.front.leverage = 1.0;
    b.geometry = {mm(600), mm(1420), mm(317), mm(299), mm(28), mm(410), degrees(24)};
    b.mechanism.front_sprocket = PlanePoint{mm(82), mm(14)};
    return b;
}

// Measured points, which are not set; and names.
bool is_read(P point) {
    return is_ride_height(point) || point == P::chain_slack || point == P::ride_height_lifted ||
           point == P::ride_height_pressed || is_text(point);
}

// The same setting, increased a little.
StoredReading a_little_more(const StoredReading& stored) {
    const P point = stored.reading.point;
    const double is = measured(stored.reading).value;
    const double step = point == P::chain_links     ? 2
                        : point == P::axle_position ? 0.5
                        : is == 0 || is >= 10       ? 1
                                                    : 0.1 * is;
    StoredReading more = stored;
    more.reading = test::exactly(point, is + step);
    return more;
}

bool not_nought(std::optional<Length> change) {
    return change && std::fabs(in_mm(*change)) > 1e-6;
}

// True if the trend joins samples of a height (or the slack) before and after a new setting of the point.
bool trend_goes_on(End end, P point, P watched, const char* first, const char* then) {
    const auto at = [&](int n, P p, const char* text) {
        return test::fact({n, n, ChangeBody{"", {set_to(end, p, text)}}, bike_id});
    };
    const char* height = watched == P::chain_slack ? "36" : "500";
    const std::vector<Fact> facts = {at(1, point, first), at(2, watched, height), at(3, point, then),
                                     at(4, watched, height)};
    const auto all = samples(test::pointers(facts), Watched::point, end, watched);
    REQUIRE(all.size() == 2);
    return all[1].same_setting;
}

}  // namespace

TEST_CASE("moved by: of every point the table says which heights the mechanics move") {
    int moving = 0;
    for (const End end : {End::rear, End::front}) {
        const SetUp before = end == End::rear ? rear_end() : front_end();
        for (const PointFacts& each : all_points()) {
            const StoredReading* stored = before.stored(end, each.point);
            // The rod needs its linkage: see the case below. Bore and travel give the amount of air over the
            // oil: they are measured, not set.
            const bool air = each.point == P::fork_bore || each.point == P::travel;
            if (!stored || is_read(each.point) || each.point == P::link_rod || air) continue;
            SetUp after = before;
            after.values[{end, each.point}] = a_little_more(*stored);
            const auto change = stance_change(body_with_geometry(), end, before, after);
            INFO(each.key);
            REQUIRE(change.has_value());
            CHECK(not_nought(change->topped_out) == moved_by(each.point).topped_out);
            CHECK(not_nought(change->static_) == moved_by(each.point).loaded);
            CHECK(not_nought(change->rider) == moved_by(each.point).loaded);
            moving += moved_by(each.point).any_height();
        }
    }
    CHECK(moving ==
          12);  // eye to eye; fork length and position; gas, rate, free and installed length at both; oil
}

TEST_CASE("moved by: a link rod moves all three heights") {
    test::RandomBikes random(702);
    int rods = 0;
    for (int i = 0; i < 200; ++i) {
        const WholeBike b = random.bike();
        if (!b.linkage.rocker) continue;
        BikeBody linked;
        linked.geometry.swingarm = b.arm;
        linked.mechanism.linkage = b.linkage;
        SetUp before = test::rear_of(b);
        const double rod = in_mm(b.linkage.rocker->rod);
        before.values[{End::rear, P::link_rod}] = {test::exactly(P::link_rod, rod), {}, {}, {}, {}, false};
        before.read_with = before.values;
        SetUp after = before;
        after.values[{End::rear, P::link_rod}].reading = test::exactly(P::link_rod, rod + 0.5);
        const auto change = stance_change(linked, End::rear, before, after);
        if (!change) continue;  // beyond the range of that mechanism
        ++rods;
        CHECK(not_nought(change->topped_out));
        CHECK(not_nought(change->static_));
        CHECK(not_nought(change->rider));
    }
    CHECK(rods > 20);
    CHECK((moved_by(P::link_rod).topped_out && moved_by(P::link_rod).loaded && moved_by(P::link_rod).slack));
}

TEST_CASE("moved by: of every point the table says whether it moves the slack that is read on the stand") {
    SetUp before = rear_end();
    for (const auto& [place, stored] : front_end().values) before.values[place] = stored;
    before.read_with = before.values;
    const auto slack = [&](const SetUp& setup) {
        const auto chain = chain_of(body_with_geometry(), setup, before);
        REQUIRE(chain.has_value());
        return in_mm(chain->on_stand.slack);
    };
    for (const PointFacts& each : all_points()) {
        const StoredReading* stored = before.stored(End::rear, each.point);
        if (!stored || is_read(each.point) || each.point == P::link_rod) continue;
        SetUp after = before;
        after.before_change();
        after.values[{End::rear, each.point}] = a_little_more(*stored);
        CHECK(slack_moved(body_with_geometry(), after) == moved_by(each.point).slack);
        // A longer unit lets the wheel hang lower. The mechanics of the end give the heights.
        if (moved_by(each.point).any_height())
            for (const P height : ride_heights) after.stale.insert({End::rear, height});
        INFO(each.key);
        CHECK((std::fabs(slack(after) - slack(before)) > 1e-6) == moved_by(each.point).slack);
    }
}

TEST_CASE("moved by: a trend of a height or of the slack ends where the table says that a setting moved it") {
    for (const End end : {End::rear, End::front})
        for (const PointFacts& each : all_points()) {
            if (is_read(each.point)) continue;
            const bool count = each.dimension == Dimension::count;
            for (const P watched :
                 {P::ride_height_topped_out, P::ride_height_static, P::ride_height_rider, P::chain_slack}) {
                INFO(each.key << ", " << facts(watched).key);
                CHECK(trend_goes_on(end, each.point, watched, count ? "20" : "100", count ? "22" : "103") !=
                      moves(each.point, watched));
            }
        }
}

TEST_CASE(
    "moved by: slack read on a stand under the swingarm is old after a new preload; read hanging it is not") {
    BikeBody on_arm = body_with_geometry();
    on_arm.how_read.slack_stand = Stand::swingarm;
    const SetUp described = rear_end();
    SetUp now = described;
    now.before_change();
    StoredReading& preload = now.values.at({End::rear, P::spring_installed_length});
    preload = a_little_more(preload);
    preload.at = {now.stored(End::rear, P::chain_slack)->at.ms + 1, 0};
    CHECK(&slack_read(on_arm, now) == now.at_slack.get());
    CHECK(now.at_slack->values == described.values);
    CHECK(&slack_read(body_with_geometry(), now) == &now);
    int slack = 0;
    for (const PlanAction& a : restore_plan(on_arm, now, described).actions)
        slack += a.doing == Doing::measure && a.point == P::chain_slack;
    CHECK(slack == 1);
}

TEST_CASE("moved by: the way back asks to measure what the table says that it moves") {
    for (const End end : {End::rear, End::front}) {
        const SetUp then = end == End::rear ? rear_end() : front_end();
        for (const auto& [place, stored] : then.values) {
            const P point = place.second;
            SetUp now = then;
            now.values[place] = a_little_more(stored);
            if (is_read(point)) continue;
            const PlanActions plan = restore_plan(body_with_geometry(), now, then);
            bool set = false, heights = false, slack = false;
            for (const PlanAction& a : plan.actions) {
                set |= a.point == point && a.to;
                heights |= a.doing == Doing::measure && is_ride_height(a.point);
                slack |= a.doing == Doing::measure && a.point == P::chain_slack;
            }
            if (!set) continue;
            INFO(facts(point).key);
            CHECK(heights == moved_by(point).any_height());
            CHECK(slack == moved_by(point).slack);
        }
    }
}
