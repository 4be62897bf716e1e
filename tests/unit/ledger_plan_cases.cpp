// The restore plan where one thing differs: directions, later readings, what is unavailable, completing it.

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "core/ledger/restore_plan.h"
#include "tests/unit/ledger_kit.h"

using namespace restand;
using test::exactly;
using test::put;
using test::reading;

namespace {

using P = Point;

// A bike with two moments that differ only as the test says.
struct Two {
    BikeBody bike;
    SetUp then, now;
    Two() {
        bike.rear.leverage = 2.0;
        then = test::stands(End::rear, {{P::ride_height_topped_out, "500"},
                                        {P::ride_height_static, "490"},
                                        {P::ride_height_rider, "470"},
                                        {P::eye_to_eye, "310"},
                                        {P::spring_rate, "95"},
                                        {P::spring_free_length, "160"},
                                        {P::spring_installed_length, "150"},
                                        {P::gas_force, "150"},
                                        {P::length_mm_per_turn, "1.0"},
                                        {P::collar_mm_per_turn, "1.5"},
                                        {P::clicks_rebound_low, "12"},
                                        {P::sprocket_rear, "43"},
                                        {P::chain_links, "114"},
                                        {P::axle_position, "24.5"},
                                        {P::chain_slack, "34"},
                                        {P::part_name, "shock A"}});
        now = then;
    }
    void is(P p, const char* text) { put(now, End::rear, reading(p, text)); }
    PlanActions plan(const RestorePlan* walked = nullptr) const {
        return restore_plan(bike, now, then, walked);
    }
    std::vector<std::string> keys(const RestorePlan* walked = nullptr) const {
        std::vector<std::string> all;
        for (const PlanAction& a : plan(walked).actions) all.push_back(a.key);
        return all;
    }
    // Completes the first action, with the value that it sets or, for a measurement, the expected value.
    void tick(RestorePlan& walked) {
        const PlanAction a = plan(&walked).actions.front();
        auto values = done(a);
        if (values.empty()) values = {{a.end, exactly(a.point, *a.expect)}};
        for (const SetValue& v : values) put(now, v.end, v.reading);
        walked.steps.push_back({{}, {}, 0, a.key, values});
    }
};
using Keys = std::vector<std::string>;
const Keys readings = {"measure:rear:ride_height_topped_out", "measure:rear:ride_height_static",
                       "measure:rear:ride_height_rider", "measure:rear:chain_slack"};

}  // namespace

TEST_CASE("way back: turns, clicks and links have their direction") {
    Two t;
    t.is(P::eye_to_eye, "308.5");
    t.is(P::spring_installed_length, "153");
    t.is(P::clicks_rebound_low, "15");
    t.is(P::chain_links, "112");
    const auto actions = t.plan().actions;
    REQUIRE(actions.size() == 10);
    CHECK(actions[0].key == "fit:rear:chain_links");
    CHECK(actions[0].links == 2);
    CHECK(actions[1].key == "set_length:rear:eye_to_eye");
    CHECK(*actions[1].turns == doctest::Approx(1.5));  // longer
    CHECK(actions[2].key == "set_preload:rear:spring_installed_length");
    CHECK(*actions[2].turns == doctest::Approx(2));  // in
    CHECK(actions[3].key == "set_axle:rear:axle_position");
    CHECK(actions[4].key == "set_slack:rear:chain_slack");
    CHECK(actions[5].key == "set_clicks:rear:clicks_rebound_low");
    CHECK(actions[5].clicks == -3);  // in
    CHECK(actions[6].expect == 500);
    CHECK(actions[9].key == "measure:rear:chain_slack");
    for (const PlanAction& a : actions) CHECK_FALSE(a.solved);
    // Without a pitch there are no turns.
    t.now.values.erase({End::rear, P::length_mm_per_turn});
    CHECK_FALSE(t.plan().actions[1].turns);
}

TEST_CASE("way back: clicks alone ask for no readings") {
    Two t;
    t.is(P::clicks_rebound_low, "15");
    CHECK(t.keys() == Keys{"set_clicks:rear:clicks_rebound_low"});
}

TEST_CASE("way back: while it is walked, what was moved still asks to be measured") {
    Two t;
    t.is(P::eye_to_eye, "308.5");
    t.is(P::sprocket_rear, "44");
    RestorePlan walked;
    CHECK(t.keys(&walked).size() == 8);
    t.tick(walked);  // the sprocket
    CHECK(t.keys(&walked).front() == "set_length:rear:eye_to_eye");
    t.tick(walked);
    CHECK(t.keys(&walked).front() == "set_axle:rear:axle_position");
    t.tick(walked), t.tick(walked);
    CHECK(t.keys(&walked) == readings);
    CHECK(t.keys().empty());  // a plan begun now has nothing to do
    t.tick(walked), t.tick(walked);
    CHECK(t.keys(&walked) == Keys{readings[2], readings[3]});
    t.tick(walked), t.tick(walked);
    CHECK(t.keys(&walked).empty());
    // Moved again after the measurement: measured again.
    t.is(P::eye_to_eye, "309");
    t.tick(walked);
    CHECK(t.keys(&walked) == readings);
}

