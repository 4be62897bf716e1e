// The file is replaced, or written to by another, while it is open: noticed before the next write.

#include "core/store/store.h"
#include "tests/store/workshop.h"

using namespace restand;
using test::add_person;

namespace {

// Refused as the disk's fault, and nothing is written; for good, until it is opened again.
void refuses(Store& store) {
    const std::string before = test::bytes_of(store.path());
    for (int i = 0; i < 2; ++i) {
        const auto refused = store.append(encode(PersonBody{"Ines"}));
        REQUIRE_FALSE(refused);
        CHECK(refused.error().code == ErrorCode::io);
        CHECK_FALSE(store.keep_draft("half typed"));
    }
    CHECK(test::bytes_of(store.path()) == before);
}

}  // namespace

TEST_CASE(
    "replaced: another workshop, an older state or a clone copied over the open file is not written to") {
    const test::Folder folder;
    {
        Store other = test::open(folder("other.restand"));
        for (int i = 0; i < 3; ++i) add_person(other);
    }
    SUBCASE("another workshop") {
        Store store = test::open(folder("w.restand"));
        add_person(store);
        test::write_bytes(folder("w.restand"), test::bytes_of(folder("other.restand")));
        refuses(store);
    }
    SUBCASE("an older state of its own") {
        Store store = test::open(folder("w.restand"));
        add_person(store);
        const std::string then = test::bytes_of(folder("w.restand"));
        add_person(store);
        test::write_bytes(folder("w.restand"), then);
        refuses(store);
    }
    SUBCASE("a clone with as many changes") {
        {
            Store first = test::open(folder("w.restand"));
            add_person(first);
        }
        std::filesystem::copy_file(folder("w.restand"), folder("clone.restand"));
        Store store = test::open(folder("w.restand")), clone = test::open(folder("clone.restand"));
        add_person(store), add_person(clone);
        test::write_bytes(folder("w.restand"), test::bytes_of(folder("clone.restand")));
        refuses(store);
    }
    SUBCASE("not a workshop") {
        Store store = test::open(folder("w.restand"));
        add_person(store);
        test::write_bytes(folder("w.restand"), std::string(9000, 'x'));
        refuses(store);
    }
}

TEST_CASE("replaced: through a hard link, or with the lock's file deleted, two never write to one file") {
    const test::Folder folder;
    Store first = test::open(folder("w.restand"));
    add_person(first);
    std::string name = folder("w.restand");
    SUBCASE("a hard link") {
        name = folder("link.restand");
        std::filesystem::create_hard_link(folder("w.restand"), name);
    }
    SUBCASE("the lock's file deleted") {
        std::filesystem::remove(folder("w.restand.lock"));
    }
    auto second = Store::open(name, Store::Mode::write);
    REQUIRE(second);
    add_person(*second);
    refuses(first);
    add_person(*second);
    CHECK(test::got(second->check()).found.empty());
}

TEST_CASE("replaced: what a store writes itself is never taken for another's") {
    const test::Folder folder;
    Store store = test::open(folder("w.restand"));
    CHECK(store.keep_draft("half typed"));
    for (int i = 0; i < 20; ++i) {
        add_person(store);
        CHECK(store.keep_draft(std::to_string(i)));
        const Store reader = test::open(folder("w.restand"), Store::Mode::read);
        CHECK(test::got(reader.all()).size() == static_cast<std::size_t>(i) + 1);
    }
}
