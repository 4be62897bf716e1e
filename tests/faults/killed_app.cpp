// The real program under a virtual display, killed a thousand times while readings are typed.
#define DOCTEST_CONFIG_IMPLEMENT_WITH_MAIN
#include <doctest/doctest.h>

#include "tests/killed/killed_app_run.h"

using namespace restand;

TEST_CASE("the real program: 1 000 kills") {
    const auto tally = test::kill_app({.kills = 1'000, .seed = 3});
    MESSAGE(tally.text());
    for (const std::string& violation : tally.violations) FAIL_CHECK(violation);
    CHECK(tally.kills == 1'000);
    CHECK(tally.acknowledged > 200);
}
