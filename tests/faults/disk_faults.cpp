// Every call of a season goes wrong in turn, in every way, once and for good.
#define DOCTEST_CONFIG_IMPLEMENT_WITH_MAIN
#include <doctest/doctest.h>

#include "tests/store/disk_faults_run.h"

using namespace restand;
using How = test::Fault::How;

TEST_CASE("disk fault: every call of a season, in every way, once and for good") {
    test::Script season;
    season.weekends = 2;
    std::uint64_t plays = 0;
    for (const How how : {How::fail, How::fail_late, How::shorten, How::full, How::lose})
        for (const bool for_good : {false, true}) {
            // A disk that swallows everything and says yes cannot be seen through: the control below.
            if (how == How::lose && for_good) continue;
            const auto tally = test::fail_everywhere(season, how, for_good);
            MESSAGE(tally.text());
            CHECK(tally.violations() == 0);
            plays += tally.plays;
        }
    MESSAGE(plays << " seasons played");
    CHECK(plays > 3'000);
}

TEST_CASE("disk fault: control: what a disk swallows for good is missed") {
    test::Script season;
    season.weekends = 1;
    const auto tally = test::fail_everywhere(season, How::lose, true);
    MESSAGE(tally.text());
    CHECK(tally.missing > 50);
}
