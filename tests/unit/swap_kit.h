#pragma once
// A whole bike with a mechanic's readings, for tests of swaps and of the restore plan: heights perpendicular
// to the frame, every number exact to a millionth of a millimetre, the front on a leverage map.

#include <doctest/doctest.h>

#include "core/ledger/swap_solution.h"
#include "tests/unit/ledger_kit.h"
#include "tests/unit/random_bike.h"

namespace restand::test {

inline StoredReading taken(Point point, double value) {
    return {reading(point, std::to_string(value)), {}, {}, {1000, 0}, {}, false};
}

inline void put(SetUp& setup, End end, Point point, double value) {
    setup.values[{end, point}] = taken(point, value);
}

// With the arm level, the rear mark is 300 mm above the axle.
inline double height(const WholeBike& b, Angle droop) {
    return 300 + in_mm(b.arm) * sin(droop);
}

// The rear end as it stands alone and with its rider.
inline SetUp rear_of(const WholeBike& b) {
    using P = Point;
    const auto alone = standing(b, Rider::off), rider = standing(b, Rider::on);
    REQUIRE((alone && rider));
    SetUp s;
    const Angle top = LinkageMap::of(b.linkage)->droop_at(b.shock.length).value();
    for (const auto& [point, value] : {std::pair{P::ride_height_topped_out, height(b, top)},
                                       {P::ride_height_static, height(b, alone->pose.droop)},
                                       {P::ride_height_rider, height(b, rider->pose.droop)},
                                       {P::eye_to_eye, in_mm(b.shock.length)},
                                       {P::spring_rate, b.shock.spring.rate.value},
                                       {P::spring_free_length, in_mm(b.shock.spring.free_length)},
                                       {P::spring_installed_length, in_mm(b.shock.installed_length)},
                                       {P::gas_force, b.shock.gas.topped_out.value}})
        put(s, End::rear, point, value);
    s.read_with = s.values;
    return s;
}

struct Known {
    BikeBody body;
    SetUp stood;
    Swap swap;
    SwapSite site() const { return {body, swap, stood, stood}; }
    Known& has(End end, Point point, double value) {
        put(stood, end, point, value);
        stood.read_with[{end, point}] = stood.values[{end, point}];
        return *this;
    }
    Known& read(Phase phase, End end, Point point, double value) {
        swap.stored_readings[{phase, end, point}] = {taken(point, value)};
        return *this;
    }
};

// Rear: everything. Front: a leverage map, for which only differences count.
inline Known known(const WholeBike& b, std::vector<SwapPart> parts) {
    using P = Point;
    const auto alone = standing(b, Rider::off);
    REQUIRE(alone.has_value());
    const Attitude& a = alone->attitude;
    Known k;
    k.swap.parts = tidy(std::move(parts));
    k.body.geometry = {b.arm,          a.wheelbase, b.rear.radius, b.front.radius, b.geometry.offset,
                       a.pivot_height, a.rake};
    k.body.mechanism.linkage = b.linkage;
    k.body.front.leverage = 0.9;
    k.stood = rear_of(b);
    k.has(End::rear, P::length_mm_per_turn, 1.0);
    k.has(End::front, P::ride_height_topped_out, 620).has(End::front, P::ride_height_static, 600);
    k.has(End::front, P::ride_height_rider, 580).has(End::front, P::fork_position, 6);
    k.has(End::front, P::spring_rate, 9.5).has(End::front, P::spring_free_length, 255);
    k.has(End::front, P::spring_installed_length, 240).has(End::front, P::travel, 120);
    // The swap needs its own readings of the heights; here they equal the earlier ones.
    for (const End end : ends_of(k.swap))
        for (const Asked& asked_for : asked(k.swap, Phase::before))
            if (const StoredReading* stands = k.stood.stored(end, asked_for.point);
                stands && asked_for.end == end)
                k.swap.stored_readings[{Phase::before, end, asked_for.point}] = {*stands};
    return k;
}

// The same with a chain and a slot of 60 mm, the axle at its middle.
inline Known with_chain(const WholeBike& b, std::vector<SwapPart> parts) {
    using P = Point;
    Known k = known(b, std::move(parts));
    k.body.mechanism.front_sprocket = b.chain->front_sprocket;
    k.body.mechanism.slot_length = mm(60);
    k.read(Phase::before, End::rear, P::chain_slack, 75).read(Phase::before, End::rear, P::axle_position, 30);
    k.read(Phase::before, End::rear, P::sprocket_front, b.chain->sprockets.front);
    k.read(Phase::before, End::rear, P::sprocket_rear, b.chain->sprockets.rear);
    k.read(Phase::before, End::rear, P::chain_links, b.chain->links);
    return k;
}

inline WholeBike with_rocker(RandomBikes& random) {
    for (;;) {
        WholeBike b = random.bike();
        if (b.linkage.rocker) return b;
    }
}

}  // namespace restand::test
