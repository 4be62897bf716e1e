#include "core/ledger/setup.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>

#include "tests/unit/ledger_kit.h"

using namespace restand;
using test::bike_id;
using test::fact;
using test::id;
using test::kept;
using test::pointers;
using test::set_to;
using test::value_at;

namespace {

using P = Point;

BikeBody body_of_ratio(double leverage = 2.0) {
    BikeBody b;
    b.rear.leverage = leverage;
    b.geometry.rake = degrees(24);
    return b;
}

// A shock of 95 N/mm with 10 mm preload and 150 N of gas: 10 mm of wheel travel at static, 30 mm with rider.
std::vector<BaselineValue> shock() {
    return {kept(End::rear, P::ride_height_topped_out, "500"),
            kept(End::rear, P::ride_height_static, "490"),
            kept(End::rear, P::ride_height_rider, "470"),
            kept(End::rear, P::eye_to_eye, "310"),
            kept(End::rear, P::spring_rate, "95"),
            kept(End::rear, P::spring_free_length, "160"),
            kept(End::rear, P::spring_installed_length, "150"),
            kept(End::rear, P::gas_force, "150"),
            kept(End::rear, P::clicks_rebound_low, "12"),
            kept(End::rear, P::sprocket_front, "16"),
            kept(End::rear, P::sprocket_rear, "43")};
}
Fact first(std::int64_t at = 1) {
    return fact({20, at, BaselineBody{"first", {}, shock()}, bike_id});
}
Fact change(int n, std::int64_t at, std::vector<SetValue> values, std::vector<Id> supersedes = {}) {
    return fact({n, at, ChangeBody{"", std::move(values)}, bike_id, {}, std::move(supersedes)});
}
SetUp at(const std::vector<Fact>& facts, Clock until = latest) {
    return setup_at(bike_id, pointers(facts), until);
}

}  // namespace

TEST_CASE("set-up: the newest baseline, changes and ticks over it, each with who and when") {
    std::vector<Fact> all = {
        first(), change(30, 5, {set_to(End::rear, P::clicks_rebound_low, "14")}),
        fact({31, 7, PlanStepBody{"k", {set_to(End::rear, P::eye_to_eye, "309")}}, bike_id, id(40)}),
        fact({32, 8, RecordBody{"2025-09-02", "old", {set_to(End::rear, P::eye_to_eye, "1")}}, bike_id}),
        change(33, 9, {set_to(End::rear, P::clicks_rebound_low, "15")})};
    all[1].entry.by = id(3);
    CHECK(value_at(at(all), End::rear, P::clicks_rebound_low) == 15);
    CHECK(value_at(at(all), End::rear, P::eye_to_eye) == 309);
    CHECK(at(all).at.ms == 9);
    CHECK(at(all).baseline == id(20));
    const SetUp before = at(all, {6, 0});
    CHECK(value_at(before, End::rear, P::clicks_rebound_low) == 14);
    CHECK(value_at(before, End::rear, P::eye_to_eye) == 310);
    const StoredReading* stored = before.stored(End::rear, P::clicks_rebound_low);
    CHECK(stored->entry == id(30));
    CHECK(stored->by == id(3));
    CHECK(stored->at.ms == 5);
    CHECK(stored->swap.nil());
    CHECK(at(all, {0, 0}).values.empty());
    CHECK_FALSE(at(all).length(End::rear, P::clicks_rebound_low));
    CHECK(in_mm(*at(all).length(End::rear, P::eye_to_eye)) == 309);
}

TEST_CASE("set-up: what was taken back stands at no moment, and the next baseline covers all") {
    std::vector<Fact> all = {first(), change(30, 5, {set_to(End::rear, P::clicks_rebound_low, "14")}),
                             fact({31, 9, RetractionBody{"undo"}, bike_id, {}, {id(30)}})};
    CHECK(value_at(at(all, {6, 0}), End::rear, P::clicks_rebound_low) == 12);
    all.push_back(
        fact({32, 10, BaselineBody{"second", id(20), {kept(End::rear, P::eye_to_eye, "311")}}, bike_id}));
    CHECK(value_at(at(all), End::rear, P::eye_to_eye) == 311);
    CHECK(at(all).values.size() == 1);
    all.push_back(fact({33, 11, RetractionBody{"a rival"}, bike_id, {}, {id(32)}}));
    CHECK(value_at(at(all), End::rear, P::eye_to_eye) == 310);
    // Entries of another bike have no effect.
    CHECK(setup_at(id(11), pointers(all)).values.empty());
}

