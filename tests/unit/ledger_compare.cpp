#include "core/ledger/compare.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "tests/unit/ledger_kit.h"

using namespace restand;
using test::id;
using test::put;
using test::reading;

namespace {

using P = Point;

SetUp set_up(const Id& bike, const std::vector<std::pair<P, std::string>>& values) {
    SetUp s;
    s.bike = bike;
    for (const auto& [p, text] : values) put(s, End::rear, reading(p, text));
    return s;
}

const Difference* find(const Comparison& all, std::variant<P, Derived> what, End end = End::rear) {
    for (const auto* list : {&all.changed, &all.same})
        for (const Difference& d : *list)
            if (d.what == what && d.end == end) return &d;
    return nullptr;
}
bool is_changed(const Comparison& all, std::variant<P, Derived> what) {
    return std::any_of(all.changed.begin(), all.changed.end(),
                       [&](const Difference& d) { return d.what == what; });
}

}  // namespace

TEST_CASE(
    "compare: U of a change is the root of both squares; on one bike the instrument's own error cancels") {
    const SetUp was = set_up(id(1), {{P::ride_height_rider, "470"}}),
                is = set_up(id(1), {{P::ride_height_rider, "471"}});
    SetUp other = is;
    other.bike = id(2);
    const Measured m = measured(was.stored(End::rear, P::ride_height_rider)->reading);

    const Comparison two = compare(was, nullptr, other, nullptr);
    const Difference* apart = find(two, P::ride_height_rider);
    REQUIRE(apart);
    CHECK(*apart->change == 1);
    CHECK(*apart->expanded == doctest::Approx(std::sqrt(2.0) * expanded_95(m)));
    CHECK(apart->differs);
    CHECK_FALSE(apart->real);  // a tape cannot resolve 1 mm

    const Comparison one = compare(was, nullptr, is, nullptr);
    CHECK(*find(one, P::ride_height_rider)->expanded ==
          doctest::Approx(std::sqrt(2.0) * expanded_95(without_common(m))));
    SetUp far = is;
    put(far, End::rear, reading(P::ride_height_rider, "474"));
    const Comparison clear = compare(was, nullptr, far, nullptr);
    CHECK(find(clear, P::ride_height_rider)->real);
}

TEST_CASE("compare: the edge of what is real lies at U") {
    // |change| just inside and just outside of √(U² + U²).
    const SetUp was = set_up(id(1), {{P::spring_free_length, "160"}});
    const double u =
        std::sqrt(2.0) *
        expanded_95(without_common(measured(was.stored(End::rear, P::spring_free_length)->reading)));
    for (const double share : {0.999, 1.001}) {
        SetUp is = was;
        put(is, End::rear, test::exactly(P::spring_free_length, 160 + share * u));
        const Comparison all = compare(was, nullptr, is, nullptr);
        CHECK(find(all, P::spring_free_length)->real == (share > 1));
    }
}

TEST_CASE("compare: counted things and names are told apart without doubt") {
    SetUp was = set_up(id(1), {{P::clicks_rebound_low, "12"},
                               {P::sprocket_rear, "43"},
                               {P::sprocket_front, "16"},
                               {P::tyre, "soft"}});
    SetUp is = set_up(id(1), {{P::clicks_rebound_low, "13"},
                              {P::sprocket_rear, "44"},
                              {P::sprocket_front, "16"},
                              {P::tyre, "rain"}});
    const Comparison all = compare(was, nullptr, is, nullptr);
    for (const P p : {P::clicks_rebound_low, P::sprocket_rear, P::tyre}) CHECK(find(all, p)->real);
    CHECK_FALSE(is_changed(all, P::sprocket_front));
    const Difference* drive = find(all, Derived::final_drive);
    CHECK(*drive->was_value == doctest::Approx(43.0 / 16));
    CHECK(*drive->change == doctest::Approx(1.0 / 16));
    CHECK(drive->real);
}

