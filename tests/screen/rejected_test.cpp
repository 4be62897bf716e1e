// Entries that another program's lock on the workshop file keeps out of it.

#include <doctest/doctest.h>
#include <sqlite3.h>

#include "core/codec/body_json.h"
#include "core/store/emergency.h"
#include "platform/rejected.h"
#include "tests/screen/team.h"

using namespace restand;

TEST_CASE("rejected: an entry refused because another program holds the file is kept, and taken later") {
    const test::WalkFolder folder;
    const std::string file = (folder.path / "w.restand").string(), state = (folder.path / "state").string();
    auto store = Store::open(file, Store::Mode::create);
    REQUIRE(store.has_value());
    const NewEntry entry = encode(PersonBody{"Ilse"}, {}, {}, {});
    sqlite3* other = nullptr;
    REQUIRE(sqlite3_open(file.c_str(), &other) == SQLITE_OK);
    REQUIRE(sqlite3_exec(other, "BEGIN IMMEDIATE", nullptr, nullptr, nullptr) == SQLITE_OK);
    CHECK_FALSE(append_or_keep_rejected(*store, {entry}, state, 5).has_value());
    sqlite3_close(other);
    const auto kept = read_rejected(state);
    REQUIRE(kept.has_value());
    REQUIRE(kept->entries.size() == 1);
    CHECK(kept->entries[0].entry == entry);
    CHECK(append_or_keep_rejected(*store, {entry}, state, 6).has_value());
    CHECK(read_rejected(state)->entries.empty());
}
