#include "core/ledger/chassis.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/ledger/described.h"
#include "core/ledger/fitted_unit.h"
#include "core/ledger/map_of.h"
#include "core/ledger/moved_by.h"
#include "core/machine/tyre_size.h"

namespace restand {
namespace {

using P = Point;

// The fork length of the described bike. The model may place the steering head anywhere on its axis; this
// value puts it this far above the foot of the axle.
constexpr Length fork_as_it_stood = mm(560);

Error lacks_number(const char* key) {
    return {ErrorCode::missing, key, "bike"};
}

KnownTyre tyre_of(const SetUp& s, End end) {
    const StoredReading* tyre = s.stored(end, P::tyre);
    return {s.length(end, P::rolling_circumference),
            tyre ? tyre->reading.repeats.back().text : std::string_view()};
}

// The wheel radius as described, plus the change that another tyre makes.
Length radius_of(Length described, const SetUp& was, const SetUp& is, End end) {
    return described + radius_gained(tyre_of(was, end), tyre_of(is, end));
}

// With a linkage the height map contains a moved axle, so heights belong to the arm as it is. Without one
// they belong to the arm as described, and give only how far the arm moved.
Angle droop_at(const BikeBody& bike, Angle alone, Length arm, Length up) {
    const Length described = *bike.geometry.swingarm;
    const double sine =
        bike.mechanism.linkage ? (described * sin(alone) + up) / arm : sin(alone) + up / described;
    return radians(std::asin(std::clamp(sine, -0.95, 0.95)));
}

}  // namespace

Error lacks(P point, End end) {
    return {ErrorCode::missing, std::string(facts(point).key), std::string(key(end))};
}

Length arm_of(const BikeBody& bike, const SetUp& s, const SetUp& described) {
    const auto is = s.number(End::rear, P::axle_position),
               was = described.number(End::rear, P::axle_position);
    return *bike.geometry.swingarm + mm(is && was ? *is - *was : 0.0);
}

Radii radii_of(const BikeBody& bike, const SetUp& setup, const SetUp& described) {
    return {radius_of(*bike.geometry.rear_wheel_radius, described, setup, End::rear),
            radius_of(*bike.geometry.front_wheel_radius, described, setup, End::front)};
}

std::optional<Error> heights_lost(const BikeBody& bike, End end, const SetUp& setup) {
    if (!moved_since_read(setup, end)) return std::nullopt;
    const auto stands = stance_of(bike, end, setup);
    return stands ? std::nullopt : std::optional(stands.error());
}

EndHeights heights_of(const BikeBody& bike, End end, const SetUp& setup) {
    const auto stands = stance_of(bike, end, setup);
    if (!stands && moved_since_read(setup, end)) return {};
    const Stance moved = stands ? *stands : Stance{};
    const auto or_read = [&](const std::optional<Length>& h, P point) {
        return h ? h : setup.length(end, point);
    };
    return {or_read(moved.topped_out, P::ride_height_topped_out),
            or_read(moved.static_, P::ride_height_static), or_read(moved.rider, P::ride_height_rider)};
}

bool cannot_be_set(const BikeBody& bike, const SetUp& setup) {
    for (const End end : {End::rear, End::front})
        if (const auto why = heights_lost(bike, end, setup); why && why->code != ErrorCode::missing)
            return true;
    return false;
}

SetUp as_it_stands(const BikeBody& bike, const SetUp& setup) {
    SetUp out = setup;
    for (const End end : {End::rear, End::front}) {
        const auto of_end = [end](Place place) { return place.first == end; };
        if (std::none_of(setup.stale.begin(), setup.stale.end(), of_end)) continue;
        const EndHeights stands = heights_of(bike, end, setup);
        for (std::size_t i = 0; i < ride_heights.size(); ++i) {
            const Place place{end, ride_heights[i]};
            if (!setup.stale.contains(place)) continue;
            if (stands[i])
                out.values[place] = computed(ride_heights[i], *stands[i]);
            else
                out.values.erase(place);
        }
    }
    out.stale.clear();
    out.read_with = out.values;
    return out;
}

std::optional<Attitude> Chassis::in(State state) const {
    const auto& pose = poses[static_cast<std::size_t>(state)];
    return pose ? std::optional(attitude(bike, *pose, radii)) : std::nullopt;
}

namespace {

// The droops of the arm need no front heights, and the chain needs only the droops.
Result<Chassis> chassis_as_known(const BikeBody& bike, const SetUp& setup, const SetUp& described) {
    const Geometry& g = bike.geometry;
    for (const auto& [known, key] : {std::pair{g.swingarm.has_value(), "swingarm"},
                                     {g.wheelbase.has_value(), "wheelbase"},
                                     {g.rake.has_value(), "rake"},
                                     {g.offset.has_value(), "offset"},
                                     {g.pivot_height.has_value(), "pivot_height"},
                                     {g.rear_wheel_radius.has_value(), "rear_wheel_radius"},
                                     {g.front_wheel_radius.has_value(), "front_wheel_radius"}})
        if (!known) return lacks_number(key);
    const Radii then{*g.rear_wheel_radius, *g.front_wheel_radius};
    const auto at = placed({.rake = *g.rake,
                            .wheelbase = *g.wheelbase,
                            .offset = *g.offset,
                            .pivot_height = *g.pivot_height,
                            .arm = *g.swingarm,
                            .radii = then,
                            .fork_length = fork_as_it_stood});
    if (!at) return at.error();
    constexpr auto alone = static_cast<std::size_t>(State::static_);
    const auto rear = heights_of(bike, End::rear, described)[alone],
               front = heights_of(bike, End::front, described)[alone];
    if (!rear) return lacks(P::ride_height_static, End::rear);
    const auto ratio = front_ratio(bike);

    Chassis out;
    out.bike.arm = arm_of(bike, setup, described);
    out.bike.geometry = at->geometry;
    out.bike.fork.length = fork_as_it_stood;
    out.radii = radii_of(bike, setup, described);
    out.bike.rear.radius = out.radii.rear;
    out.bike.front.radius = out.radii.front;
    const EndHeights at_rear = heights_of(bike, End::rear, setup),
                     at_front = heights_of(bike, End::front, setup);
    for (std::size_t i = 0; i < out.poses.size(); ++i) {
        if (at_rear[i]) out.droops[i] = droop_at(bike, at->pose.droop, out.bike.arm, *at_rear[i] - *rear);
        if (out.droops[i] && at_front[i] && front && ratio)
            out.poses[i] = Pose{*out.droops[i], (*front - *at_front[i]) / *ratio};
    }
    return out;
}

// The rear end with its linkage, as far as its travel table needs it.
Result<WholeBike> rear_end_of(const BikeBody& bike, const SetUp& setup, const SetUp& described) {
    if (!bike.mechanism.linkage) return lacks_number("linkage");
    if (!bike.geometry.swingarm) return lacks_number("swingarm");
    for (const P point : {P::eye_to_eye, P::travel, P::spring_rate})
        if (!setup.number(End::rear, point)) return lacks(point, End::rear);
    if (!preload_of([&](P point) { return setup.number(End::rear, point); }))
        return lacks(P::spring_installed_length, End::rear);
    WholeBike whole;
    whole.arm = arm_of(bike, setup, described);
    whole.linkage = linkage_with(*bike.mechanism.linkage, setup.length(End::rear, P::link_rod));
    whole.shock = fitted_unit(End::rear, [&](P point) { return setup.number(End::rear, point); });
    whole.shock.length = mm(*setup.number(End::rear, P::eye_to_eye));
    whole.shock = at_stop(whole.shock);
    return whole;
}

// The droop at full travel. It is known with a linkage; without one the arm is assumed to end level (0°).
Angle full_of(const BikeBody& bike, const SetUp& setup, const SetUp& described, Angle top) {
    const auto rear = rear_end_of(bike, setup, described);
    const auto full = rear ? full_droop(*rear) : Result<Angle>(rear.error());
    return std::min(top, full.value_or(degrees(0)));
}

}  // namespace

Result<Chassis> chassis_of(const BikeBody& bike, const SetUp& setup, const SetUp& described) {
    auto chassis = chassis_as_known(bike, setup, described);
    if (chassis && !heights_of(bike, End::front, described)[static_cast<std::size_t>(State::static_)])
        return lacks(P::ride_height_static, End::front);
    return chassis;
}

Result<ChainNow> chain_of(const BikeBody& bike, const SetUp& setup, const SetUp& described) {
    return chain_of(bike, setup, described, slack_read(bike, setup));
}

Result<ChainNow> chain_of(const BikeBody& bike, const SetUp& setup, const SetUp& described,
                          const SetUp& slack_read) {
    if (!bike.mechanism.front_sprocket) return lacks_number("front_sprocket");
    const auto now = chassis_as_known(bike, setup, described),
               then = chassis_as_known(bike, slack_read, described);
    if (!now) return now.error();
    if (!then) return then.error();
    const bool hangs = bike.how_read.stand() == Stand::hanging;
    const std::size_t read_in = hangs ? 0 : static_cast<std::size_t>(State::static_);
    const auto &top = now->droops[0], &stand = now->droops[read_in], &stand_then = then->droops[read_in];
    if (!top) return lacks(P::ride_height_topped_out, End::rear);
    if (!stand || !stand_then) return lacks(ride_heights[read_in], End::rear);
    for (const P point : {P::sprocket_front, P::sprocket_rear, P::chain_links, P::chain_slack})
        if (!slack_read.number(End::rear, point)) return lacks(point, End::rear);
    const auto count = [](const SetUp& s, P point) {
        return static_cast<int>(std::lround(s.number(End::rear, point).value_or(0)));
    };
    const auto teeth = [&](const SetUp& s) {
        return Sprockets{count(s, P::sprocket_front), count(s, P::sprocket_rear)};
    };
    const Length pitch = bike.mechanism.pitch();
    ChainRun run{
        *bike.mechanism.front_sprocket, teeth(slack_read), pitch, count(slack_read, P::chain_links), {}};
    run.length = pitch * run.links;
    if (const auto sizes = check_sizes(run); !sizes) return sizes.error();
    run = calibrated(run, then->bike.arm, *stand_then, mm(*slack_read.number(End::rear, P::chain_slack)));
    if (!may_be_so_long(run))
        return Error{ErrorCode::contradiction, "chain_links",
                     print_fixed(run.length / run.pitch, 1) + " links of " + print_in(pitch.value, Unit::mm) +
                         " by its slack and the sprockets' places"};
    ChainNow out{
        refitted(run, teeth(setup), count(setup, P::chain_links)), now->bike.arm, *top, *top, *stand, {}, {}};
    if (const auto sizes = check_sizes(out.run); !sizes) return sizes.error();
    out.full = full_of(bike, setup, described, *top);
    out.on_stand = slack_at(out.run, out.arm, out.stand);
    out.tight = slack_at(out.run, out.arm, tightest_droop(out.run, out.full, out.top));
    return out;
}

bool slack_moved(const BikeBody& bike, const SetUp& setup) {
    if (!setup.at_slack) return false;
    const SetUp& read = *setup.at_slack;
    const Stand stand = bike.how_read.stand();
    return std::any_of(read.values.begin(), read.values.end(), [&](const auto& one) {
        const auto& [place, was] = one;
        const StoredReading* is = setup.stored(place.first, place.second);
        return place.first == End::rear && moved_by(place.second, stand).slack &&
               !(is && same_value(was.reading, is->reading));
    });
}

const SetUp& slack_read(const BikeBody& bike, const SetUp& setup) {
    return slack_moved(bike, setup) ? *setup.at_slack : setup;
}

SetUp expected(const BikeBody& bike, const SetUp& setup, const SetUp& described) {
    SetUp stands = as_it_stands(bike, setup);
    if (!slack_moved(bike, setup)) return stands;
    const Place slack{End::rear, P::chain_slack};
    if (const auto chain = chain_of(bike, setup, described))
        stands.values[slack] = computed(slack.second, chain->on_stand.slack);
    else
        stands.values.erase(slack);
    stands.at_slack.reset();
    return stands;
}

SetUp expected_now(const Ledger& ledger, const Bike& bike) {
    return expected_now(ledger, bike, setup_now(ledger, bike.id));
}

SetUp expected_now(const Ledger& ledger, const Bike& bike, const SetUp& now) {
    return expected(bike.body, now, setup_described(ledger, bike.id).value_or(now));
}

Result<Length> sprocket_to_axle(const BikeBody& bike, const SetUp& setup, const SetUp& described) {
    if (!bike.mechanism.front_sprocket) return lacks_number("front_sprocket");
    const auto chassis = chassis_as_known(bike, setup, described);
    if (!chassis) return chassis.error();
    const auto& top = chassis->droops[0];
    if (!top) return lacks(P::ride_height_topped_out, End::rear);
    ChainRun run;
    run.front_sprocket = *bike.mechanism.front_sprocket;
    return centre_distance(run, chassis->bike.arm, *top);
}

Result<Drive> drive_of(const BikeBody& bike, const SetUp& setup, const SetUp& described) {
    Drive out;
    out.primary = bike.gearbox.primary.value_or(0.0);
    out.gears = gears_in_order(bike.gearbox.gears);
    if (!sensible_ratio(out.primary)) return lacks_number("primary");
    if (out.gears.empty()) return lacks_number("gear_1");
    for (const auto& [point, teeth] :
         {std::pair{P::sprocket_front, &out.sprockets.front}, {P::sprocket_rear, &out.sprockets.rear}}) {
        const auto read = setup.number(End::rear, point);
        if (!read || *read < 1) return lacks(point, End::rear);
        *teeth = static_cast<int>(std::lround(*read));
    }
    const auto rolls = [](const SetUp& s) { return s.length(End::rear, P::rolling_circumference); };
    if (const auto now = rolls(setup)) {
        out.rear_radius = *now / (2.0 * pi);
        return out;
    }
    const auto then = rolls(described);
    if (!then && !bike.geometry.rear_wheel_radius) return lacks_number("rear_wheel_radius");
    const Length was = then ? *then / (2.0 * pi) : *bike.geometry.rear_wheel_radius;
    out.rear_radius = radius_of(was, described, setup, End::rear);
    return out;
}

ArmEffect arm_effect(const BikeBody& bike, const SetUp& setup, const SetUp& described) {
    const StoredReading* axle = setup.stored(End::rear, P::axle_position);
    if (!axle) return {};
    SetUp moved = setup;
    moved.values[{End::rear, P::axle_position}] =
        computed(P::axle_position, mm(measured(axle->reading).value + 1.0));
    const auto is = chassis_of(bike, setup, described), back = chassis_of(bike, moved, described);
    if (!is || !back) return {};
    for (const State state : {State::rider, State::static_}) {
        const auto a = is->in(state), b = back->in(state);
        if (!a || !b) continue;
        const auto i = static_cast<std::size_t>(state);
        const auto from = heights_of(bike, End::rear, setup)[i], to = heights_of(bike, End::rear, moved)[i];
        return {in_mm(b->wheelbase - a->wheelbase), from && to ? in_mm(*to - *from) : 0.0,
                in_degrees(b->arm_to_ground - a->arm_to_ground)};
    }
    return {};
}

Result<std::vector<TravelRow>> travel_of(const BikeBody& bike, const SetUp& setup, const SetUp& described) {
    const auto rear = rear_end_of(bike, setup, described);
    return rear ? travel_table(*rear, mm(5)) : rear.error();
}

}  // namespace restand
