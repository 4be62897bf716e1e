// 5 000 swaps with an end on its stop or a spring near its kink, against a grid refined to 1e-6.

#include <cstdio>
#include <cstdlib>

#include "tests/unit/stop_swaps.h"

int main(int argc, char** argv) {
    const int swaps = argc > 1 ? std::atoi(argv[1]) : 5000;
    const auto seen = restand::test::against_grid(swaps, argc > 2 ? std::atoi(argv[2]) : 61, 21, 3);
    std::printf(
        "at stops and kinks: %d swaps, %d with an end on its stop, %d with an exact answer; %d worse than "
        "the grid, worst by %g\n",
        seen.looked, seen.at_stop, seen.exact, seen.worse, seen.worst);
    for (const int i : seen.which) std::printf(" %d", i);
    if (!seen.which.empty()) std::printf("\n");
    return seen.worse == 0 ? 0 : 1;
}
