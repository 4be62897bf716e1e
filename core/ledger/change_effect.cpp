#include "core/ledger/change_effect.h"

#include <algorithm>

namespace restand {
namespace {

// What is known on one side only may have been so all the time.
bool differs(const StoredReading* was, const StoredReading* is) {
    return was && is && !same_value(was->reading, is->reading);
}

// The earlier set-up with only these points as the later one has them.
SetUp with_only(SetUp setup, const SetUp& is, const ChangeEffect& change) {
    for (const Point point : change.points) {
        const Place place{is_of_bike(point) ? End::rear : change.end, point};
        setup.values[place] = is.values.at(place);
    }
    return setup;
}

void put_attitude(const Result<Chassis>& was, const Result<Chassis>& alone, ChangeEffect& change) {
    if (!was || !alone) return;
    for (const State state : {State::rider, State::static_}) {
        const auto from = was->in(state), to = alone->in(state);
        if (!from || !to) continue;
        change.rake = to->rake - from->rake;
        change.arm = to->arm_to_ground - from->arm_to_ground;
        change.trail = to->trail - from->trail;
        return;
    }
}

}  // namespace

bool is_only_read(Point point) {
    return is_ride_height(point) || goes_with_heights(point) || point == Point::ride_height_lifted ||
           point == Point::ride_height_pressed || point == Point::chain_slack ||
           point == Point::chain_gauge_length || point == Point::chain_gauge_links ||
           point == Point::tyre_pressure_hot;
}

ChangeOf change_of(Point point) {
    using enum Point;
    switch (point) {
        case eye_to_eye:
            return ChangeOf::length;
        case spring_rate:
        case spring_free_length:
        case spring_installed_length:
        case spring_block_length:
        case spring_preload:
        case preload_turns:
        case helper_rate:
        case end_rate:
        case rate_rises_from:
        case rate_rises_to:
        case helper_free_length:
        case helper_block_length:
        case other_leg_rate:
            return ChangeOf::spring;
        case gas_force:
        case rod_diameter:
        case gas_volume:
            return ChangeOf::gas;
        case fork_position:
        case fork_length:
            return ChangeOf::position;
        case link_rod:
            return ChangeOf::link_rod;
        case fork_oil_level:
        case fork_bore:
            return ChangeOf::oil;
        case axle_position:
        case sprocket_front:
        case sprocket_rear:
        case chain_links:
            return ChangeOf::chain;
        case tyre:
        case rolling_circumference:
            return ChangeOf::tyre;
        case fitted_mass:
        case fitted_mass_ahead:
            return ChangeOf::load;
        default:
            return is_inside(point) ? ChangeOf::inside : ChangeOf::others;
    }
}

std::vector<ChangeEffect> change_effects(const BikeBody& bike, const SetUp& was, const SetUp& is,
                                         const SetUp& described) {
    const SetUp before = as_it_stands(bike, was);
    std::vector<ChangeEffect> changes;
    for (const End end : {End::rear, End::front})
        for (const PointFacts& facts : all_points()) {
            // What is of the whole bike stands at the rear.
            if (is_only_read(facts.point) || (is_of_bike(facts.point) && end == End::front) ||
                !differs(before.stored(end, facts.point), is.stored(end, facts.point)))
                continue;
            const ChangeOf of = change_of(facts.point);
            auto one = std::find_if(changes.begin(), changes.end(),
                                    [&](const ChangeEffect& c) { return c.end == end && c.of == of; });
            if (one == changes.end())
                one = changes.insert(changes.end(), {end, of, {}, {end, {}, {}, {}, {}, {}}, {}, {}, {}});
            one->points.push_back(facts.point);
        }
    // Another tank moves both ends.
    for (std::size_t i = 0; i < changes.size(); ++i)
        if (changes[i].of == ChangeOf::load && changes[i].end == End::rear) {
            ChangeEffect front = changes[i];
            front.end = front.stance.end = End::front;
            changes.push_back(std::move(front));
        }
    const auto chassis = chassis_of(bike, before, described);
    for (ChangeEffect& change : changes) {
        const SetUp alone = with_only(before, is, change);
        if (const auto stance = stance_change(bike, change.end, before, alone)) change.stance = *stance;
        put_attitude(chassis, chassis_of(bike, alone, described), change);
    }
    return changes;
}

}  // namespace restand
