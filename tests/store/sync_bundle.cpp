#include "core/sync/sync_bundle.h"

#include <malloc.h>

#include <random>

#include "core/codec/bundle.h"
#include "tests/store/workshop.h"

using namespace restand;

namespace {

SyncBundle some_sync_bundle() {
    const test::Folder folder;
    Store store = test::open(folder("w.restand"));
    const auto begun = test::begin_swap(store);
    test::got(store.append(encode(RetractionBody{"slipped"}, begun.bike, begun.swap, begun.person,
                                  {begun.first, begun.second})));
    SyncBundle sync_bundle;
    sync_bundle.entries = test::got(store.all());
    sync_bundle.sender = {store.device(), "truck laptop", 1'760'000'000'000, ranges_of(sync_bundle.entries)};
    sync_bundle.sender.holds[7] = {{{1, 4}, {6, 6}}, 5, {1, 2, 3}};
    return sync_bundle;
}

// A payload of version 2 in an envelope that is whole.
std::string sealed(const std::string& payload) {
    return seal("BNDL", 2, payload);
}
void number(std::string& to, std::uint64_t v, int count = 8) {
    for (int i = 0; i < count; ++i) to += static_cast<char>(v >> (8 * i) & 0xff);
}
// Head version, sender, its name and time; then the holdings begin.
std::string head(std::uint32_t version = 1) {
    std::string payload;
    number(payload, version, 4);
    number(payload, 1);
    number(payload, 0);
    number(payload, 0);
    return payload;
}

}  // namespace

TEST_CASE("parcel: sender, holdings and entries come out as they went in") {
    const SyncBundle sync_bundle = some_sync_bundle();
    const SyncBundle read = test::got(read_sync_bundle(write_sync_bundle(sync_bundle)));
    CHECK(read.entries == sync_bundle.entries);
    CHECK(read.sender.device == sync_bundle.sender.device);
    CHECK(read.sender.name == "truck laptop");
    CHECK(read.sender.at_ms == 1'760'000'000'000);
    CHECK(read.sender.holds == sync_bundle.sender.holds);
    const SyncBundle empty = test::got(read_sync_bundle(write_sync_bundle({})));
    CHECK(empty.entries.empty());
}

TEST_CASE("parcel: a bundle of version 1 is read, without a sender") {
    const auto entries = some_sync_bundle().entries;
    const SyncBundle read = test::got(read_sync_bundle(write_bundle(entries)));
    CHECK(read.entries == entries);
    CHECK(read.sender.device == 0);
    const std::string released = RESTAND_SOURCE_DIR "/tests/fixtures/first.bundle";
    CHECK(test::got(read_sync_bundle(test::bytes_of(released))).entries.size() == 14);
}

TEST_CASE("parcel: cut anywhere, it is refused as truncated") {
    const std::string whole = write_sync_bundle(some_sync_bundle());
    for (std::size_t n = 1; n < whole.size(); ++n) {
        const auto read = read_sync_bundle(std::string_view(whole).substr(0, n));
        REQUIRE_FALSE(read);
        REQUIRE(read.error().code == ErrorCode::truncated);
    }
    CHECK(read_sync_bundle("").error().code == ErrorCode::not_ours);
    CHECK(read_sync_bundle(whole + '\0').error().code == ErrorCode::damaged);
}

TEST_CASE("parcel: no single flipped bit is accepted") {
    const std::string whole = write_sync_bundle(some_sync_bundle());
    for (std::size_t bit = 0; bit < whole.size() * 8; ++bit) {
        std::string flipped = whole;
        flipped[bit / 8] = static_cast<char>(flipped[bit / 8] ^ (1 << bit % 8));
        REQUIRE_FALSE(read_sync_bundle(flipped));
    }
}

TEST_CASE("parcel: cut, flipped or filled at random behind a good hash, it is refused or means the same") {
    const SyncBundle sync_bundle = some_sync_bundle();
    const std::string whole = write_sync_bundle(sync_bundle);
    const std::string payload = whole.substr(52);
    std::mt19937 random(3);
    for (int run = 0; run < 4000; ++run) {
        std::string changed = payload;
        if (run % 2)
            changed.resize(random() % payload.size());
        else
            for (int i = 0; i < 3; ++i) changed[random() % changed.size()] = static_cast<char>(random());
        const auto read = read_sync_bundle(sealed(changed));
        // Only what no entry's hash covers may differ: the sender's own words.
        if (read) REQUIRE(read->entries == sync_bundle.entries);
        if (run % 2) REQUIRE_FALSE(read);
    }
}

