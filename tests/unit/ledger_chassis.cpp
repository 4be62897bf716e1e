// Attitude and chain from the ledger's values, compared with the mechanism itself.

#include <doctest/doctest.h>

#include "core/ledger/chassis.h"
#include "tests/unit/ledger_kit.h"
#include "tests/unit/random_bike.h"

using namespace restand;
using test::RandomBikes;
using test::reading;

namespace {

using P = Point;

void put_number(SetUp& s, End end, P point, double value) {
    s.values[{end, point}] = {reading(point, std::to_string(value).c_str()), {}, {}, {}, {}, false};
}

struct WrittenDown {
    BikeBody body;
    SetUp setup;
};

// A mechanic's readings of this bike standing alone and with its rider, every number exact. The frame axes of
// a ledger bike are the ground's while it stands alone, so heights are read perpendicular to the ground.
WrittenDown written_down(const WholeBike& b) {
    const auto alone = standing(b, Rider::off), rider = standing(b, Rider::on);
    REQUIRE(alone.has_value());
    REQUIRE(rider.has_value());
    const Attitude& a = alone->attitude;
    WrittenDown k;
    k.body.geometry = {b.arm,          a.wheelbase, b.rear.radius, b.front.radius, b.geometry.offset,
                       a.pivot_height, a.rake};
    k.body.front.leverage = 1.0;
    k.body.rear.leverage = 2.0;
    const Angle top = LinkageMap::of(b.linkage)->droop_at(b.shock.length).value();
    // Rise of the axle, in the axes of the bike standing alone.
    const auto down = [&](Angle droop) { return in_mm(b.arm) * sin(droop - a.pitch); };
    put_number(k.setup, End::rear, P::ride_height_topped_out, 300 + down(top));
    put_number(k.setup, End::rear, P::ride_height_static, 300 + down(alone->pose.droop));
    put_number(k.setup, End::rear, P::ride_height_rider, 300 + down(rider->pose.droop));
    put_number(k.setup, End::front, P::ride_height_topped_out, 600);
    put_number(k.setup, End::front, P::ride_height_static, 600 - in_mm(alone->pose.fork_travel));
    put_number(k.setup, End::front, P::ride_height_rider, 600 - in_mm(rider->pose.fork_travel));
    return k;
}

WrittenDown add_chain(WrittenDown k) {
    k.body.mechanism.front_sprocket = PlanePoint{mm(82), mm(14)};
    put_number(k.setup, End::rear, P::axle_position, 20);
    put_number(k.setup, End::rear, P::chain_slack, 36);
    put_number(k.setup, End::rear, P::sprocket_front, 16);
    put_number(k.setup, End::rear, P::sprocket_rear, 43);
    put_number(k.setup, End::rear, P::chain_links, 114);
    return k;
}

}  // namespace

TEST_CASE(
    "chassis: measured heights give the attitude that masses and springs would, alone and with the rider") {
    RandomBikes random(40);
    for (int i = 0; i < 300; ++i) {
        const WholeBike b = random.bike();
        const WrittenDown k = written_down(b);
        const auto chassis = chassis_of(k.body, k.setup, k.setup);
        REQUIRE(chassis.has_value());
        for (const auto& [state, rider] :
             {std::pair{State::static_, Rider::off}, {State::rider, Rider::on}}) {
            const auto is = chassis->in(state);
            REQUIRE(is.has_value());
            const Attitude should = standing(b, rider)->attitude;
            // Readings are typed to a millionth of a mm.
            CHECK(std::fabs(in_degrees(is->rake - should.rake)) < 1e-5);
            CHECK(std::fabs(in_mm(is->trail - should.trail)) < 1e-4);
            CHECK(std::fabs(in_mm(is->wheelbase - should.wheelbase)) < 1e-4);
            CHECK(std::fabs(in_mm(is->pivot_height - should.pivot_height)) < 1e-4);
            CHECK(std::fabs(in_degrees(is->arm_to_ground - should.arm_to_ground)) < 1e-5);
        }
    }
}