TEST_CASE("way back: another spring keeps the damper's clicks, another damper has its own") {
    Two t;
    t.is(P::spring_rate, "105");
    t.is(P::clicks_rebound_low, "15");
    auto actions = t.plan().actions;
    REQUIRE_FALSE(actions.empty());
    CHECK(actions.front().solved);
    const auto has_clicks = [&] {
        return std::any_of(actions.begin(), actions.end(),
                           [](const PlanAction& a) { return a.doing == Doing::set_clicks; });
    };
    CHECK(has_clicks());
    t.is(P::part_name, "shock B");
    actions = t.plan().actions;
    CHECK_FALSE(has_clicks());
}

TEST_CASE("way back: the same spring measured again is the same spring") {
    Two t;
    t.is(P::spring_free_length, "160.2");  // a calliper cannot resolve this
    t.is(P::spring_installed_length, "151");
    const auto actions = t.plan().actions;
    REQUIRE_FALSE(actions.empty());
    CHECK_FALSE(actions[0].solved);
    CHECK(actions[0].to->text == "150");
    t.is(P::spring_free_length, "163");
    CHECK(t.plan().actions[0].solved);
}

TEST_CASE("way back: what cannot be reached says so, with what is in the way") {
    Two t;
    t.is(P::part_name, "too short");
    t.is(P::eye_to_eye, "300");
    t.is(P::eye_to_eye_min, "296");
    t.is(P::eye_to_eye_max, "304");
    const PlanActions plan = t.plan();
    CHECK_FALSE(plan.held);  // topped out stays 12 mm too low
    REQUIRE_FALSE(plan.limits.empty());
    CHECK(plan.limits[0].code == LimitCode::length_adjuster_bound);
    CHECK(plan.limits[0].end == End::rear);
    CHECK(plan.unsaid.empty());
}

TEST_CASE("way back: what was never read is named, and the rest is listed all the same") {
    Two t;
    t.is(P::part_name, "shock B");
    t.is(P::axle_position, "20");
    t.then.values.erase({End::rear, P::spring_rate});
    const PlanActions plan = t.plan();
    CHECK_FALSE(plan.held);
    REQUIRE(plan.unsaid.size() == 1);
    CHECK(plan.unsaid[0] == Error{ErrorCode::missing, "spring_rate", "rear"});
    REQUIRE(plan.actions.size() == 2);
    CHECK(plan.actions[0].doing == Doing::set_axle);
}

TEST_CASE("way back: clicks of another damper and an end that was not read then are said to be left out") {
    Two t;
    REQUIRE(t.then.stored(End::rear, P::clicks_rebound_low));
    CHECK(t.plan().left_out.empty());
    t.is(P::part_name, "shock B");
    const PlanActions plan = t.plan();
    REQUIRE(plan.left_out.size() == 1);
    CHECK(plan.left_out[0].end == End::rear);
    CHECK(plan.left_out[0].why == LeftOut::Why::other_damper);
    CHECK(std::find(plan.left_out[0].points.begin(), plan.left_out[0].points.end(), P::clicks_rebound_low) !=
          plan.left_out[0].points.end());
    put(t.now, End::front, reading(P::clicks_rebound_low, "12"));
    std::erase_if(t.then.values, [](const auto& each) { return each.first.first == End::front; });
    REQUIRE(t.plan().left_out.size() == 2);
    CHECK(t.plan().left_out[1].end == End::front);
    CHECK(t.plan().left_out[1].why == LeftOut::Why::not_read_then);
}

TEST_CASE("way back: heights older than the settings of then are expected where the settings put them") {
    Two t;
    // Changed after the heights were read: 1 mm of preload is 2 mm at the wheel.
    put(t.then, End::rear, reading(P::spring_installed_length, "149"));
    t.then.stale = {{End::rear, P::ride_height_static}, {End::rear, P::ride_height_rider}};
    const auto actions = t.plan().actions;
    REQUIRE(actions.size() == 4);  // the preload, three heights; the slack is read with the wheel hanging
    CHECK(*actions[1].expect == doctest::Approx(500));
    CHECK(*actions[3].expect == doctest::Approx(472));
    // The setting solved for another part aims at the same heights.
    t.is(P::part_name, "shock B");
    const auto solved = t.plan().actions;
    REQUIRE_FALSE(solved.empty());
    CHECK(solved[0].solved);
    CHECK(canonical_value(*solved[0].to) == doctest::Approx(149).epsilon(0.002));  // to a quarter turn
}