TEST_CASE("parcel: a lie about sizes behind a good hash costs no memory") {
    for (const std::uint64_t count : {2ull, 1000ull, 1ull << 32, ~0ull}) {
        for (const int where : {0, 1, 2}) {
            std::string payload = head();
            if (where == 2) number(payload, 0);  // no holdings of the sender's
            if (where == 1) {
                number(payload, 1);
                number(payload, 5);  // a device, then `count` ranges
            }
            number(payload, count);
            payload += std::string(1000, '\1');
            const auto before = mallinfo2().uordblks + mallinfo2().hblkhd;
            const auto read = read_sync_bundle(sealed(payload));
            REQUIRE_FALSE(read);
            CHECK(read.error().code == ErrorCode::damaged);
            CHECK(mallinfo2().uordblks + mallinfo2().hblkhd < before + 100'000);
        }
    }
}

TEST_CASE("parcel: holdings that cannot be are refused") {
    const auto with_ranges = [](std::vector<NumberRange> ranges, std::uint64_t count) {
        std::string payload = head();
        number(payload, 1);
        number(payload, 5);
        number(payload, ranges.size());
        for (const NumberRange& range : ranges) number(payload, range.first), number(payload, range.last);
        number(payload, count);
        payload += std::string(32, '\0');
        number(payload, 0);  // the parcel's own
        number(payload, 0);  // no entries
        return read_sync_bundle(sealed(payload)).has_value();
    };
    CHECK(with_ranges({{1, 3}, {5, 9}}, 8));
    CHECK(with_ranges({{1, 3}}, 4));                 // forked: more entries than numbers
    CHECK_FALSE(with_ranges({{1, 3}}, 2));           // fewer entries than numbers
    CHECK_FALSE(with_ranges({{5, 9}, {1, 3}}, 8));   // out of order
    CHECK_FALSE(with_ranges({{1, 5}, {3, 9}}, 12));  // overlapping
    CHECK_FALSE(with_ranges({{1, 3}, {4, 9}}, 9));   // not apart
    CHECK_FALSE(with_ranges({{0, 3}}, 4));           // numbers begin at 1
    CHECK_FALSE(with_ranges({{3, 1}}, 0));
    CHECK_FALSE(with_ranges({{1, ~0ull}}, ~0ull));  // no such number
    std::string newer = head(2);
    number(newer, 0), number(newer, 0), number(newer, 0);
    CHECK_FALSE(read_sync_bundle(sealed(newer)));
    CHECK(read_sync_bundle(seal("BNDL", 3, "later")).error().code == ErrorCode::newer_version);
}

TEST_CASE("parcel: what it says of its entries must be so") {
    SyncBundle sync_bundle = some_sync_bundle();
    const std::string whole = write_sync_bundle(sync_bundle);
    // The same entries under the holdings of others: the first half of one payload with the second of
    // another.
    sync_bundle.entries.pop_back();
    const std::string fewer = write_sync_bundle(sync_bundle);
    const std::string id(sync_bundle.entries[0].id.bytes.begin(), sync_bundle.entries[0].id.bytes.end());
    const auto entries_at = [&](const std::string& bytes) { return bytes.find(id) - 12; };
    const std::string mixed = fewer.substr(52, entries_at(fewer) - 52) + whole.substr(entries_at(whole));
    const auto read = read_sync_bundle(sealed(mixed));
    REQUIRE_FALSE(read);
    CHECK(read.error().detail == "other entries than it says");
}

TEST_CASE("parcel: an entry that was changed is named, though the file is whole") {
    SyncBundle sync_bundle = some_sync_bundle();
    std::string& body = sync_bundle.entries[4].body;
    body.replace(body.find("469,8"), 5, "468,9");
    const auto read = read_sync_bundle(write_sync_bundle(sync_bundle));
    REQUIRE_FALSE(read);
    CHECK(read.error().subject == to_text(sync_bundle.entries[4].id));
}

TEST_CASE("parcel: reading counts and may be stopped") {
    const std::string bytes = write_sync_bundle(some_sync_bundle());
    Progress progress;
    REQUIRE(read_sync_bundle(bytes, &progress));
    CHECK(progress.done == 7);
    CHECK(progress.total == 7);
    progress.cancelled = true;
    CHECK(read_sync_bundle(bytes, &progress).error().code == ErrorCode::cancelled);
}

TEST_CASE("parcel: a long name is cut between characters") {
    SyncBundle sync_bundle;
    for (int i = 0; i < 200; ++i) sync_bundle.sender.name += "é";
    const std::string name = test::got(read_sync_bundle(write_sync_bundle(sync_bundle))).sender.name;
    CHECK(name.size() == 256);
    sync_bundle.sender.name.insert(0, "x");
    CHECK(test::got(read_sync_bundle(write_sync_bundle(sync_bundle))).sender.name.size() == 255);
}