TEST_CASE("set-up: any order of facts gives the same") {
    std::vector<Fact> all = {first()};
    std::mt19937 random(3);
    for (int n = 0; n < 40; ++n)
        all.push_back(change(
            100 + n, 2 + static_cast<std::int64_t>(random() % 20),
            {set_to(End::rear, P::eye_to_eye, std::to_string(300 + random() % 20)),
             set_to(End::rear, random() % 3 ? P::spring_installed_length : P::ride_height_rider,
                    std::to_string(145 + random() % 9))},
            random() % 4 ? std::vector<Id>{} : std::vector<Id>{id(100 + static_cast<int>(random() % 40))}));
    const SetUp expected = at(all);
    for (int run = 0; run < 200; ++run) {
        std::shuffle(all.begin(), all.end(), random);
        const SetUp again = at(all);
        REQUIRE(again.values == expected.values);
        REQUIRE(again.read_with == expected.read_with);
        REQUIRE(again.stale == expected.stale);
        REQUIRE(again.at == expected.at);
    }
}

TEST_CASE("set-up: heights read before a change are stale, and predicted from what belonged together") {
    std::vector<Fact> all = {first(), change(30, 5, {set_to(End::rear, P::spring_installed_length, "149")})};
    SetUp s = at(all);
    CHECK(s.stale == std::set<Place>{{End::rear, P::ride_height_static}, {End::rear, P::ride_height_rider}});
    const auto stance = stance_of(body_of_ratio(), End::rear, s);
    REQUIRE(stance);
    // 1 mm more preload under the same load: 1 mm less unit travel, 2 mm at the wheel.
    CHECK(in_mm(*stance->topped_out) == doctest::Approx(500));
    CHECK(in_mm(*stance->static_) == doctest::Approx(492));
    CHECK(in_mm(*stance->rider) == doctest::Approx(472));

    // The rider's height is read again, the static one is not. The computation uses only values that belong
    // together.
    all.push_back(change(31, 6, {set_to(End::rear, P::ride_height_rider, "471")}));
    s = at(all);
    CHECK(s.stale == std::set<Place>{{End::rear, P::ride_height_static}});
    const auto read = stance_of(body_of_ratio(), End::rear, s);
    REQUIRE(read);
    CHECK(in_mm(*read->rider) == doctest::Approx(471));
    CHECK_FALSE(read->static_);

    // A longer unit also makes the topped-out height invalid, so the rider's height alone gives nothing new.
    all.push_back(change(32, 7, {set_to(End::rear, P::eye_to_eye, "311")}));
    all.push_back(change(33, 8, {set_to(End::rear, P::ride_height_rider, "473.5")}));
    s = at(all);
    CHECK(s.stale.contains({End::rear, P::ride_height_topped_out}));
    CHECK(value_at(SetUp{{}, {}, {}, s.read_with, {}, {}}, End::rear, P::eye_to_eye) == 310);
    all.push_back(change(34, 9, {set_to(End::rear, P::ride_height_topped_out, "502.5")}));
    s = at(all);
    CHECK(s.read_with.at({End::rear, P::eye_to_eye}).reading.repeats[0].text == "311");
    CHECK(in_mm(*stance_of(body_of_ratio(), End::rear, s)->rider) == doctest::Approx(473.5));
}

TEST_CASE("set-up: clicks, and settings that were set to what they were, leave the heights fresh") {
    const std::vector<Fact> all = {first(), change(30, 5,
                                                   {set_to(End::rear, P::clicks_rebound_low, "3"),
                                                    set_to(End::rear, P::eye_to_eye, "310.0")})};
    CHECK(at(all).stale.empty());
}

TEST_CASE("stance change: by the map and the spring, of length, preload, spring and gearing") {
    const SetUp before = at({first()});
    const auto with = [&](P p, const std::string& text) {
        SetUp after = before;
        after.values[{End::rear, p}].reading = test::reading(p, text);
        return stance_change(body_of_ratio(), End::rear, before, after).value();
    };
    const StanceChange longer = with(P::eye_to_eye, "311");
    CHECK(in_mm(*longer.topped_out) == doctest::Approx(2));
    CHECK(in_mm(*longer.static_) == doctest::Approx(2));
    CHECK(in_mm(*longer.rider) == doctest::Approx(2));
    CHECK(in_mm(*longer.preload) == doctest::Approx(0));
    const StanceChange collar = with(P::spring_installed_length, "148.5");
    CHECK(in_mm(*collar.topped_out) == doctest::Approx(0).epsilon(1e-9));
    CHECK(in_mm(*collar.rider) == doctest::Approx(3));
    CHECK(in_mm(*collar.preload) == doctest::Approx(1.5));
    CHECK_FALSE(collar.ratio);
    // The spring carries 95·(10 + x) N, x = 5 and 15 mm. For 100 N/mm with the same preload: x' = 95·(10 +
    // x)/100 − 10.
    const StanceChange spring = with(P::spring_rate, "100");
    CHECK(in_mm(*spring.static_) == doctest::Approx(2.0 * (15 - 95.0 * 15 / 100)));
    CHECK(in_mm(*spring.rider) == doctest::Approx(2.0 * (25 - 95.0 * 25 / 100)));
    const StanceChange gearing = with(P::sprocket_rear, "44");
    CHECK(*gearing.ratio == doctest::Approx(44.0 / 43));
    CHECK(in_mm(*gearing.rider) == doctest::Approx(0).epsilon(1e-9));
}

