// 2 000 bounded, weighted swaps against simplexes from many starts.

#include <cstdio>
#include <cstdlib>

#include "tests/unit/stop_swaps.h"

int main(int argc, char** argv) {
    const int swaps = argc > 1 ? std::atoi(argv[1]) : 2000;
    const auto seen = restand::test::against_many_starts(swaps, 62, 12);
    std::printf("bounded: %d swaps, %d worse than the general search, worst by %g\n", seen.looked, seen.worse,
                seen.worst);
    for (const int i : seen.which) std::printf(" %d", i);
    if (!seen.which.empty()) std::printf("\n");
    return seen.worse == 0 ? 0 : 1;
}
