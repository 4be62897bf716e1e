// The real program under a virtual display, killed a thousand times, or RESTAND_KILLS times, while readings are
// typed.
#define DOCTEST_CONFIG_IMPLEMENT_WITH_MAIN
#include <doctest/doctest.h>

#include <cstdlib>

#include "tests/killed/killed_app_run.h"

using namespace restand;

TEST_CASE("the real program: 1 000 kills") {
    const char* asked = std::getenv("RESTAND_KILLS");
    const int kills = asked ? std::atoi(asked) : 1'000;
    const auto tally = test::kill_app({.kills = kills, .seed = 3});
    MESSAGE(tally.text());
    for (const std::string& violation : tally.violations) FAIL_CHECK(violation);
    CHECK(tally.kills == kills);
    CHECK(tally.acknowledged > kills / 5);
}
