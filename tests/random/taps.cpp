// Taps, keys and words at random over every page of the demo's season.
#include <doctest/doctest.h>

#include "tests/random/random_run.h"

using namespace restand;

TEST_CASE("100 000 random events over the demo's season: the app goes on, and starts again from any draft") {
    const auto tally = test::tap_at_random({.events = 100'000, .seed = 1});
    MESSAGE(tally.text());
    CHECK(tally.ended == "");
    CHECK(tally.events >= 100'000);
    CHECK(tally.pages >= 18);
}
