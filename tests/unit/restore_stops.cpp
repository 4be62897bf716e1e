// At stops and kinks, and with bounds: a general search finds nothing closer to the targets.

#include <doctest/doctest.h>

#include "tests/unit/stop_swaps.h"

using namespace restand;

TEST_CASE(
    "whole bike: with an end on its stop or a spring at its kink no place of a refined grid is nearer to the "
    "targets") {
    const auto seen = test::against_grid(120, 61, 21, 3);
    CHECK(seen.at_stop > 30);
    CHECK(seen.exact > 50);
    CHECK(seen.worse == 0);
}

TEST_CASE("whole bike: bounded and weighted, simplexes from many starts come no nearer to the targets") {
    const auto seen = test::against_many_starts(40, 62, 12);
    CHECK(seen.worse == 0);
}
