// The set-up with which a bike's geometry was measured.

#include <doctest/doctest.h>

#include "core/ledger/chassis.h"
#include "core/ledger/described.h"
#include "core/ledger/swap_site.h"
#include "core/machine/attitude.h"
#include "tests/unit/ledger_kit.h"

using namespace restand;
using test::bike_id;
using test::fact;
using test::fold;
using test::id;
using test::kept;
using test::set_to;
using test::value_at;

namespace {

using P = Point;

BikeBody with_wheelbase(double wheelbase, const char* name = "No. 27") {
    BikeBody body;
    body.name = name;
    body.geometry = {mm(580), mm(wheelbase), mm(316), mm(298), mm(28), mm(405), degrees(24)};
    body.rear.leverage = 2.0;
    body.front.leverage = 1.0;
    return body;
}

Fact baseline(int n, std::int64_t at, const char* rear, const char* front, const char* axle) {
    BaselineBody body{"kept", {}, {kept(End::rear, P::axle_position, axle)}};
    if (rear) body.values.push_back(kept(End::rear, P::ride_height_static, rear));
    if (front) body.values.push_back(kept(End::front, P::ride_height_static, front));
    return fact({n, at, body, bike_id});
}

std::optional<Attitude> alone(const Ledger& ledger, const Id& at) {
    const auto described = setup_described(ledger, bike_id);
    REQUIRE(described.has_value());
    const auto chassis = chassis_of(ledger.bike(bike_id)->body, setup_of(*ledger.baseline(at)), *described);
    REQUIRE(chassis.has_value());
    return chassis->in(State::static_);
}

}  // namespace

TEST_CASE("described: a geometry typed before the heights belongs to the first baseline that has both") {
    std::vector<Fact> facts = {fact({10, 1, with_wheelbase(1400)}), baseline(20, 2, "490", nullptr, "20"),
                               baseline(21, 3, "490", "630", "20"), baseline(22, 4, "500", "630", "28")};
    CHECK(setup_described(fold(facts), bike_id)->baseline == id(21));
    // The swap that made the last baseline was computed with what stood when it began.
    CHECK(setup_described(fold(facts), bike_id, {3, 0})->baseline == id(21));
    CHECK(setup_described(fold(facts), bike_id, {2, 0})->baseline == id(20));
    CHECK_FALSE(setup_described(fold({facts[0]}), bike_id));
    // Another name is no other geometry.
    facts.push_back(fact({11, 5, with_wheelbase(1400, "No. 72"), bike_id, {}, {id(10)}}));
    CHECK(setup_described(fold(facts), bike_id)->baseline == id(21));
}

TEST_CASE("described: rake and wheelbase stay as the bike stands, whatever is kept as its baseline") {
    const Ledger ledger = fold({fact({10, 1, with_wheelbase(1400)}), baseline(20, 2, "490", "630", "20"),
                                // The rear higher by 10 mm and the axle 8 mm further back; kept.
                                baseline(21, 3, "500", "630", "28")});
    const auto first = alone(ledger, id(20)), second = alone(ledger, id(21));
    CHECK(in_degrees(first->rake) == doctest::Approx(24));
    CHECK(in_mm(first->wheelbase) == doctest::Approx(1400));
    // 10 mm at the rear of 1400 mm steepen the rake by about 10/1400 rad; arithmetic.
    CHECK(in_degrees(second->rake) == doctest::Approx(24 - 10.0 / 1400 * 180 / pi).epsilon(0.003));
    CHECK(in_mm(second->wheelbase) > 1404);
    CHECK(in_mm(second->wheelbase) < 1409);
}