TEST_CASE(
    "way back: with another spring there are two routes; the old one refitted, its settings are copied") {
    Two t;
    t.is(P::spring_rate, "90");
    t.is(P::spring_free_length, "165");
    t.is(P::spring_installed_length, "154");
    const PlanActions plan = t.plan();
    REQUIRE_FALSE(plan.actions.empty());
    CHECK(plan.actions[0].solved);
    REQUIRE(plan.refits.size() == 1);
    const PlanAction* refit = plan.find("fit:rear:spring_rate");
    REQUIRE(refit);
    CHECK(refit->to->text == "95");
    RestorePlan walked;
    const auto values = done(*refit);
    REQUIRE(values.size() == 2);  // its rate and its free length; nobody read where its coils touch
    for (const SetValue& v : values) put(t.now, v.end, v.reading);
    walked.steps.push_back({{}, {}, 0, refit->key, values});
    CHECK(t.plan(&walked).refits.empty());
    CHECK(t.keys(&walked) == Keys{"set_preload:rear:spring_installed_length",
                                  "measure:rear:ride_height_topped_out", "measure:rear:ride_height_static",
                                  "measure:rear:ride_height_rider"});
    const PlanAction collar = t.plan(&walked).actions[0];
    CHECK_FALSE(collar.solved);
    CHECK(collar.to->text == "150");
    // Of another shock the clicks are others, too: its spring alone is no way back.
    t = Two{};
    t.is(P::spring_rate, "90");
    t.is(P::part_name, "shock B");
    CHECK(t.plan().refits.empty());
}

TEST_CASE("way back: a spring known by its preload alone gets that preload back, or the one solved for it") {
    Two t;
    for (SetUp* s : {&t.then, &t.now}) {
        s->values.erase({End::rear, P::spring_free_length});
        s->values.erase({End::rear, P::spring_installed_length});
        put(*s, End::rear, reading(P::spring_preload, "10"));
    }
    CHECK(t.plan().actions.empty());
    t.is(P::spring_preload, "13");
    REQUIRE_FALSE(t.plan().actions.empty());
    const PlanAction copied = t.plan().actions[0];
    CHECK(copied.key == "set_preload:rear:spring_preload");
    CHECK(copied.turns.value() == doctest::Approx(-2));  // 3 mm out at 1.5 mm a turn
    // Another rate: preload₂ = (k₁/k₂)(preload₁ + x) − x, with x the stroke at the rider's height, 15 mm.
    t.is(P::spring_rate, "100");
    const auto actions = t.plan().actions;
    REQUIRE_FALSE(actions.empty());
    CHECK(actions[0].key == "set_preload:rear:spring_preload");
    CHECK(actions[0].solved);
    const double wanted = 95.0 / 100 * (10 + 15) - 15;
    CHECK(std::fabs(canonical_value(*actions[0].to) - wanted) <= 1.5 / 8 + 1e-9);  // to a quarter turn
}

TEST_CASE("way back: the preload of then is set in the form in which the spring is known now") {
    Two t;
    t.then.values.erase({End::rear, P::spring_free_length});
    t.then.values.erase({End::rear, P::spring_installed_length});
    put(t.then, End::rear, reading(P::spring_preload, "10"));
    put(t.then, End::rear, reading(P::preload_turns, "6.67"));
    t.is(P::spring_free_length, "165");
    t.is(P::spring_installed_length, "150");
    const auto actions = t.plan().actions;
    REQUIRE_FALSE(actions.empty());
    CHECK(actions[0].key == "set_preload:rear:spring_installed_length");
    CHECK(canonical_value(*actions[0].to) == doctest::Approx(155));
    CHECK(std::count_if(actions.begin(), actions.end(),
                        [](const PlanAction& a) { return a.doing == Doing::set_preload; }) == 1);
    // Now known by its preload alone, it is set by that.
    t = Two{};
    t.now.values.erase({End::rear, P::spring_free_length});
    t.now.values.erase({End::rear, P::spring_installed_length});
    t.is(P::spring_preload, "15");
    const PlanAction by_preload = t.plan().actions.at(0);
    CHECK(by_preload.key == "set_preload:rear:spring_preload");
    CHECK(canonical_value(*by_preload.to) == doctest::Approx(10));
}

TEST_CASE("way back: a helper that was not there makes another spring; another tank is put on again") {
    Two t;
    t.is(P::helper_rate, "20");
    t.is(P::helper_free_length, "30");
    t.is(P::helper_block_length, "10");
    t.is(P::spring_installed_length, "175");
    const PlanActions plan = t.plan();
    REQUIRE_FALSE(plan.actions.empty());
    CHECK(plan.actions[0].solved);
    CHECK(plan.refits.empty());  // the helper would stay
    t = Two{};
    put(t.then, End::rear, reading(P::fitted_mass, "6.2"));
    put(t.then, End::rear, reading(P::fitted_mass_ahead, "820"));
    t.is(P::fitted_mass, "3.4");
    const PlanAction tank = t.plan().actions.at(0);
    CHECK(tank.key == "fit:rear:fitted_mass");
    CHECK(done(tank).size() == 2);
}

