#include "core/machine/bike.h"

#include <cmath>

namespace restand {

std::string_view key(Knob knob) {
    constexpr std::string_view keys[] = {
        "shock_length", "shock_installed", "fork_installed", "fork_position", "axle_position", "rod",
        "rear_radius",  "front_radius",    "front_teeth",    "rear_teeth",    "links"};
    static_assert(std::size(keys) == knob_count);
    return keys[static_cast<int>(knob)];
}

bool is_counted(Knob knob) {
    return knob == Knob::front_teeth || knob == Knob::rear_teeth || knob == Knob::links;
}

bool moves_chain(Knob knob) {
    return knob == Knob::arm || is_counted(knob);
}

namespace {

// The length behind a knob, of a bike that may be changed or not; nullptr: it is counted, or the bike has none.
template <class Bike>
auto length_of(Bike& bike, Knob knob) -> decltype(&bike.arm) {
    switch (knob) {
        case Knob::shock_length:
            return &bike.shock.length;
        case Knob::shock_installed:
            return &bike.shock.installed_length;
        case Knob::fork_installed:
            return &bike.fork.installed_length;
        case Knob::fork_position:
            return &bike.fork_position;
        case Knob::arm:
            return &bike.arm;
        case Knob::rod:
            return bike.linkage.rocker ? &bike.linkage.rocker->rod : nullptr;
        case Knob::rear_radius:
            return &bike.rear.radius;
        case Knob::front_radius:
            return &bike.front.radius;
        case Knob::front_teeth:
        case Knob::rear_teeth:
        case Knob::links:
            return nullptr;
    }
    return nullptr;
}

}  // namespace

double value(const WholeBike& bike, Knob knob) {
    if (const Length* length = length_of(bike, knob)) return length->value;
    if (!bike.chain || !is_counted(knob)) return 0.0;
    if (knob == Knob::links) return bike.chain->links;
    return knob == Knob::front_teeth ? bike.chain->sprockets.front : bike.chain->sprockets.rear;
}

void put(WholeBike& bike, Knob knob, double v) {
    if (Length* length = length_of(bike, knob)) *length = mm(v);
    if (!bike.chain || !is_counted(knob)) return;
    const int count = static_cast<int>(std::lround(v));
    ChainRun& run = *bike.chain;
    if (knob == Knob::links)
        run = refitted(run, run.sprockets, count);
    else
        (knob == Knob::front_teeth ? run.sprockets.front : run.sprockets.rear) = count;
}

}  // namespace restand
