// The real program under a virtual display, killed while readings are typed.
#include <doctest/doctest.h>

#include "tests/killed/killed_app_run.h"

using namespace restand;

TEST_CASE(
    "the real program killed 100 times while readings are typed: every reading shown as stored is there, "
    "every start succeeds") {
    const auto tally = test::kill_app({.kills = 100, .seed = 1});
    MESSAGE(tally.text());
    for (const std::string& violation : tally.violations) FAIL_CHECK(violation);
    CHECK(tally.kills == 100);
    CHECK(tally.acknowledged > 30);
    CHECK(tally.not_stored > 3);  // some were killed before the disk had it
}

TEST_CASE(
    "control: a reading that counts as acknowledged once it is typed is found to be missing after a kill") {
    const auto tally =
        test::kill_app({.kills = 30, .seed = 2, .acknowledged = test::KilledApp::Acknowledged::typed});
    MESSAGE(tally.text());
    CHECK_FALSE(tally.violations.empty());
}
