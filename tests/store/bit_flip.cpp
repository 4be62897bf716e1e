// Bits turned over in files at rest. tests/faults/bit_flip.cpp does 50 000 of each.

#include <doctest/doctest.h>

#include "tests/store/bit_flip_run.h"

using namespace restand;
using test::Rested;

TEST_CASE("bit flip: of 2 000 in each kind of file nothing changed is accepted") {
    Rested what = Rested::live_file;
    SUBCASE("the live file") {}
    SUBCASE("a backup") {
        what = Rested::backup;
    }
    SUBCASE("a bundle") {
        what = Rested::bundle;
    }
    SUBCASE("a parcel") {
        what = Rested::sync_bundle;
    }
    const auto tally = test::flip_bits(what, 2'000, 1);
    MESSAGE(tally.text());
    CHECK(tally.flips == 2'000);
    CHECK(tally.accepted == 0);
    CHECK(tally.clock == 0);
    // The others fell on what a page leaves free: about a quarter of a small file's bits say something.
    CHECK(tally.refused + tally.named > tally.flips / 5);
}

TEST_CASE("bit flip: SQLite alone would accept them") {
    // Negative control: the flips do change what stands in the file.
    const auto tally = test::flip_bits(Rested::live_file, 300, 2, true);
    MESSAGE(tally.text());
    CHECK(tally.accepted > 20);
}
