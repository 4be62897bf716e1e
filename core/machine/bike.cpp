#include "core/machine/bike.h"

#include <cmath>

namespace restand {

std::string_view key(Adjustable adjustable) {
    constexpr std::string_view keys[] = {
        "shock_length", "shock_installed", "fork_installed", "fork_position", "axle_position", "rod",
        "rear_radius",  "front_radius",    "front_teeth",    "rear_teeth",    "links"};
    static_assert(std::size(keys) == adjustable_count);
    return keys[static_cast<int>(adjustable)];
}

bool is_counted(Adjustable adjustable) {
    return adjustable == Adjustable::front_teeth || adjustable == Adjustable::rear_teeth ||
           adjustable == Adjustable::links;
}

bool moves_chain(Adjustable adjustable) {
    return adjustable == Adjustable::arm || is_counted(adjustable);
}

namespace {

// Pointer to the length of an adjustable, for const and non-const bikes. nullptr: it is a count, or the bike
// does not have it.
template <class Bike>
auto length_field(Bike& bike, Adjustable adjustable) -> decltype(&bike.arm) {
    switch (adjustable) {
        case Adjustable::shock_length:
            return &bike.shock.length;
        case Adjustable::shock_installed:
            return &bike.shock.installed_length;
        case Adjustable::fork_installed:
            return &bike.fork.installed_length;
        case Adjustable::fork_position:
            return &bike.fork_position;
        case Adjustable::arm:
            return &bike.arm;
        case Adjustable::rod:
            return bike.linkage.rocker ? &bike.linkage.rocker->rod : nullptr;
        case Adjustable::rear_radius:
            return &bike.rear.radius;
        case Adjustable::front_radius:
            return &bike.front.radius;
        case Adjustable::front_teeth:
        case Adjustable::rear_teeth:
        case Adjustable::links:
            return nullptr;
    }
    return nullptr;
}

}  // namespace

double value(const WholeBike& bike, Adjustable adjustable) {
    if (const Length* length = length_field(bike, adjustable)) return length->value;
    if (!bike.chain || !is_counted(adjustable)) return 0.0;
    if (adjustable == Adjustable::links) return bike.chain->links;
    return adjustable == Adjustable::front_teeth ? bike.chain->sprockets.front : bike.chain->sprockets.rear;
}

void put(WholeBike& bike, Adjustable adjustable, double v) {
    if (Length* length = length_field(bike, adjustable)) *length = mm(v);
    if (!bike.chain || !is_counted(adjustable)) return;
    const int count = static_cast<int>(std::lround(v));
    ChainRun& run = *bike.chain;
    if (adjustable == Adjustable::links)
        run = refitted(run, run.sprockets, count);
    else
        (adjustable == Adjustable::front_teeth ? run.sprockets.front : run.sprockets.rear) = count;
}

}  // namespace restand
