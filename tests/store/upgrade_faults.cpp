// Faults of the disk while a file of an earlier version is brought up, and while a draft is kept: each call
// in turn goes wrong, in every way. Afterwards the file is of one version or the other with every entry in
// it, and the draft is the old one or the new one.

#include <doctest/doctest.h>

#include "tests/store/disk_shim.h"
#include "tests/store/workshop.h"

using namespace restand;
using How = test::Fault::How;

namespace {

constexpr How plans[] = {How::fail, How::fail_late, How::shorten, How::full};

std::string earlier_version() {
    return test::bytes_of(std::string(RESTAND_SOURCE_DIR) + "/tests/fixtures/first.restand");
}

std::vector<Entry> entries_of(const std::string& bytes) {
    const test::Folder folder;
    test::write_bytes(folder("w.restand"), bytes);
    return test::got(test::open(folder("w.restand"), Store::Mode::read).all());
}

struct UpgradeTally {
    int plays = 0, refused = 0, old = 0;
};

// Opens for writing with call n going wrong. False: there are fewer calls.
bool bring_up(const std::string& bytes, const std::vector<Entry>& entries, test::Fault fault,
              UpgradeTally& tally) {
    const test::Folder folder;
    const std::string path = folder("w.restand");
    test::write_bytes(path, bytes);
    {
        const test::Watch watch(folder.path(), fault, false);
        const auto opened = Store::open(path, Store::Mode::write);
        if (watch.calls() < fault.at) return false;
        ++tally.plays;
        tally.refused += !opened;
        if (!opened) CHECK_FALSE(opened.error().detail.empty());
    }
    {
        const Store reader = test::open(path, Store::Mode::read);
        CHECK(test::got(reader.all()) == entries);
        CHECK(test::got(reader.check()).found.empty());
    }
    // The file's own word, at its place in the header (SQLite file format, 1.3: user version at 60,
    // big-endian).
    tally.old += test::bytes_of(path).at(63) == 1;
    const Store good = test::open(path, Store::Mode::write);
    CHECK(test::got(good.all()) == entries);
    CHECK(test::got(good.check()).found.empty());
    return true;
}

}  // namespace

TEST_CASE("disk fault: any call fails while a file is brought up to this version, and every entry is there") {
    const std::string bytes = earlier_version();
    const auto entries = entries_of(bytes);
    REQUIRE(entries.size() > 10);
    for (const How how : plans)
        for (const bool for_good : {false, true}) {
            UpgradeTally tally;
            for (std::uint64_t n = 1; bring_up(bytes, entries, {how, n, for_good}, tally); ++n) {
            }
            MESSAGE(tally.plays << " plays, " << tally.refused << " refused, " << tally.old
                                << " still of version 1");
            CHECK(tally.plays > 10);
            CHECK(tally.refused > 0);
        }
}

TEST_CASE("disk fault: any call fails while a draft is kept, and the draft is what was said") {
    int refused = 0, plays = 0;
    for (const How how : plans)
        for (std::uint64_t n = 1;; ++n) {
            const test::Folder folder;
            const std::string path = folder("w.restand");
            std::vector<Entry> entries;
            bool kept = false;
            std::uint64_t calls = 0;
            {
                Store store = test::open(path);
                test::begin_swap(store);
                entries = test::got(store.all());
                REQUIRE(store.keep_draft("typed before"));
                const test::Watch watch(folder.path(), {how, n, false}, false);
                kept = store.keep_draft("half typed").has_value();
                calls = watch.calls();
            }
            if (calls < n) break;
            ++plays;
            refused += !kept;
            const Store store = test::open(path, Store::Mode::write);
            const std::string draft = test::got(store.draft());
            CHECK(test::got(store.all()) == entries);
            CHECK((draft == "half typed" || draft == "typed before"));
            if (kept) CHECK(draft == "half typed");
        }
    MESSAGE(plays << " plays, " << refused << " refused");
    CHECK(plays > 10);
    CHECK(refused > 0);
}