TEST_CASE("stance change: fork position lowers the front by itself times the cosine of the rake") {
    std::vector<BaselineValue> fork = {kept(End::front, P::ride_height_topped_out, "540"),
                                       kept(End::front, P::ride_height_static, "515"),
                                       kept(End::front, P::ride_height_rider, "505"),
                                       kept(End::front, P::fork_position, "4"),
                                       kept(End::front, P::spring_rate, "9"),
                                       kept(End::front, P::spring_free_length, "284"),
                                       kept(End::front, P::spring_installed_length, "270")};
    const SetUp before = at({fact({20, 1, BaselineBody{"", {}, fork}, bike_id})});
    SetUp after = before;
    after.values[{End::front, P::fork_position}].reading = test::reading(P::fork_position, "7");
    const auto c = stance_change(body_of_ratio(), End::front, before, after);
    REQUIRE(c);
    CHECK(in_mm(*c->rider) == doctest::Approx(-3 * std::cos(24 * 3.14159265358979 / 180)));
    CHECK(in_mm(*c->topped_out) == doctest::Approx(in_mm(*c->rider)));
}

TEST_CASE("stance change: what is not known is named") {
    auto values = shock();
    std::erase_if(values, [](const BaselineValue& v) { return v.stored.reading.point == P::spring_rate; });
    const SetUp before = at({fact({20, 1, BaselineBody{"", {}, values}, bike_id})});
    const auto c = stance_change(body_of_ratio(), End::rear, before, before);
    REQUIRE_FALSE(c);
    CHECK(c.error().code == ErrorCode::missing);
    CHECK(c.error().subject == "spring_rate");
    BikeBody unknown = body_of_ratio();
    unknown.rear.leverage.reset();
    CHECK(stance_change(unknown, End::rear, at({first()}), at({first()})).error().subject == "leverage");
    // Gearing needs no suspension data.
    SetUp after = before;
    after.values[{End::rear, P::sprocket_front}].reading = test::reading(P::sprocket_front, "15");
    CHECK(*stance_change(body_of_ratio(), End::rear, before, after)->ratio == doctest::Approx(16.0 / 15));
}

TEST_CASE(
    "baseline of a swap: what was changed since the last baseline is carried over, stale heights are not") {
    auto values = shock();
    values.push_back(kept(End::front, P::clicks_rebound_low, "10"));
    values.push_back(kept(End::front, P::ride_height_rider, "505"));
    values.push_back(kept(End::front, P::fork_position, "4"));
    const std::vector<Fact> all = {fact({20, 1, BaselineBody{"", {}, values}, bike_id}),
                                   change(30, 5, {set_to(End::front, P::clicks_rebound_low, "8")}),
                                   change(31, 6, {set_to(End::front, P::fork_position, "6")}),
                                   change(32, 7, {set_to(End::rear, P::clicks_rebound_low, "13")}),
                                   change(33, 70, {set_to(End::rear, P::clicks_rebound_low, "20")}),
                                   change(34, 71, {set_to(End::rear, P::sprocket_rear, "45")})};
    Swap swap;
    swap.id = id(50);
    swap.bike = bike_id;
    swap.parts = {SwapPart::shock};
    swap.started.ms = 50;
    const auto stored = [&](P p, const std::string& text, std::int64_t ms) {
        return StoredReading{test::reading(p, text), id(51), {}, {ms, 0}, id(50), false};
    };
    swap.stored_readings[{Phase::before, End::rear, P::sprocket_rear}] = {stored(P::sprocket_rear, "43", 51)};
    swap.stored_readings[{Phase::new_part, End::rear, P::spring_rate}] = {stored(P::spring_rate, "100", 55)};
    swap.stored_readings[{Phase::set, End::rear, P::eye_to_eye}] = {stored(P::eye_to_eye, "309", 60)};
    const auto made = [&](Clock until) {
        Baseline b;
        b.body = baseline_of(swap, at(all, until), "race shock");
        return b;
    };
    const auto text = [](const Baseline& b, End end, P p) {
        const BaselineValue* v = b.value(end, p);
        return v ? v->stored.reading.repeats[0].text : "";
    };
    const Baseline b = made(latest);
    CHECK(b.body.based_on == id(20));
    CHECK(text(b, End::front, P::clicks_rebound_low) == "8");
    CHECK(text(b, End::front, P::fork_position) == "6");
    CHECK(text(b, End::front, P::ride_height_rider) == "");    // older than the fork position
    CHECK(text(b, End::rear, P::clicks_rebound_low) == "20");  // set on the new unit, after it was measured
    CHECK(text(b, End::rear, P::sprocket_rear) == "45");       // changed after the swap had read it
    CHECK(text(b, End::rear, P::sprocket_front) == "16");
    CHECK(text(b, End::rear, P::eye_to_eye) == "309");
    CHECK(text(b, End::rear, P::spring_rate) == "100");
    CHECK(text(b, End::rear, P::gas_force) == "");  // of the old unit
    CHECK(std::is_sorted(
        b.body.values.begin(), b.body.values.end(), [](const BaselineValue& x, const BaselineValue& y) {
            return std::pair(x.end, x.stored.reading.point) < std::pair(y.end, y.stored.reading.point);
        }));
    // Clicks of the old unit, changed before the swap, do not apply to the new one.
    CHECK(text(made({8, 0}), End::rear, P::clicks_rebound_low) == "");
    CHECK(text(made({8, 0}), End::rear, P::sprocket_rear) == "43");
}

