// Power cuts at length: a longer season, many more ways to be cut, the repair itself cut again; and the
// controls, each of which must be found out.
#define DOCTEST_CONFIG_IMPLEMENT_WITH_MAIN
#include <doctest/doctest.h>

#include "tests/store/power_cut_run.h"

using namespace restand;
using Spoil = test::PowerCut::Spoil;

TEST_CASE("power cut: 250 000 images") {
    test::PowerCut season;
    season.script.weekends = 6;
    season.images_per_call = 250;
    season.seed = 7;
    const auto tally = test::cut_power(season);
    MESSAGE(tally.text());
    CHECK(tally.sound());
    CHECK(tally.images >= 250'000);
}

TEST_CASE("power cut: a merge larger than SQLite keeps in memory") {
    // 2 000 pages are kept; beyond that the file is written to before the commit, and the journal synced
    //   between.
    test::PowerCut season;
    season.script.weekends = 1;
    season.script.foreign = 300;
    season.script.foreign_body = 40'000;
    season.images_per_call = 2;
    season.every = 37;
    season.alone = true;
    const auto tally = test::cut_power(season);
    MESSAGE(tally.text());
    CHECK(tally.sound());
}

TEST_CASE("power cut: cut again while it is being repaired") {
    test::PowerCut season;
    season.script.weekends = 2;
    season.images_per_call = 6;
    season.recovery_too = true;
    const auto tally = test::cut_power(season);
    MESSAGE(tally.text());
    CHECK(tally.sound());
    CHECK(tally.in_recovery > 1'000);
}

TEST_CASE("power cut: controls, each of which must be found out") {
    for (const Spoil how :
         {Spoil::synchronous_off, Spoil::no_journal, Spoil::told_too_early, Spoil::never_cut}) {
        test::PowerCut season;
        season.images_per_call = 20;
        season.spoil = how;
        const auto tally = test::cut_power(season);
        MESSAGE(tally.text());
        CHECK_FALSE(tally.sound());
        if (how != Spoil::never_cut) CHECK(tally.violations() > 50);
    }
}
