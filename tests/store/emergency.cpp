#include "core/store/emergency.h"

#include "tests/store/workshop.h"

using namespace restand;

namespace {

const char* const file = "restand-set-aside.txt";

NewEntry some(const std::string& text) {
    Id id;
    id.bytes.fill(7);
    return encode(ReadingBody{Phase::before, test::reading(Point::eye_to_eye, text), false}, id, id, {}, {id, id});
}
bool same(const NewEntry& a, const NewEntry& b) {
    return a.kind == b.kind && a.bike == b.bike && a.about == b.about && a.by == b.by &&
           a.supersedes == b.supersedes && a.body == b.body;
}

}  // namespace

TEST_CASE("set aside: what is kept is read back in its order, until it is cleared") {
    const test::Folder folder;
    CHECK(test::got(read_aside(folder("."))).entries.empty());
    for (const char* text : {"309,9", "310.1", "12 5/16"}) REQUIRE(keep_aside(folder("."), some(text)));
    const Aside aside = test::got(read_aside(folder(".")));
    REQUIRE(aside.entries.size() == 3);
    CHECK(aside.unreadable == 0);
    CHECK(same(aside.entries[0], some("309,9")));
    CHECK(same(aside.entries[2], some("12 5/16")));
    Store store = test::open(folder("w.restand"));
    CHECK(test::got(store.append_all(aside.entries)).size() == 3);
    REQUIRE(rewrite_aside(folder("."), {aside.entries[1]}));
    const Aside fewer = test::got(read_aside(folder(".")));
    REQUIRE(fewer.entries.size() == 1);
    CHECK(same(fewer.entries[0], some("310.1")));
    REQUIRE(rewrite_aside(folder("."), {}));
    CHECK(test::got(read_aside(folder("."))).entries.empty());
    CHECK(rewrite_aside(folder("."), {}));
}

TEST_CASE("set aside: cut anywhere, the lines before the cut are there and the next one is whole") {
    const test::Folder folder;
    for (const char* text : {"309,9", "310.1"}) REQUIRE(keep_aside(folder("."), some(text)));
    const std::string whole = test::bytes_of(folder(file));
    const std::size_t first = whole.find('\n') + 1;
    for (std::size_t n = 0; n <= whole.size(); n += 7) {
        test::write_bytes(folder(file), std::string_view(whole).substr(0, n));
        REQUIRE(keep_aside(folder("."), some("311")));
        const Aside aside = test::got(read_aside(folder(".")));
        const std::size_t before = n >= whole.size() - 1 ? 2 : n >= first - 1 ? 1 : 0;
        CHECK(aside.entries.size() == before + 1);
        CHECK(same(aside.entries.back(), some("311")));
        CHECK(aside.unreadable <= 1);
    }
}

TEST_CASE("set aside: no flipped bit is accepted") {
    const test::Folder folder;
    REQUIRE(keep_aside(folder("."), some("309,9")));
    const std::string whole = test::bytes_of(folder(file));
    for (std::size_t bit = 0; bit < whole.size() * 8; bit += 3) {
        std::string flipped = whole;
        flipped[bit / 8] = static_cast<char>(flipped[bit / 8] ^ (1 << bit % 8));
        test::write_bytes(folder(file), flipped);
        REQUIRE(test::got(read_aside(folder("."))).entries.empty());
    }
}

TEST_CASE("set aside: a folder that is not there is named") {
    const test::Folder folder;
    const auto refused = keep_aside(folder("stick"), some("1"));
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == ErrorCode::not_found);
    CHECK(refused.error().subject.starts_with(folder("stick")));
}
