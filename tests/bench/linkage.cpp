// The linkage by itself and under one end: places one by one and at once, its map, a swap on that map.

#include "core/machine/height_map.h"
#include "core/machine/linkage_bulk.h"
#include "core/machine/linkage_kernel.h"
#include "core/restore/restore.h"
#include "tests/bench/bench.h"
#include "tests/unit/random_bike.h"

using namespace restand;

namespace {

constexpr int places = 1000;

// The rear of an invented bike, its heights by a spring that carries it, and another shock.
SwapCase swap_on(const WholeBike& bike, test::RandomBikes& random) {
    SwapCase swap{.map = bench::must(HeightMap::linkage(bench::must(LinkageMap::of(bike.linkage)), bike.arm)),
                  .before = {},
                  .new_unit = bike.shock,
                  .length = {},
                  .installed = {}};
    swap.before.unit = bike.shock;
    swap.before.topped_out = bench::must(swap.map.at(bike.shock.length)).height;
    swap.before.static_ = bench::must(swap.map.at(bike.shock.length - mm(random.between(5, 8)))).height;
    swap.before.rider = bench::must(swap.map.at(bike.shock.length - mm(random.between(15, 20)))).height;
    swap.new_unit.spring.rate = bike.shock.spring.rate * random.between(0.92, 1.1);
    swap.new_unit.length += mm(random.between(-3, 3));
    const Length l = swap.new_unit.length, i = swap.new_unit.installed_length;
    swap.length = {.min = l - mm(8), .max = l + mm(8), .now = l, .per_turn = mm(1.25), .detent = {}};
    swap.installed = {.min = mm(1), .max = mm(2000), .now = i, .per_turn = mm(1.5), .detent = {}};
    return swap;
}

}  // namespace

int main() {
    test::RandomBikes random(50);
    std::vector<WholeBike> bikes;
    std::vector<LinkageMap> maps;
    std::vector<SwapCase> swaps;
    for (int i = 0; i < 200; ++i) {
        bikes.push_back(random.bike());
        maps.push_back(bench::must(LinkageMap::of(bikes.back().linkage)));
        swaps.push_back(swap_on(bikes.back(), random));
    }
    double sum = 0.0;
    bool fine = bench::report(
        "1000 places, one by one",
        bench::times(1000,
                     [&](int i) {
                         const LinkageConstants& linkage = maps[std::size_t(i) % 200].constants();
                         for (int k = 0; k < places; ++k)
                             sum += place_at(linkage, radians(0.02 + 0.0002 * k))->slope;
                     }),
        0.060);
    std::vector<double> droops;
    for (int k = 0; k < places; ++k) droops.push_back(0.02 + 0.0002 * k);
    fine &= bench::report("1000 places at once",
                          bench::times(2000,
                                       [&](int i) {
                                           const LinkageMap& map = maps[std::size_t(i) % 200];
                                           sum += places_at(map.constants(), droops).slope.back();
                                       }),
                          0.024);
    fine &= bench::report("map of a linkage",
                          bench::times(2000,
                                       [&](int i) {
                                           const auto map =
                                               LinkageMap::of(bikes[std::size_t(i) % 200].linkage);
                                           sum += map->longest().droop.value;
                                       }),
                          0.016);
    fine &= bench::report(
        "swap on its map",
        bench::times(4000, [&](int i) { sum += restore(swaps[std::size_t(i) % 200])->setting.length.value; }),
        0.024);
    fine &= bench::report("swap, its map built for it",
                          bench::times(4000,
                                       [&](int i) {
                                           const WholeBike& bike = bikes[std::size_t(i) % 200];
                                           SwapCase swap = swaps[std::size_t(i) % 200];
                                           swap.map =
                                               *HeightMap::linkage(*LinkageMap::of(bike.linkage), bike.arm);
                                           sum += restore(swap)->setting.length.value;
                                       }),
                          0.040);
    std::printf("(checksum %.6f)\n", sum);
    return fine ? 0 : 1;
}
