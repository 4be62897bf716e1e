#pragma once
// Swap cases for tests and benchmarks: the one of core/casefile/case.md, and random ones that a workshop
// could have.

#include <cmath>
#include <random>

#include "core/restore/restore.h"

namespace restand::test {

inline SwapCase example_swap() {
    SwapCase swap{
        .map = *HeightMap::leverage(2.05), .before = {}, .new_unit = {}, .length = {}, .installed = {}};
    SuspensionUnit& old_unit = swap.before.unit;
    old_unit.length = mm(310);
    old_unit.spring = {newton_per_mm(95), mm(160), {}};
    old_unit.installed_length = mm(150);
    old_unit.gas.topped_out = newton(150);
    swap.before.topped_out = mm(500.0);
    swap.before.static_ = mm(490.3);
    swap.before.rider = mm(469.8);
    SuspensionUnit& fresh = swap.new_unit;
    fresh.length = mm(305);
    fresh.travel = mm(66);
    fresh.spring = {newton_per_mm(100), mm(155), mm(72)};
    fresh.installed_length = mm(148);
    fresh.gas.topped_out = newton(420);
    swap.length = {.min = mm(300), .max = mm(316), .now = mm(305), .per_turn = mm(1.25), .detent = {}};
    swap.installed = {.min = mm(1), .max = mm(2000), .now = mm(148), .per_turn = mm(1.5), .detent = {}};
    return swap;
}

// The same numbers on every machine. The standard fixes its engine, but not its distributions.
class Random {
public:
    explicit Random(std::uint64_t seed) : engine_(seed) {}
    double between(double low, double high) {
        return low + (high - low) * (static_cast<double>(engine_() >> 11) * 0x1p-53);
    }
    bool one_in(int n) { return engine_() % static_cast<unsigned>(n) == 0; }

private:
    std::mt19937_64 engine_;
};

// One ratio, or 8–20 unevenly spaced pairs of a leverage that changes by up to a quarter over the travel.
inline HeightMap random_map(Random& random, double longest) {
    const double ratio = random.between(0.9, 3.2);
    if (random.one_in(2)) return *HeightMap::leverage(ratio);
    const double change = random.between(-0.25, 0.25) / 90.0;
    const int n = 8 + static_cast<int>(random.between(0, 13));
    std::vector<std::pair<Length, Length>> pairs;
    for (int i = 0; i < n; ++i) {
        const double d = 110.0 * (i + random.between(-0.3, 0.3)) / (n - 1) - 90.0;
        pairs.emplace_back(mm(longest + d), mm(400.0 + ratio * (d + 0.5 * change * d * d)));
    }
    return *HeightMap::pairs(pairs);
}

// A swap with linear springs and constant gas, which the closed form covers. `room`: travel of the length
// adjuster to either side of the old length.
inline SwapCase random_swap(Random& random, double room) {
    const double length = random.between(280, 350), legs = random.one_in(4) ? 2 : 1;
    SwapCase swap{
        .map = random_map(random, length), .before = {}, .new_unit = {}, .length = {}, .installed = {}};
    SuspensionUnit& old_unit = swap.before.unit;
    old_unit.length = mm(length);
    old_unit.legs = static_cast<int>(legs);
    old_unit.spring = {newton_per_mm(random.between(60, 130) / legs), mm(random.between(140, 180)), {}};
    old_unit.installed_length = old_unit.spring.free_length - mm(random.between(2, 20));
    old_unit.gas.topped_out = newton(random.between(0, 400));
    const double topped_out = random.between(350, 600);
    const HeightMap map = *swap.map.anchored(mm(length), mm(topped_out));
    const double rider = random.between(6, 35);
    swap.before.topped_out = mm(topped_out);
    swap.before.rider = map.at(mm(length - rider))->height;
    if (!random.one_in(3))
        swap.before.static_ = map.at(mm(length - rider * random.between(0.1, 0.6)))->height;

    SuspensionUnit& fresh = swap.new_unit;
    fresh.legs = old_unit.legs;
    fresh.spring = {newton_per_mm(random.between(60, 140) / legs), mm(random.between(140, 190)), {}};
    fresh.gas.topped_out = newton(random.between(0, 500));
    const double low = length - random.between(0.1, room), high = length + random.between(-0.5 * room, room);
    swap.length = {.min = mm(std::min(low, high - 0.1)),
                   .max = mm(high),
                   .now = mm(high - 0.05),
                   .per_turn = mm(random.between(0.8, 2.0)),
                   .detent = {}};
    const Length now = fresh.spring.free_length - mm(random.between(0, 15));
    swap.installed = {.min = mm(40), .max = mm(400), .now = now, .per_turn = mm(1.5), .detent = {}};
    fresh.length = swap.length.now;
    fresh.installed_length = now;
    swap.load_scale = random.one_in(4) ? random.between(0.9, 1.1) : 1.0;
    return swap;
}

}  // namespace restand::test
