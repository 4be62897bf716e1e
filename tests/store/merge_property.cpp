// Whatever devices do to each other, nothing is lost and all show the same. tests/faults/merge.cpp does it at
// length.

#include <doctest/doctest.h>

#include "tests/store/merge_property_run.h"

using namespace restand;

TEST_CASE("merge: after any history every entry is everywhere and every device shows the same") {
    const auto tally = test::merge_histories(2'000, 1);
    MESSAGE(tally.text());
    CHECK(tally.histories == 2'000);
    CHECK(tally.violations() == 0);
    // The histories must have had what is hard in them.
    CHECK(tally.forks > 100);
    CHECK(tally.restores > 500);
    CHECK(tally.conflicts > 100);
    CHECK(tally.broken_off > 1000);
}

TEST_CASE("merge: a merge that loses something is found out") {
    // Negative controls.
    const auto dropping = test::merge_histories(20, 2, test::MergeMutant::drop_older_than_newest);
    MESSAGE(dropping.text());
    CHECK(dropping.lost > 0);
    const auto forking = test::merge_histories(60, 3, test::MergeMutant::first_fork_wins);
    MESSAGE(forking.text());
    CHECK(forking.lost > 0);
}