TEST_CASE("compare: the same length in other units or with a comma is the same") {
    SetUp was = set_up(id(1), {{P::eye_to_eye, "312,7375"}}), is = set_up(id(1), {});
    put(is, End::rear, reading(P::eye_to_eye, "12 5/16", Unit::inch));
    const Comparison all = compare(was, nullptr, is, nullptr);
    CHECK(all.changed.empty());
    REQUIRE(all.same.size() == 1);
    CHECK_FALSE(all.same[0].real);
}

TEST_CASE("compare: known on one side only differs, but nothing real is claimed") {
    const Comparison all = compare(set_up(id(1), {{P::eye_to_eye, "310"}}), nullptr,
                                   set_up(id(1), {{P::tyre, "soft"}}), nullptr);
    REQUIRE(all.changed.size() == 2);
    for (const Difference& d : all.changed) {
        CHECK(d.differs);
        CHECK_FALSE(d.real);
        CHECK_FALSE(d.change);
    }
    CHECK(find(all, P::eye_to_eye)->was_value == 310.0);
    CHECK_FALSE(find(all, P::eye_to_eye)->is_value);
}

TEST_CASE("compare: derived lengths, and a reading that was carried over takes no part in their doubt") {
    SetUp was = set_up(id(1), {{P::spring_free_length, "160"},
                               {P::spring_installed_length, "150"},
                               {P::ride_height_topped_out, "500"},
                               {P::ride_height_static, "490"},
                               {P::ride_height_rider, "470"}});
    SetUp is = was;
    put(is, End::rear, reading(P::spring_installed_length, "148.5"), id(9));
    const Comparison all = compare(was, nullptr, is, nullptr);
    const Difference* preload = find(all, Derived::preload);
    CHECK(*preload->was_value == 10);
    CHECK(*preload->change == doctest::Approx(1.5));
    // The free length is the same reading on both sides.
    CHECK(*preload->expanded == doctest::Approx(*find(all, P::spring_installed_length)->expanded));
    const Difference* sag = find(all, Derived::rider_sag);
    CHECK(*sag->was_value == 30);
    CHECK(*find(all, Derived::free_sag)->was_value == 10);
    CHECK_FALSE(sag->differs);
    CHECK(*sag->expanded == 0);
    // Sag: two readings at one mark with one tape, so the tape's error cancels.
    const auto u = derived(Derived::rider_sag, End::rear, was, nullptr);
    REQUIRE(u);
    const auto own = [&](P point) {
        return without_common(measured(was.stored(End::rear, point)->reading)).u;
    };
    CHECK(u->u == doctest::Approx(std::hypot(own(P::ride_height_topped_out), own(P::ride_height_rider))));
}

TEST_CASE(
    "compare: the spring's rate at the wheel is k·i² where the rider sits, by whatever map the bike has") {
    const SetUp s = set_up(id(1), {{P::spring_rate, "95"},
                                   {P::eye_to_eye, "310"},
                                   {P::ride_height_topped_out, "500"},
                                   {P::ride_height_rider, "470"}});
    BikeBody bike;
    CHECK_FALSE(derived(Derived::spring_rate_at_wheel, End::rear, s, &bike));
    CHECK_FALSE(derived(Derived::spring_rate_at_wheel, End::rear, s, nullptr));
    bike.rear.leverage = 2.0;
    CHECK(derived(Derived::spring_rate_at_wheel, End::rear, s, &bike)->value == doctest::Approx(95 / 4.0));
    // A straight table of the same ratio gives the same result; the single ratio no longer counts.
    bike.rear.leverage = 3.0;
    for (int i = 0; i < 8; ++i) bike.rear.pairs.emplace_back(mm(250 + 10 * i), mm(380 + 20 * i));
    CHECK(derived(Derived::spring_rate_at_wheel, End::rear, s, &bike)->value == doctest::Approx(95 / 4.0));
    SetUp front;
    put(front, End::front, reading(P::spring_rate, "9"));
    bike.geometry.rake = degrees(24);
    const double c = std::cos(24 * 3.14159265358979323846 / 180);
    CHECK(derived(Derived::spring_rate_at_wheel, End::front, front, &bike)->value ==
          doctest::Approx(2 * 9 / (c * c)));
}

