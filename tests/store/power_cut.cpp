// The power fails at any moment of a season. tests/faults/power_cut.cpp does the same at length.

#include <doctest/doctest.h>

#include "tests/store/power_cut_run.h"
#include "tests/store/workshop.h"

using namespace restand;
using Spoil = test::PowerCut::Spoil;

TEST_CASE("power cut: no image is corrupt and none lacks what was acknowledged") {
    test::PowerCut season;
    season.script.weekends = 2;  // with backups, and a restore at the end of the second
    season.images_per_call = 48;
    const auto tally = test::cut_power(season);
    MESSAGE(tally.text());
    CHECK(tally.sound());
    CHECK(tally.images >= 20'000);
    CHECK(tally.copies_resumed > 100);
}

TEST_CASE("power cut: a file of version 1 that is being brought up") {
    test::PowerCut season;
    const test::Folder folder;
    const std::string first = std::string(RESTAND_SOURCE_DIR) + "/tests/fixtures/first.restand";
    // To count its entries, a copy: opening a file may change it.
    std::filesystem::copy_file(first, folder("first.restand"));
    season.script.strangers = test::got(test::open(folder("first.restand"), Store::Mode::read).all()).size();
    season.begin_with = first;
    season.script.weekends = 1;
    season.script.backups = false;
    season.images_per_call = 20;
    const auto tally = test::cut_power(season);
    MESSAGE(tally.text());
    CHECK(tally.sound());
    CHECK(season.script.strangers > 0);
}

TEST_CASE("power cut: the test finds what is wrong when something is") {
    // Negative controls: without them the test above might be looking at nothing.
    const auto spoilt = [](Spoil how) {
        test::PowerCut season;
        season.script.weekends = 1;
        season.images_per_call = 8;
        season.spoil = how;
        const auto tally = test::cut_power(season);
        MESSAGE(tally.text());
        CHECK_FALSE(tally.sound());
        return tally;
    };
    SUBCASE("synchronous=OFF") {
        const auto tally = spoilt(Spoil::synchronous_off);
        CHECK(tally.missing > 0);
        CHECK(tally.unreadable + tally.corrupt > 0);
    }
    SUBCASE("without a journal") {
        const auto tally = spoilt(Spoil::no_journal);
        CHECK(tally.unreadable + tally.corrupt > 0);
    }
    SUBCASE("told of an acknowledgement before the commit") {
        CHECK(spoilt(Spoil::told_too_early).missing > 0);
    }
    SUBCASE("nothing was cut") {
        CHECK(spoilt(Spoil::never_cut).with_loss == 0);
    }
}