TEST_CASE("described: a wheelbase typed after the axle was moved is the wheelbase with the axle there") {
    const std::vector<Fact> facts = {
        fact({10, 1, with_wheelbase(1390)}),
        baseline(20, 2, "490", "630", "20"),
        fact({30, 3, ChangeBody{"", {set_to(End::rear, P::axle_position, "28")}}, bike_id}),
        fact({11, 4, with_wheelbase(1400), bike_id, {}, {id(10)}}),
        fact({31, 5, ChangeBody{"", {set_to(End::rear, P::axle_position, "12")}}, bike_id}),
        baseline(21, 6, "490", "630", "12")};
    const Ledger ledger = fold(facts);
    CHECK(geometry_typed(ledger, bike_id) == Clock{4, 0});
    const auto described = setup_described(ledger, bike_id);
    REQUIRE(described.has_value());
    CHECK(value_at(*described, End::rear, P::axle_position) == 28);
    CHECK(in_mm(alone(ledger, id(21))->wheelbase) < 1390);
    // The entries in another order tell the same.
    const std::vector<Fact> reversed(facts.rbegin(), facts.rend());
    CHECK(value_at(*setup_described(fold(reversed), bike_id), End::rear, P::axle_position) == 28);
}

TEST_CASE(
    "described: the slack is expected from where it was last read, not from when the bike was described") {
    BikeBody body = with_wheelbase(1400);
    body.mechanism.front_sprocket = PlanePoint{mm(82), mm(14)};
    const auto kept_with = [&](int n, std::int64_t at, const char* links, const char* slack) {
        return fact(
            {n, at,
             BaselineBody{
                 "kept",
                 {},
                 {kept(End::rear, P::ride_height_topped_out, "500"),
                  kept(End::rear, P::ride_height_static, "490"),
                  kept(End::front, P::ride_height_static, "630"), kept(End::rear, P::sprocket_front, "16"),
                  kept(End::rear, P::sprocket_rear, "43"), kept(End::rear, P::chain_links, links),
                  kept(End::rear, P::axle_position, "20"), kept(End::rear, P::chain_slack, slack)}},
             bike_id});
    };
    const auto change = [&](int n, std::int64_t at, Point point, const char* text) {
        return fact({n, at, ChangeBody{"", {set_to(End::rear, point, text)}}, bike_id});
    };
    const auto slack = [](const std::vector<Fact>& facts) {
        const Ledger ledger = fold(facts);
        return value_at(expected_now(ledger, *ledger.bike(bike_id)), End::rear, P::chain_slack);
    };
    // Another chain is on than when the bike was described; its slack was read.
    std::vector<Fact> facts = {fact({10, 1, body}), kept_with(20, 2, "114", "36"),
                               kept_with(21, 3, "113", "30")};
    CHECK(slack(facts) == 30);
    facts.push_back(change(30, 4, P::axle_position, "20.3"));
    const double tighter = slack(facts);
    CHECK(tighter < 28);
    CHECK(tighter > 5);
    // The axle back where it was: the slack that was read.
    auto back = facts;
    back.push_back(change(31, 5, P::axle_position, "20"));
    CHECK(slack(back) == 30);
    // A swap that begins now has the chain as it is expected, until it reads it.
    auto swapping = facts;
    swapping.push_back(fact({40, 6, SwapBody{{SwapPart::sprockets}}, bike_id}));
    const auto before = [](const std::vector<Fact>& with) {
        const Ledger ledger = fold(with);
        const SwapSite site = site_of(ledger, *ledger.bike(bike_id), *ledger.swap(id(40)));
        return value_at(before_of(site), End::rear, P::chain_slack);
    };
    CHECK(before(swapping) == doctest::Approx(tighter));
    swapping.push_back(
        fact({41, 7, ReadingBody{Phase::before, test::reading(P::chain_slack, "24")}, bike_id, id(40)}));
    CHECK(before(swapping) == 24);
    // So has one that has set something, though the slack was never read in it.
    auto set = facts;
    set.push_back(fact({40, 6, SwapBody{{SwapPart::shock}}, bike_id}));
    set.push_back(
        fact({41, 7, ReadingBody{Phase::set, test::reading(P::clicks_rebound_low, "12")}, bike_id, id(40)}));
    CHECK(slack(set) == doctest::Approx(tighter));
    // Read again: as read, whatever is changed elsewhere.
    facts.push_back(change(32, 7, P::chain_slack, "25"));
    CHECK(slack(facts) == 25);
    facts.push_back(change(33, 8, P::clicks_rebound_low, "9"));
    CHECK(slack(facts) == 25);
}
