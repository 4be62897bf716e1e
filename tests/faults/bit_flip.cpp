// 50 000 bits turned over in each kind of file.
#define DOCTEST_CONFIG_IMPLEMENT_WITH_MAIN
#include <doctest/doctest.h>

#include "tests/store/bit_flip_run.h"

using namespace restand;
using test::Rested;

TEST_CASE("bit flip: of 50 000 in each kind of file nothing changed is accepted") {
    for (const Rested what : {Rested::live_file, Rested::backup, Rested::bundle, Rested::sync_bundle}) {
        const auto tally = test::flip_bits(what, 50'000, 5);
        MESSAGE(tally.text());
        CHECK(tally.accepted == 0);
        CHECK(tally.clock == 0);
    }
}

TEST_CASE("bit flip: control: SQLite alone would accept them") {
    const auto tally = test::flip_bits(Rested::live_file, 5'000, 6, true);
    MESSAGE(tally.text());
    CHECK(tally.accepted > 500);
}
