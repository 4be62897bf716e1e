#include "core/store/emergency.h"

#include "tests/store/workshop.h"

using namespace restand;

namespace {

const char* const file = "restand-set-aside.txt";

NewEntry some(const std::string& text) {
    Id id;
    id.bytes.fill(7);
    return encode(ReadingBody{Phase::before, test::reading(Point::eye_to_eye, text), false}, id, id, {},
                  {id, id});
}
bool same(const RejectedEntry& a, const NewEntry& b) {
    return a == RejectedEntry{b, 5};
}
auto these(const RejectedEntry& kept) {
    return [&kept](const RejectedEntry& each) { return each == kept; };
}

}  // namespace

TEST_CASE("set aside: what is kept is read back in its order, until it is cleared") {
    const test::Folder folder;
    CHECK(test::got(read_rejected(folder("."))).entries.empty());
    for (const char* text : {"309,9", "310.1", "12 5/16"}) REQUIRE(keep_rejected(folder("."), some(text), 5));
    const Rejected rejected = test::got(read_rejected(folder(".")));
    REQUIRE(rejected.entries.size() == 3);
    CHECK(rejected.unreadable == 0);
    CHECK(same(rejected.entries[0], some("309,9")));
    CHECK(same(rejected.entries[2], some("12 5/16")));
    Store store = test::open(folder("w.restand"));
    CHECK(store.append(rejected.entries[0].entry));
    for (const std::size_t taken : {0u, 2u})
        REQUIRE(forget_rejected(folder("."), these(rejected.entries[taken])));
    const Rejected fewer = test::got(read_rejected(folder(".")));
    REQUIRE(fewer.entries.size() == 1);
    CHECK(same(fewer.entries[0], some("310.1")));
    REQUIRE(forget_rejected(folder("."), these(fewer.entries[0])));
    CHECK(test::got(read_rejected(folder("."))).entries.empty());
    CHECK_FALSE(std::filesystem::exists(folder(file)));
    CHECK(forget_rejected(folder("."), these(fewer.entries[0])));
}

TEST_CASE(
    "set aside: a line that cannot be read stays until somebody throws it away, and is then still to be "
    "had") {
    const test::Folder folder;
    for (const char* text : {"309,9", "310.1"}) REQUIRE(keep_rejected(folder("."), some(text), 5));
    std::string torn = test::bytes_of(folder(file));
    torn[3] = 'x';
    test::write_bytes(folder(file), torn);
    const Rejected rejected = test::got(read_rejected(folder(".")));
    REQUIRE(rejected.entries.size() == 1);
    CHECK(rejected.unreadable == 1);
    REQUIRE(forget_rejected(folder("."), these(rejected.entries[0])));
    CHECK(test::got(read_rejected(folder("."))).unreadable == 1);
    // Only what was shown goes: what was kept since then stays.
    REQUIRE(keep_rejected(folder("."), some("311"), 5));
    const std::string thrown = test::got(throw_away(folder("."), rejected.entries));
    const Rejected left = test::got(read_rejected(folder(".")));
    REQUIRE(left.entries.size() == 1);
    CHECK(same(left.entries[0], some("311")));
    CHECK(left.unreadable == 0);
    CHECK(test::bytes_of(thrown) == torn.substr(0, torn.find('\n') + 1));
}

TEST_CASE("set aside: cut anywhere, the lines before the cut are there and the next one is whole") {
    const test::Folder folder;
    for (const char* text : {"309,9", "310.1"}) REQUIRE(keep_rejected(folder("."), some(text), 5));
    const std::string whole = test::bytes_of(folder(file));
    const std::size_t first = whole.find('\n') + 1;
    for (std::size_t n = 0; n <= whole.size(); n += 7) {
        test::write_bytes(folder(file), std::string_view(whole).substr(0, n));
        REQUIRE(keep_rejected(folder("."), some("311"), 5));
        const Rejected rejected = test::got(read_rejected(folder(".")));
        const std::size_t before = n >= whole.size() - 1 ? 2 : n >= first - 1 ? 1 : 0;
        CHECK(rejected.entries.size() == before + 1);
        CHECK(same(rejected.entries.back(), some("311")));
        CHECK(rejected.unreadable <= 1);
    }
}

TEST_CASE("set aside: no flipped bit is accepted") {
    const test::Folder folder;
    REQUIRE(keep_rejected(folder("."), some("309,9"), 5));
    const std::string whole = test::bytes_of(folder(file));
    for (std::size_t bit = 0; bit < whole.size() * 8; bit += 3) {
        std::string flipped = whole;
        flipped[bit / 8] = static_cast<char>(flipped[bit / 8] ^ (1 << bit % 8));
        test::write_bytes(folder(file), flipped);
        REQUIRE(test::got(read_rejected(folder("."))).entries.empty());
    }
}

TEST_CASE("set aside: a folder that is not there is named") {
    const test::Folder folder;
    const auto refused = keep_rejected(folder("stick"), some("1"), 5);
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == ErrorCode::not_found);
    CHECK(refused.error().subject.starts_with(folder("stick")));
}
