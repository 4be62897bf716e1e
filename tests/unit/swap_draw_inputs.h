#pragma once
// Inputs of a swap at the rear of an invented bike, for Monte Carlo: a shock with another spring, and heights
// at which the old one carries the bike.

#include <limits>

#include "core/machine/height_map.h"
#include "core/restore/swap_draws.h"
#include "tests/unit/random_bike.h"

namespace restand::test {

inline DrawInputs swap_draw_inputs(const WholeBike& b, RandomBikes& random) {
    const HeightMap map = HeightMap::linkage(LinkageMap::of(b.linkage).value(), b.arm).value();
    const Length l = b.shock.length;
    const auto height = [&](double travel) { return in_mm(map.at(l - mm(travel)).value().height) + 7; };
    const double still = random.between(5, 8), rider = random.between(15, 20);
    const double longer = random.between(-3, 3), stiffer = random.between(0.95, 1.1);
    const double raise = random.between(-1, 1);
    const auto rocker = b.linkage.rocker.value_or(Rocker{});
    return {in_mm(l),
            b.shock.spring.rate.value,
            in_mm(b.shock.spring.free_length),
            in_mm(b.shock.installed_length),
            b.shock.gas.topped_out.value,
            in_mm(l) + longer,
            b.shock.spring.rate.value * stiffer,
            in_mm(b.shock.spring.free_length) - 2,
            b.shock.gas.topped_out.value + 30,
            height(0),
            height(still),
            height(rider),
            raise,
            1.0,
            in_mm(b.arm),
            in_mm(rocker.rod),
            in_mm(rocker.pivot_to_rod),
            in_mm(rocker.pivot_to_unit),
            in_mm(b.linkage.unit_end.at.x),
            in_mm(b.linkage.unit_end.at.z)};
}

// `u` of every input; of the load's scale a hundredth of it.
inline std::vector<Input> with_spread(const DrawInputs& nominal, double u) {
    std::vector<Input> inputs;
    for (std::size_t i = 0; i < nominal.size(); ++i)
        inputs.push_back({"", nominal[i], i == std::size_t(DrawInput::load_scale) ? 0.01 * u : u,
                          std::numeric_limits<double>::infinity()});
    return inputs;
}

}  // namespace restand::test
