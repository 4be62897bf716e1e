#include "core/codec/bundle.h"

#include <random>

#include "core/codec/canonical.h"
#include "tests/store/workshop.h"

using namespace restand;

namespace {

std::vector<Entry> some_entries() {
    const test::Folder folder;
    Store store = test::open(folder("w.restand"));
    const auto begun = test::begin_swap(store);
    test::got(store.append(encode(RetractionBody{"slipped"}, begun.bike, begun.swap, begun.person,
                                  {begun.first, begun.second})));
    return test::got(store.all());
}

// A payload that claims `count` entries, in an envelope that is whole.
std::string bundle_of(std::uint64_t count, const std::string& rest) {
    std::string payload;
    for (int i = 0; i < 8; ++i) payload += static_cast<char>(count >> (8 * i) & 0xff);
    return seal("BNDL", 1, payload + rest);
}

}  // namespace

TEST_CASE("bundle: what goes in comes out, entry for entry") {
    const auto entries = some_entries();
    CHECK(test::got(read_bundle(write_bundle(entries))) == entries);
    CHECK(test::got(read_bundle(write_bundle({}))).empty());
}

TEST_CASE("bundle: cut anywhere, it is refused as truncated") {
    const std::string whole = write_bundle(some_entries());
    for (std::size_t n = 1; n < whole.size(); ++n) {
        const auto read = read_bundle(std::string_view(whole).substr(0, n));
        REQUIRE_FALSE(read);
        REQUIRE(read.error().code == ErrorCode::truncated);
    }
    CHECK(read_bundle("").error().code == ErrorCode::not_ours);
    CHECK(read_bundle(whole + '\0').error().code == ErrorCode::damaged);
}

TEST_CASE("bundle: no single flipped bit is accepted") {
    const std::string whole = write_bundle(some_entries());
    for (std::size_t bit = 0; bit < whole.size() * 8; ++bit) {
        std::string flipped = whole;
        flipped[bit / 8] = static_cast<char>(flipped[bit / 8] ^ (1 << bit % 8));
        REQUIRE_FALSE(read_bundle(flipped));
    }
}

TEST_CASE("bundle: not ours, another kind of ours, newer, too large") {
    CHECK(read_bundle("PK\3\4 something else").error().code == ErrorCode::not_ours);
    CHECK(read_bundle(std::string(100'000'000, 'x')).error().code == ErrorCode::not_ours);
    CHECK(read_bundle(seal("DRFT", 1, "x")).error().code == ErrorCode::not_ours);
    const auto newer = read_bundle(seal("BNDL", 2, "what a later version wrote"));
    REQUIRE_FALSE(newer);
    CHECK(newer.error().code == ErrorCode::newer_version);
    CHECK(newer.error().detail == "2");
    std::string large = seal("BNDL", 1, "");
    large[12 + 4] = 1;  // 4 GiB claimed
    CHECK(read_bundle(large).error().code == ErrorCode::too_large);
}

TEST_CASE("bundle: a lie about sizes behind a good hash costs nothing") {
    for (const std::uint64_t count : {2ull, 1000ull, 1ull << 32, ~0ull}) {
        const auto read = read_bundle(bundle_of(count, std::string(100, '\1')));
        REQUIRE_FALSE(read);
        CHECK(read.error().code == ErrorCode::damaged);
    }
    // Payloads of random bytes: refused, with address sanitizer watching in the sanitized build.
    std::mt19937 random(11);
    for (int run = 0; run < 20'000; ++run) {
        std::string payload(random() % 300, '\0');
        for (char& c : payload) c = static_cast<char>(random() % (run % 2 ? 256 : 3));
        REQUIRE_FALSE(read_bundle(bundle_of(1 + random() % 3, payload)));
    }
}

TEST_CASE("bundle: an entry that was changed is named, though the file is whole") {
    auto entries = some_entries();
    entries[4].body.replace(entries[4].body.find("469,8"), 5, "468,9");
    const auto read = read_bundle(write_bundle(entries));
    REQUIRE_FALSE(read);
    CHECK(read.error().code == ErrorCode::damaged);
    CHECK(read.error().subject == to_text(entries[4].id));
}