TEST_CASE("chassis: what is missing is named, and the bike's own numbers are told from readings") {
    RandomBikes random(41);
    const WrittenDown k = written_down(random.bike());
    WrittenDown less = k;
    less.body.geometry.wheelbase.reset();
    CHECK(chassis_of(less.body, less.setup, less.setup).error() ==
          Error{ErrorCode::missing, "wheelbase", "bike"});
    less = k;
    less.setup.values.erase({End::front, P::ride_height_static});
    CHECK(chassis_of(less.body, less.setup, less.setup).error() ==
          Error{ErrorCode::missing, "ride_height_static", "front"});
    CHECK(chain_of(k.body, k.setup, k.setup).error().subject == "front_sprocket");
    CHECK(travel_of(k.body, k.setup, k.setup).error().subject == "linkage");
}

TEST_CASE("chassis: a tyre by its marking and an axle moved back change what they touch") {
    RandomBikes random(42);
    WrittenDown k = written_down(random.bike());
    k.setup.values[{End::rear, P::tyre}] = {reading(P::tyre, "190/55-17, soft"), {}, {}, {}, {}, false};
    put_number(k.setup, End::rear, P::axle_position, 20);
    SetUp other = k.setup;
    other.values[{End::rear, P::tyre}] = {reading(P::tyre, "200/55-17, soft"), {}, {}, {}, {}, false};
    put_number(other, End::rear, P::axle_position, 30);
    const auto was = chassis_of(k.body, k.setup, k.setup), is = chassis_of(k.body, other, k.setup);
    // UN R75: 5.5 mm of radius between these two (check value G-04).
    CHECK(in_mm(is->radii.rear - was->radii.rear) == doctest::Approx(5.5));
    CHECK(in_mm(is->bike.arm - was->bike.arm) == doctest::Approx(10));
    CHECK(is->in(State::rider)->rake < was->in(State::rider)->rake);
    CHECK(is->in(State::rider)->wheelbase > was->in(State::rider)->wheelbase + mm(9));
}

TEST_CASE(
    "drive: what the tyre rolls wins over its radius; another tyre, other sprockets; what is missing is "
    "named") {
    RandomBikes random(44);
    WrittenDown k = written_down(random.bike());
    const auto lacks = [&] { return drive_of(k.body, k.setup, k.setup).error(); };
    CHECK(lacks() == Error{ErrorCode::missing, "primary", "bike"});
    k.body.gearbox.primary = 2.0;
    CHECK(lacks() == Error{ErrorCode::missing, "gear_1", "bike"});
    for (const std::vector<double>& none : {std::vector{0.0, 2.0}, {1e-300}, {1e300, 2.0}}) {
        k.body.gearbox.gears = none;
        CHECK(lacks() == Error{ErrorCode::missing, "gear_1", "bike"});
    }
    k.body.gearbox.gears = {2.5, 0.0, 1.25};  // the second is unknown: no speed is given for higher gears
    CHECK(lacks() == Error{ErrorCode::missing, "sprocket_front", "rear"});
    put_number(k.setup, End::rear, P::sprocket_front, 15);
    put_number(k.setup, End::rear, P::sprocket_rear, 42);
    const auto as_described = drive_of(k.body, k.setup, k.setup);
    REQUIRE(as_described.has_value());
    CHECK(as_described->gears == std::vector{2.5});
    CHECK(as_described->rear_radius == *k.body.geometry.rear_wheel_radius);
    k.setup.values[{End::rear, P::tyre}] = {reading(P::tyre, "190/55-17, soft"), {}, {}, {}, {}, false};
    SetUp other = k.setup;
    other.values[{End::rear, P::tyre}] = {reading(P::tyre, "200/55-17, soft"), {}, {}, {}, {}, false};
    put_number(other, End::rear, P::sprocket_rear, 45);
    const auto drive = drive_of(k.body, other, k.setup);
    CHECK(in_mm(drive->rear_radius - as_described->rear_radius) == doctest::Approx(5.5));  // UN R75, as above
    CHECK(drive->sprockets == Sprockets{15, 45});
    // The same with the rolling circumference of the old tyre, measured when it was described.
    SetUp rolled = k.setup;
    put_number(rolled, End::rear, P::rolling_circumference, 1990);
    CHECK(in_mm(drive_of(k.body, other, rolled)->rear_radius) == doctest::Approx(1990 / (2 * pi) + 5.5));
    k.body.gearbox.gears = {2.5, 1.9, 2.0, 1.2};  // the third is not below the second
    CHECK(drive_of(k.body, other, k.setup)->gears == std::vector{2.5, 1.9});
    put_number(other, End::rear, P::rolling_circumference, 2000);
    CHECK(in_mm(drive_of(k.body, other, k.setup)->rear_radius) == doctest::Approx(2000 / (2 * pi)));
    k.body.geometry.rear_wheel_radius.reset();
    CHECK(lacks() == Error{ErrorCode::missing, "rear_wheel_radius", "bike"});
    CHECK(drive_of(k.body, other, k.setup).has_value());
}

