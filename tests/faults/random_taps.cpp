// A million events at random over every page, by ten people who each begin with the demo's season.
#define DOCTEST_CONFIG_IMPLEMENT_WITH_MAIN
#include <doctest/doctest.h>

#include "tests/random/random_run.h"

using namespace restand;

TEST_CASE("1 000 000 random events: the app goes on, and starts again from any draft") {
    for (std::uint32_t person = 2; person < 12; ++person) {
        const auto tally = test::tap_at_random({.events = 100'000, .seed = person});
        MESSAGE("person " << person << ": " << tally.text());
        CHECK(tally.ended == "");
        CHECK(tally.events >= 100'000);
    }
}
