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

double value(const WholeBike& bike, Knob knob) {
    switch (knob) {
        case Knob::shock_length:
            return bike.shock.length.value;
        case Knob::shock_installed:
            return bike.shock.installed_length.value;
        case Knob::fork_installed:
            return bike.fork.installed_length.value;
        case Knob::fork_position:
            return bike.fork_position.value;
        case Knob::arm:
            return bike.arm.value;
        case Knob::rod:
            return bike.linkage.rocker ? bike.linkage.rocker->rod.value : 0.0;
        case Knob::rear_radius:
            return bike.rear.radius.value;
        case Knob::front_radius:
            return bike.front.radius.value;
        case Knob::front_teeth:
            return bike.chain ? bike.chain->sprockets.front : 0.0;
        case Knob::rear_teeth:
            return bike.chain ? bike.chain->sprockets.rear : 0.0;
        case Knob::links:
            return bike.chain ? bike.chain->links : 0.0;
    }
    return 0.0;
}

void put(WholeBike& bike, Knob knob, double v) {
    switch (knob) {
        case Knob::shock_length:
            bike.shock.length = mm(v);
            break;
        case Knob::shock_installed:
            bike.shock.installed_length = mm(v);
            break;
        case Knob::fork_installed:
            bike.fork.installed_length = mm(v);
            break;
        case Knob::fork_position:
            bike.fork_position = mm(v);
            break;
        case Knob::arm:
            bike.arm = mm(v);
            break;
        case Knob::rod:
            if (bike.linkage.rocker) bike.linkage.rocker->rod = mm(v);
            break;
        case Knob::rear_radius:
            bike.rear.radius = mm(v);
            break;
        case Knob::front_radius:
            bike.front.radius = mm(v);
            break;
        case Knob::front_teeth:
            if (bike.chain) bike.chain->sprockets.front = static_cast<int>(std::lround(v));
            break;
        case Knob::rear_teeth:
            if (bike.chain) bike.chain->sprockets.rear = static_cast<int>(std::lround(v));
            break;
        case Knob::links:
            if (bike.chain)
                *bike.chain = refitted(*bike.chain, bike.chain->sprockets, static_cast<int>(std::lround(v)));
            break;
    }
}

}  // namespace restand
