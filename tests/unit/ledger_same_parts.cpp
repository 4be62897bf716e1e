// Which damper is in: told by its marks, and by clicks that went with the one before.

#include "core/ledger/same_parts.h"

#include <doctest/doctest.h>

#include "tests/unit/swap_kit.h"

using namespace restand;
using namespace restand::test;

TEST_CASE("same damper: one that was swapped for another without a name took its clicks with it") {
    using P = Point;
    SetUp with, without;
    for (SetUp* setup : {&with, &without})
        setup->values[{End::rear, P::eye_to_eye}] = taken(P::eye_to_eye, 310);
    with.values[{End::rear, P::clicks_rebound_low}] = taken(P::clicks_rebound_low, 12);
    CHECK(same_damper(End::rear, with, with));
    CHECK(same_damper(End::rear, without, without));
    CHECK(same_damper(End::rear, with, without));  // read since for the first time
    CHECK_FALSE(same_damper(End::rear, without, with));
    CHECK(same_damper(End::front, without, with));
}
