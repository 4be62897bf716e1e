// What is left of damaged files: nothing changed is taken for an entry, and what lies on whole pages is
// found.

#include <algorithm>
#include <map>
#include <random>

#include "core/codec/json_text.h"
#include "core/store/backup.h"
#include "tests/store/season.h"

using namespace restand;

namespace {

constexpr std::size_t page = 4096;

std::map<Id, Entry> make_workshop(const std::string& path, int entries, unsigned seed) {
    std::mt19937 random(seed);
    {
        Store store = test::open(path);
        test::write_season(store, random, entries);
        // A body over several pages.
        test::got(store.append(encode(test::event(std::string(20'000, 'w')))));
    }
    std::map<Id, Entry> all;
    for (const Entry& e : test::got(test::open(path, Store::Mode::read).all())) all.emplace(e.id, e);
    return all;
}

// None but true entries; answers how many.
std::size_t expect_true(const Salvaged& salvaged, const std::map<Id, Entry>& all) {
    for (const Entry& e : salvaged.entries) {
        const auto it = all.find(e.id);
        REQUIRE(it != all.end());
        // The hash covers what a body says, not how it is spelt: 441.0 may have become 441e0.
        Entry spelt = e;
        spelt.body = it->second.body;
        REQUIRE(spelt == it->second);
        REQUIRE(test::got(parse_json(e.body)) == test::got(parse_json(it->second.body)));
    }
    return salvaged.entries.size();
}

}  // namespace

TEST_CASE("salvage: of a whole file everything, and nothing is written") {
    const test::Folder folder;
    const auto all = make_workshop(folder("w"), 200, 1);
    const std::string before = test::bytes_of(folder("w"));
    const Salvaged salvaged = test::got(salvage(folder("w")));
    CHECK(expect_true(salvaged, all) == all.size());
    CHECK(salvaged.unreadable == 0);
    CHECK(salvaged.found.empty());
    CHECK(test::bytes_of(folder("w")) == before);
    CHECK(salvage(folder("no")).error().code == ErrorCode::not_found);
    test::write_bytes(folder("text"), "eye to eye 309,9\n");
    CHECK(test::got(salvage(folder("text"))).entries.empty());
}

TEST_CASE("salvage: a lost page costs what is on it, wherever it stands in the tree") {
    const test::Folder folder;
    const auto all = make_workshop(folder("w"), 200, 2);
    const std::string whole = test::bytes_of(folder("w"));
    for (std::size_t at = 0; at < whole.size(); at += page) {
        std::string bytes = whole;
        std::fill_n(bytes.begin() + static_cast<std::ptrdiff_t>(at), page, '\xa5');
        test::write_bytes(folder("lost"), bytes);
        const std::size_t found = expect_true(test::got(salvage(folder("lost"))), all);
        // A row takes more than 150 bytes on its page: no more than 27 can stand on one.
        CHECK(found + 27 >= all.size());
    }
}

TEST_CASE("salvage: what could not be read is counted, also what was on a page that is gone") {
    const test::Folder folder;
    const auto all = make_workshop(folder("w"), 200, 5);
    const std::string whole = test::bytes_of(folder("w"));
    std::size_t lost_pages = 0;
    for (std::size_t at = page; at < whole.size(); at += page) {
        std::string bytes = whole;
        std::fill_n(bytes.begin() + static_cast<std::ptrdiff_t>(at), page, '\0');
        test::write_bytes(folder("lost"), bytes);
        const Salvaged salvaged = test::got(salvage(folder("lost")));
        CAPTURE(at / page);
        CHECK(salvaged.entries.size() + salvaged.unreadable == all.size());
        lost_pages += salvaged.unreadable > 1;
    }
    CHECK(lost_pages > 5);
    // One byte of an id, in the index or in the row itself: never counted twice, and no entry of its own.
    const Id id = all.begin()->first;
    const std::string key(id.bytes.begin(), id.bytes.end());
    for (std::size_t at = whole.find(key); at != std::string::npos; at = whole.find(key, at + 1)) {
        std::string bytes = whole;
        bytes[at + 9] ^= 4;
        test::write_bytes(folder("flipped"), bytes);
        const Salvaged salvaged = test::got(salvage(folder("flipped")));
        CHECK(salvaged.unreadable <= 1);
        CHECK(salvaged.entries.size() + salvaged.unreadable == all.size());
    }
}

TEST_CASE("salvage: random damage, cuts and rubbish: nothing changed is accepted, nothing crashes") {
    const test::Folder folder;
    const auto all = make_workshop(folder("w"), 120, 3);
    const std::string whole = test::bytes_of(folder("w"));
    std::mt19937 random(4);
    std::size_t best = 0;
    for (int run = 0; run < 400; ++run) {
        std::string bytes = whole;
        const int hits = 1 << random() % 12;
        for (int i = 0; i < hits; ++i) bytes[random() % bytes.size()] = static_cast<char>(random());
        if (run % 4 == 0) bytes.resize(random() % bytes.size());
        test::write_bytes(folder("bad"), bytes);
        const auto salvaged = salvage(folder("bad"));
        if (salvaged) best = std::max(best, expect_true(*salvaged, all));
        if (hits == 1 && run % 4 != 0)
            CHECK(test::got(salvage(folder("bad"))).entries.size() + 1 >= all.size() - 26);
    }
    CHECK(best == all.size());
    test::write_bytes(folder("noise"), [&] {
        std::string noise(300'000, '\0');
        for (char& c : noise) c = static_cast<char>(random() % 14);
        return noise;
    }());
    CHECK(test::got(salvage(folder("noise"))).entries.empty());
}

TEST_CASE("salvage: of the first format too") {
    const std::string fixture = std::string(RESTAND_SOURCE_DIR) + "/tests/fixtures/first.restand";
    const test::Folder folder;
    test::write_bytes(folder("w"), test::bytes_of(fixture));
    CHECK(test::got(salvage(folder("w"))).entries.size() == 14);
}
