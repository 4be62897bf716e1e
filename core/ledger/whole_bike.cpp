#include "core/ledger/whole_bike.h"

#include <algorithm>
#include <cmath>

#include "core/ledger/fitted_unit.h"
#include "core/ledger/map_of.h"
#include "core/quantity/unit.h"

namespace restand {
namespace {

using P = Point;

NumberAt numbers_of(const SetUp& setup, End end) {
    return [&setup, end](P point) { return setup.number(end, point); };
}

Outcome has(const SetUp& setup, End end, std::initializer_list<P> points) {
    for (const P point : points)
        if (!setup.stored(end, point)) return lacks(point, end);
    return Done{};
}

// Everything that a swap may change.
Outcome fit_changeable_parts(WholeBike& out, const BikeBody& bike, const SetUp& setup,
                             const SetUp& described) {
    if (const auto all = has(setup, End::rear, {P::eye_to_eye, P::spring_rate}); !all) return all;
    if (const auto all = has(setup, End::front, {P::fork_position, P::spring_rate}); !all) return all;
    for (const End end : {End::rear, End::front})
        if (!preload_of(numbers_of(setup, end))) return lacks(P::spring_installed_length, end);
    const NumberAt front = numbers_of(setup, End::front);
    out.shock = fitted_unit(End::rear, numbers_of(setup, End::rear));
    out.shock.length = *setup.length(End::rear, P::eye_to_eye);
    out.fork = fitted_unit(End::front, front);
    out.shock.gas.chamber = reservoir(numbers_of(setup, End::rear));
    out.fork.length = setup.length(End::front, P::fork_length).value_or(usual_fork_length);
    out.fork.gas.chamber = fork_air(front);
    // Read unloaded; on a top-out spring that is not at the stop.
    out.shock = at_stop(out.shock);
    out.fork = at_stop(out.fork);
    out.fork_position = *setup.length(End::front, P::fork_position);
    out.linkage = linkage_with(out.linkage, setup.length(End::rear, P::link_rod));
    out.arm = arm_of(bike, setup, described);
    const Radii radii = radii_of(bike, setup, described);
    out.rear.radius = radii.rear;
    out.front.radius = radii.front;
    return Done{};
}

PlanePoint turned_by(Angle angle, const PlanePoint& p) {
    const double c = cos(angle), s = sin(angle);
    return {p.x * c - p.z * s, p.x * s + p.z * c};
}

// All points on the frame turned about the pivot: then l(droop + by) is what l(droop) was.
Linkage turned_frame(Linkage linkage, Angle by) {
    const auto turn = [by](Pin& pin) {
        if (pin.on == Carrier::frame) pin.at = turned_by(by, pin.at);
    };
    turn(linkage.unit_end);
    if (linkage.rocker) {
        turn(linkage.rocker->pivot);
        turn(linkage.rocker->rod_end);
    } else {
        turn(linkage.direct);
    }
    return linkage;
}

// The head point where the fork's own length puts it, as the bike stands described. chassis_of() puts it
// anywhere on the steering axis.
Result<PlanePoint> head_of(const Chassis& chassis, const BikeBody& bike, const SetUp& described) {
    const auto heights = heights_of(bike, End::front, described);
    const auto top = heights[static_cast<std::size_t>(State::topped_out)],
               alone = heights[static_cast<std::size_t>(State::static_)];
    const auto position = described.length(End::front, P::fork_position);
    if (!top) return lacks(P::ride_height_topped_out, End::front);
    if (!alone) return lacks(P::ride_height_static, End::front);
    if (!position) return lacks(P::fork_position, End::front);
    const Length length = described.length(End::front, P::fork_length).value_or(usual_fork_length);
    const Length up = length - *position - (*top - *alone) / *front_ratio(bike) - chassis.bike.fork.length;
    const FrontGeometry& g = chassis.bike.geometry;
    return PlanePoint{g.head.x - up * sin(g.axis), g.head.z + up * cos(g.axis)};
}

// What an end carries at a droop and a fork travel; a reading may be a little above topped out.
Result<EndLoads> weighed_at(const WholeBike& bike, Angle droop, Length fork_travel) {
    const auto place = place_at(bike.linkage, droop);
    if (!place)
        return Error{ErrorCode::no_solution, "linkage", "it does not reach a ride height that was read"};
    const auto pushed = [](const SuspensionUnit& unit, Length travel) {
        return unit_force(unit, std::max(mm(0), travel));
    };
    const double per_rise = place->slope / (bike.arm.value * cos(droop));
    return EndLoads{pushed(bike.shock, bike.shock.length - place->length) * per_rise,
                    pushed(bike.fork, fork_travel)};
}

// Degrees. Tape and points measured with care agree to some tenths; beyond this one of them is wrong.
constexpr double most_apart = 3.0;

Error disagree(Angle by_heights, Angle by_linkage) {
    const auto degrees_of = [](Angle a) { return print_fixed(in_degrees(a), 1) + " deg"; };
    return {ErrorCode::contradiction, "pivot_height",
            "linkage; the hanging arm droops by " + degrees_of(by_heights) + " by its heights and by " +
                degrees_of(by_linkage) + " by the linkage's points"};
}

}  // namespace

void share_fork_length(std::initializer_list<SetUp*> setups) {
    constexpr Place length{End::front, P::fork_length};
    const auto known = std::find_if(setups.begin(), setups.end(),
                                    [&](const SetUp* setup) { return setup->values.contains(length); });
    if (known == setups.end()) return;
    for (SetUp* setup : setups) setup->values.insert({length, (*known)->values.at(length)});
}

Result<WholeBike> whole_bike(const BikeBody& bike, SetUp setup, SetUp described) {
    share_fork_length({&setup, &described});
    if (!bike.mechanism.linkage) return Error{ErrorCode::missing, "linkage", "bike"};
    // Its ratio divides heights below.
    if (const auto front = map_of(bike, End::front); !front && bike.front.leverage) return front.error();
    const auto chassis = chassis_of(bike, setup, described);
    if (!chassis) return chassis.error();
    const auto& hanging = chassis->droops[static_cast<std::size_t>(State::topped_out)];
    if (!hanging) return lacks(P::ride_height_topped_out, End::rear);
    const auto fork_top = heights_of(bike, End::front, setup)[static_cast<std::size_t>(State::topped_out)];
    if (!fork_top) return lacks(P::ride_height_topped_out, End::front);
    const auto head = head_of(*chassis, bike, described);
    if (!head) return head.error();

    WholeBike out = chassis->bike;
    out.geometry.head = *head;
    out.linkage = *bike.mechanism.linkage;
    if (const auto fits = fit_changeable_parts(out, bike, setup, described); !fits) return fits.error();
    const auto map = LinkageMap::of(out.linkage);
    if (!map) return map.error();
    const auto by_linkage = map->droop_at(out.shock.length);
    if (!by_linkage) return by_linkage.error();
    const Angle apart = *hanging - *by_linkage;
    if (!(std::fabs(in_degrees(apart)) <= most_apart)) return disagree(*hanging, *by_linkage);
    out.linkage = turned_frame(out.linkage, apart);
    if (const auto chain = chain_of(bike, setup, described)) out.chain = chain->run;

    const EndHeights front = heights_of(bike, End::front, setup);
    for (const auto& [state, loads] :
         {std::pair{State::static_, &out.carried.alone}, {State::rider, &out.carried.with_rider}}) {
        const auto i = static_cast<std::size_t>(state);
        if (!chassis->droops[i] || !front[i]) continue;
        const auto weighed =
            weighed_at(out, *chassis->droops[i], (*fork_top - *front[i]) / *front_ratio(bike));
        if (!weighed) return weighed.error();
        *loads = *weighed;
    }
    return out;
}

Result<WholeBike> fitted_with(const WholeBike& was, const BikeBody& bike, const SetUp& now,
                              const SetUp& described) {
    WholeBike out = was;
    if (const auto fits = fit_changeable_parts(out, bike, now, described); !fits) return fits.error();
    if (!was.fork.gas.chamber) out.fork.gas.chamber.reset();
    if (!was.chain) return out;
    const auto count = [&now](P point) {
        return static_cast<int>(std::lround(now.number(End::rear, point).value_or(0.0)));
    };
    out.chain =
        refitted(*was.chain, {count(P::sprocket_front), count(P::sprocket_rear)}, count(P::chain_links));
    if (const auto sizes = check_sizes(*out.chain); !sizes) return sizes.error();
    return out;
}

}  // namespace restand
