// A hundred simulated swaps a fault (tests/bench/faults.cpp has two thousand): what holds of the answer's
// interval and of the turns that a correction orders.

#include <doctest/doctest.h>

#include "tests/unit/fault_swaps.h"

using namespace restand;
using namespace restand::test;

namespace {

struct FaultTally {
    int answered = 0, inside = 0, ordered = 0, worse = 0;
};

FaultTally tally_of(Fault fault) {
    FaultTally t;
    for (std::uint64_t seed = 1; seed <= 100; ++seed) {
        const FaultRun run = simulate(seed, fault);
        t.answered += run.answered;
        t.inside += run.answered && std::fabs(run.miss) <= run.expanded;
        t.ordered += run.ordered;
        t.worse += run.worse();
    }
    CHECK(t.answered > 95);
    return t;
}

}  // namespace

TEST_CASE("simulated swaps: the true height is in the answer's interval, unless a stamp lies") {
    // 95 % of 100, less three standard deviations of the count.
    CHECK(tally_of(Fault::none).inside >= 88);
    CHECK(tally_of(Fault::collar_turn).inside >= 88);
    CHECK(tally_of(Fault::soft_spring).inside < 88);
}

TEST_CASE(
    "simulated swaps: ordered turns bring the height nearer, also beside fuel and rider that are said") {
    for (const Fault fault : {Fault::none, Fault::fuel_read, Fault::rider_read, Fault::collar_turn}) {
        const FaultTally t = tally_of(fault);
        CAPTURE(name_of(fault));
        CHECK(t.ordered > 15);
        CHECK(t.worse <= 3);
    }
    // Fuel that is not said cannot be told from a setting: the test sees it.
    CHECK(tally_of(Fault::fuel_unread).worse > 10);
}

TEST_CASE("simulated swaps: a rider who is heavier orders fewer turns than a collar that is off as far") {
    CHECK(tally_of(Fault::rider_unread).ordered < tally_of(Fault::collar_turn).ordered);
}

TEST_CASE("simulated swaps: a check read to another mark orders no turns") {
    CHECK(tally_of(Fault::other_mark).ordered == 0);
}