TEST_CASE("compare: a set-up with itself differs in nothing, and swapped sides change the sign alone") {
    const SetUp a = set_up(id(1), {{P::eye_to_eye, "310"},
                                   {P::spring_free_length, "160"},
                                   {P::spring_installed_length, "150"},
                                   {P::clicks_rebound_low, "12"},
                                   {P::tyre, "soft"}});
    SetUp b = a;
    put(b, End::rear, reading(P::eye_to_eye, "311"));
    put(b, End::rear, reading(P::spring_installed_length, "149"));
    CHECK(compare(a, nullptr, a, nullptr).changed.empty());
    const Comparison there = compare(a, nullptr, b, nullptr), back = compare(b, nullptr, a, nullptr);
    REQUIRE(there.changed.size() == 3);
    REQUIRE(back.changed.size() == 3);
    for (std::size_t i = 0; i < 3; ++i) {
        CHECK(*there.changed[i].change == doctest::Approx(-*back.changed[i].change));
        CHECK(*there.changed[i].expanded == doctest::Approx(*back.changed[i].expanded));
        CHECK(there.changed[i].real == back.changed[i].real);
    }
    // Points come first in their order, derived values after them.
    CHECK(std::get<P>(there.changed[0].what) == P::eye_to_eye);
    CHECK(std::get<P>(there.changed[1].what) == P::spring_installed_length);
    CHECK(std::get<Derived>(there.changed[2].what) == Derived::preload);
}

TEST_CASE(
    "compare: a bike with a linkage is compared like any other, its rate at the wheel by its own mechanism") {
    BikeBody bike;
    bike.geometry.swingarm = mm(580);
    Linkage linkage;
    linkage.unit_end = {Carrier::frame, {mm(-20), mm(250)}};
    linkage.direct = {Carrier::arm, {mm(-230), mm(20)}};
    bike.mechanism.linkage = linkage;
    const Length unit = place_at(linkage, degrees(14))->length;
    const SetUp was = set_up(id(1), {{P::spring_rate, "95"},
                                     {P::eye_to_eye, std::to_string(in_mm(unit))},
                                     {P::ride_height_topped_out, "500"},
                                     {P::ride_height_rider, "470"}});
    SetUp is = was;
    put(is, End::rear, reading(P::spring_rate, "100"));
    const Comparison all = compare(was, &bike, is, &bike);
    const Difference* rate = find(all, P::spring_rate);
    REQUIRE(rate);
    CHECK(rate->real);  // a different stamp is a different spring, whatever its true rate
    const Difference* wheel = find(all, Derived::spring_rate_at_wheel);
    REQUIRE(wheel);
    REQUIRE(wheel->was_value.has_value());
    CHECK(*wheel->is_value / *wheel->was_value == doctest::Approx(100.0 / 95.0));
    // Without the mechanism's inputs there is no rate at the wheel; everything else is still compared.
    SetUp bare = set_up(id(1), {{P::spring_rate, "95"}});
    CHECK(find(compare(bare, &bike, is, &bike), P::spring_rate));
}

TEST_CASE("compare: a value known in another way on one side has the uncertainty of both") {
    const SetUp was = set_up(id(1), {{P::spring_free_length, "160"}, {P::spring_installed_length, "150"}});
    const SetUp is = set_up(id(1), {{P::spring_free_length, "160"}, {P::spring_preload, "12"}});
    const Comparison all = compare(was, nullptr, is, nullptr);
    const Difference* preload = find(all, Derived::preload);
    REQUIRE(preload);
    CHECK(*preload->change == doctest::Approx(2));
    REQUIRE(preload->expanded);
    const double u = expanded_95(measured(is.stored(End::rear, P::spring_preload)->reading));
    CHECK(*preload->expanded > u);
}