TEST_CASE(
    "chain of a set-up: its slack is the one that was read; another sprocket takes it away or gives it") {
    RandomBikes random(43);
    WrittenDown k = add_chain(written_down(random.bike()));
    const auto chain = chain_of(k.body, k.setup, k.setup);
    REQUIRE(chain.has_value());
    CHECK(in_mm(chain->on_stand.slack) == doctest::Approx(36).epsilon(1e-6));
    CHECK(chain->tight.slack <= chain->on_stand.slack);
    // Links of half an inch would need far more of them: one of the numbers is wrong, and the error says so.
    WrittenDown other = k;
    other.body.mechanism.chain_pitch = mm(12.7);
    const auto wrong = chain_of(other.body, other.setup, other.setup);
    REQUIRE_FALSE(wrong.has_value());
    CHECK(wrong.error().code == ErrorCode::contradiction);
    CHECK(wrong.error().subject == "chain_links");
    SetUp more = k.setup;
    more.before_change();
    put_number(more, End::rear, P::sprocket_rear, 44);
    CHECK(chain_of(k.body, more, k.setup)->on_stand.slack < chain->on_stand.slack);
    put_number(more, End::rear, P::chain_links, 116);
    CHECK(chain_of(k.body, more, k.setup)->on_stand.slack > chain->on_stand.slack);
}

TEST_CASE(
    "chain of a set-up: slack read on a stand that lifts the swingarm is slack with the arm as it stands") {
    RandomBikes random(45);
    WrittenDown k = add_chain(written_down(random.bike()));
    const auto hanging = chain_of(k.body, k.setup, k.setup);
    REQUIRE(hanging.has_value());
    // The same chain, read on the other stand: its slack there is what the run gives at the static droop.
    const auto chassis = chassis_of(k.body, k.setup, k.setup);
    REQUIRE(chassis.has_value());
    const Length there = slack_at(hanging->run, hanging->arm, *chassis->droops[1]).slack;
    CHECK(std::fabs(in_mm(there) - 36) > 0.5);
    WrittenDown lifted = k;
    lifted.body.how_read.slack_stand = Stand::swingarm;
    put_number(lifted.setup, End::rear, P::chain_slack, in_mm(there));
    const auto chain = chain_of(lifted.body, lifted.setup, lifted.setup);
    REQUIRE(chain.has_value());
    CHECK(in_mm(chain->run.length) == doctest::Approx(in_mm(hanging->run.length)).epsilon(1e-8));
    CHECK(in_mm(chain->tight.slack) == doctest::Approx(in_mm(hanging->tight.slack)).epsilon(1e-6));
    CHECK(in_mm(chain->on_stand.slack) == doctest::Approx(in_mm(there)).epsilon(1e-6));
    // Without the static height nobody knows how the arm lies on that stand.
    lifted.setup.values.erase({End::rear, P::ride_height_static});
    const auto lost = chain_of(lifted.body, lifted.setup, k.setup, k.setup);
    REQUIRE_FALSE(lost.has_value());
    CHECK(lost.error() == Error{ErrorCode::missing, "ride_height_static", "rear"});
}