TEST_CASE("way back: with another spring in, the heights read with it say what is left to do") {
    Two t;
    t.is(P::spring_rate, "105");
    t.is(P::spring_free_length, "158");
    t.is(P::spring_installed_length, "151");
    const auto stands = [&](const char* top, const char* still, const char* rider) {
        t.is(P::ride_height_topped_out, top);
        t.is(P::ride_height_static, still);
        t.is(P::ride_height_rider, rider);
        t.now.read_with = t.now.values;
    };
    // By the stamps alone it stands elsewhere; it was measured, and stands as then.
    CHECK_FALSE(t.keys().empty());
    stands("500.2", "490.1", "470.3");
    CHECK(t.keys().empty());
    CHECK_FALSE(t.plan().parts_of_then);
    CHECK(t.plan().held);
    // 3 mm low with the rider on. On a leverage of 2 a millimetre of preload lifts the axle by two.
    stands("500.2", "487", "467");
    const PlanActions plan = t.plan();
    REQUIRE_FALSE(plan.actions.empty());
    CHECK(plan.actions[0].doing == Doing::set_preload);
    CHECK(plan.actions[0].as_read);
    const double quarter_turn = 1.5 / 4;
    CHECK(std::fabs(canonical_value(*plan.actions[0].to) - 149.5) <= quarter_turn / 2 + 0.01);
    // The same while it is walked, until the heights are measured again. Then they are judged.
    RestorePlan walked;
    t.tick(walked);
    const Keys left = t.keys(&walked);
    CHECK(std::none_of(left.begin(), left.end(), [](const std::string& k) { return k.starts_with("set_"); }));
    t.tick(walked), t.tick(walked);
    t.is(P::ride_height_rider, "467");
    walked.steps.push_back({{}, {}, 0, readings[2], {{End::rear, reading(P::ride_height_rider, "467")}}});
    t.now.read_with = t.now.values;
    CHECK(t.plan(&walked).verdict());
    const Keys after = t.keys(&walked);
    CHECK(
        std::none_of(after.begin(), after.end(), [](const std::string& k) { return k.starts_with("set_"); }));
}

TEST_CASE(
    "way back: a slack that was moved or computed is not what it is set from, and is recorded as read") {
    Two t;
    t.is(P::chain_slack, "29");
    REQUIRE(t.plan().find("set_slack:rear:chain_slack"));
    CHECK(t.plan().find("set_slack:rear:chain_slack")->from);
    // The axle was moved since.
    t.now.before_change();
    t.is(P::axle_position, "20");
    const PlanActions moved = t.plan();
    REQUIRE(moved.find("set_slack:rear:chain_slack"));
    CHECK_FALSE(moved.find("set_slack:rear:chain_slack")->from);
    CHECK(moved.find("set_axle:rear:axle_position")->from);
    // A baseline may hold it as it was expected.
    t.now.at_slack.reset();
    t.now.values[{End::rear, P::chain_slack}] = computed(P::chain_slack, mm(27.123));
    const PlanActions expected = t.plan();
    const PlanAction* slack = expected.find("set_slack:rear:chain_slack");
    REQUIRE(slack);
    CHECK_FALSE(slack->from);
    const Reading set = done(*slack).at(0).reading;
    CHECK_FALSE(is_computed(set));
    CHECK(set.instrument == usual_instrument(P::chain_slack));
    // The other way round, what is said and set has no more digits than any page shows.
    std::swap(t.now, t.then);
    const PlanActions back = t.plan();
    REQUIRE(back.find("set_slack:rear:chain_slack"));
    CHECK(back.find("set_slack:rear:chain_slack")->to->text == "27.1");
}

TEST_CASE("way back: slack measured on it as a check takes it is judged, and not set again") {
    Two t;
    t.is(P::axle_position, "20");
    RestorePlan walked;
    while (!t.keys(&walked).empty()) t.tick(walked);
    for (const auto& [read, again] : {std::pair{"34.5", false}, {"30.2", false}, {"41", true}}) {
        CAPTURE(read);
        t.is(P::chain_slack, read);
        walked.steps.back().values = {{End::rear, reading(P::chain_slack, read)}};
        CHECK(walked.steps.back().action == "measure:rear:chain_slack");
        const PlanActions plan = t.plan(&walked);
        CHECK((plan.find("set_slack:rear:chain_slack") != nullptr) == again);
    }
}