TEST_CASE(
    "stance: a preload that was read itself counts as two lengths do, and does to the heights what they do") {
    SetUp before = test::stands(End::rear, {{P::ride_height_topped_out, "500"},
                                            {P::ride_height_static, "490"},
                                            {P::ride_height_rider, "470"},
                                            {P::eye_to_eye, "310"},
                                            {P::spring_rate, "95"},
                                            {P::spring_preload, "10"}});
    SetUp after = before;
    after.values[{End::rear, P::spring_preload}] = {
        test::reading(P::spring_preload, "12"), {}, {}, {}, {}, false};
    const auto c = stance_change(body_of_ratio(2.0), End::rear, before, after);
    REQUIRE(c.has_value());
    CHECK(in_mm(c->preload.value()) == doctest::Approx(2));
    // The same load on a linear spring: the unit is 2 mm longer, the axle 2·2.0 mm lower on its arm.
    CHECK(in_mm(c->rider.value()) == doctest::Approx(4).epsilon(1e-6));
    // A set-up of which a spring rate is not known is not computed with an assumed one.
    after.values.erase({End::rear, P::spring_rate});
    before.values.erase({End::rear, P::spring_rate});
    before.read_with.erase({End::rear, P::spring_rate});
    CHECK(stance_change(body_of_ratio(2.0), End::rear, before, after).error().subject == "spring_rate");
    // Static alone is enough for a set-up's stance.
    SetUp alone = test::stands(End::rear, {{P::ride_height_topped_out, "500"},
                                           {P::ride_height_static, "490"},
                                           {P::eye_to_eye, "310"},
                                           {P::spring_rate, "95"},
                                           {P::spring_preload, "10"}});
    const auto stance = stance_of(body_of_ratio(2.0), End::rear, alone);
    REQUIRE(stance.has_value());
    CHECK(in_mm(stance->static_.value()) == doctest::Approx(490));
    CHECK_FALSE(stance->rider.has_value());
}

TEST_CASE("set-up: a preload set by itself takes the place of the lengths, and heights go stale with it") {
    const std::vector<Fact> all = {first(), change(30, 5, {set_to(End::rear, P::spring_preload, "12")})};
    const SetUp setup = at(all);
    CHECK(setup.stored(End::rear, P::spring_installed_length) == nullptr);
    CHECK(value_at(setup, End::rear, P::spring_preload) == 12);
    CHECK(setup.stale.contains({End::rear, P::ride_height_rider}));
    CHECK_FALSE(setup.stale.contains({End::rear, P::ride_height_topped_out}));
    CHECK(moved_since_read(setup, End::rear));
    // 2 mm more preload lift the axle by 4 mm at a ratio of 2.
    BikeBody body;
    body.rear.leverage = 2.0;
    const auto stands = stance_of(body, End::rear, setup);
    REQUIRE(stands.has_value());
    CHECK(in_mm(stands->rider.value()) == doctest::Approx(474));
    // Where the spring's own length is not known, a length says nothing and voids nothing.
    std::vector<BaselineValue> unknown = {kept(End::rear, P::spring_preload, "10"),
                                          kept(End::rear, P::spring_rate, "95")};
    const std::vector<Fact> little = {fact({20, 1, BaselineBody{"first", {}, unknown}, bike_id}),
                                      change(30, 5, {set_to(End::rear, P::spring_installed_length, "150")})};
    CHECK(value_at(at(little), End::rear, P::spring_preload) == 10);
}
