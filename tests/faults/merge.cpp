// 100 000 random histories of two to five devices, and the two mutants that must be found out.
#define DOCTEST_CONFIG_IMPLEMENT_WITH_MAIN
#include <doctest/doctest.h>

#include "tests/store/merge_property_run.h"

using namespace restand;

TEST_CASE("merge: 100 000 histories") {
    const auto tally = test::merge_histories(100'000, 11);
    MESSAGE(tally.text());
    CHECK(tally.histories == 100'000);
    CHECK(tally.violations() == 0);
}

TEST_CASE("merge: controls, each of which must be found out") {
    for (const auto mutant :
         {test::MergeMutant::drop_older_than_newest, test::MergeMutant::first_fork_wins}) {
        const auto tally = test::merge_histories(500, 12, mutant);
        MESSAGE(tally.text());
        CHECK(tally.lost > 100);
    }
}
