// What somebody who may write to a place can do to those who meet there: nobody is hidden, no entry is kept
// out.

#include <filesystem>

#include "core/codec/bundle.h"
#include "core/codec/canonical.h"
#include "core/sync/postgres.h"
#include "tests/store/postgres_server.h"
#include "tests/store/team.h"

using namespace restand;
using test::server;
namespace fs = std::filesystem;

namespace {

std::string hex(std::string_view bytes) {
    std::string text = "'\\x";
    for (const char c : bytes) {
        char two[3];
        std::snprintf(two, sizeof two, "%02x", static_cast<unsigned char>(c));
        text += two;
    }
    return text + "'";
}
template <std::size_t N>
std::string hex(const std::array<std::uint8_t, N>& bytes) {
    return hex(std::string_view(reinterpret_cast<const char*>(bytes.data()), N));
}
std::string number(std::uint64_t v) {
    return std::to_string(static_cast<std::int64_t>(v));
}

// The entry as a row, as a device would put it.
std::string row_of(const Entry& e) {
    return "insert into restand_entry values (" + hex(e.id.bytes) + "," + number(e.device) + "," +
           number(e.number) + "," + number(static_cast<std::uint64_t>(e.clock.ms)) + "," +
           number(e.clock.counter) + "," + hex(e.previous) + "," + hex(e.kind) + "," + hex(e.bike.bytes) +
           "," + hex(e.about.bytes) + "," + hex(e.by.bytes) + ",''," + hex(e.hash) + ",'" + e.body + "')";
}
std::string word_of(std::uint64_t device, std::uint64_t entries, const std::string& holds) {
    return "insert into restand_device values (" + number(device) + ",'forged',9000000000000," +
           number(entries) + "," + hex(holds) + ")";
}
// A person of that size; no device of ours writes one of more than 1 MiB.
Entry person_of(const test::Device& device, std::size_t bytes) {
    Entry e = test::got(device.store.all()).back();
    e.number += 1;
    e.id.bytes[15] ^= 1;
    e.previous = e.hash;
    e.body = R"({"name":")" + std::string(bytes - 11, 'x') + "\"}";
    e.hash = test::got(hash_of(e));
    REQUIRE(e.body.size() == bytes);
    return e;
}

const Seen& seen(const std::vector<Seen>& all, std::uint64_t device) {
    const auto found =
        std::find_if(all.begin(), all.end(), [&](const Seen& s) { return s.sender.device == device; });
    REQUIRE(found != all.end());
    return *found;
}

}  // namespace

TEST_CASE("PostgreSQL: a forged word about a device neither hides it nor what it lacks") {
    if (!server()) return;
    const PostgresPlace place = server()->place("words");
    const test::Folder home;
    test::Device a(home, "a"), b(home, "b");
    a.write(5);
    b.write(2);
    test::exchange(place, b);
    test::got(put(place, a.sender(), a.those()));
    const auto lacks = [&] { return seen(test::got(look(place, a.sender())), b.store.device()).lacks; };
    CHECK(lacks() == 5);
    const auto forge = [&](const std::string& statement) {
        REQUIRE(server()->sql("team", "words", statement));
    };
    const std::uint64_t most = 1ull << 62, who = b.store.device();
    // No word at all, and one that speaks for another.
    forge(word_of(who, most, "nothing"));
    CHECK(lacks() == 5);
    forge(word_of(who, most, write_sync_bundle({a.sender(), {}})));
    CHECK(lacks() == 5);
    // Numbers that nobody ever put there; and numbers that are there, with the sum of other entries.
    Sender said = b.sender(9'000'000'000'000);
    said.holds = a.sender().holds;
    said.holds[who] = {{{1, 900}}, 900, {}};
    forge(word_of(who, most, write_sync_bundle({said, {}})));
    CHECK(lacks() == 5);
    said.holds = a.sender().holds;
    said.holds[who] = b.sender().holds[who];
    said.holds[a.store.device()].sum[0] ^= 1;
    forge(word_of(who, most, write_sync_bundle({said, {}})));
    CHECK(lacks() == 5);
    // One that the entries bear out is believed until the device has written more than it said.
    said.holds[a.store.device()].sum[0] ^= 1;
    forge(word_of(who, most, write_sync_bundle({said, {}})));
    b.write(1);
    test::got(put(place, b.sender(), b.those()));
    CHECK(lacks() == 5);
    // A device of which there is nothing but what cannot be believed is listed all the same.
    forge(word_of(77, most, "nothing"));
    CHECK(seen(test::got(look(place, a.sender())), 77).sender.name == "forged");
    CHECK(test::exchange(place, b) == 5);
    CHECK(lacks() == 0);
}

TEST_CASE(
    "PostgreSQL: a row placed there before, under an entry's id and hash, does not keep the entry out") {
    if (!server()) return;
    const PostgresPlace place = server()->place("placed");
    const test::Folder home;
    test::Device a(home, "a"), b(home, "b");
    a.write(6);
    const auto entries = test::got(a.store.all());
    Entry same = entries[1], moved = entries[3];
    same.body = moved.body = R"({"name":"forged"})";
    moved.number = 40;
    for (const Entry& forged : {same, moved}) REQUIRE(server()->sql("team", "placed", row_of(forged)));
    test::got(put(place, a.sender(), a.those()));
    // By its number and its hash the place holds the one; that it is not to be had shows when b lacks it.
    const auto met = [&](test::Device& device) {
        test::got(put(place, device.sender(), device.those()));
        const Taken taken = test::got(take(place, device.sender()));
        test::got(device.store.merge(taken.entries));
        test::got(put(place, device.sender(), device.those()));
        return taken.refused.size();
    };
    CHECK(met(b) == 2);
    met(a);
    met(b);
    CHECK(b.entries() == a.entries());
    // It is put once, not again and again.
    REQUIRE(server()->sql("owner", "placed", "select count(*) from restand_entry"));
    const std::string count = server()->said;
    met(a), met(b), met(a);
    REQUIRE(server()->sql("owner", "placed", "select count(*) from restand_entry"));
    CHECK(server()->said == count);
    CHECK(count == "8\n");
}

TEST_CASE("an entry of more than 1 MiB is refused by name, from a file as from a server") {
    const test::Folder home;
    test::Device a(home, "a"), b(home, "b");
    a.write(3);
    const Entry largest = person_of(a, body_cap);
    Entry larger = person_of(a, body_cap + 1);
    larger.number += 1;
    larger.id.bytes[15] ^= 2;
    larger.hash = test::got(hash_of(larger));
    auto all = test::got(a.store.all());
    all.insert(all.end(), {largest, larger});
    const auto merged =
        test::got(b.store.merge(test::got(read_sync_bundle(write_sync_bundle({a.sender(), all}))).entries));
    CHECK(merged.added == 4);
    REQUIRE(merged.refused.size() == 1);
    CHECK(merged.refused[0].code == ErrorCode::too_large);
    CHECK(merged.refused[0].subject == to_text(larger.id));

    if (!server()) return;
    const PostgresPlace place = server()->place("large");
    for (const Entry& e : all) REQUIRE(server()->sql("team", "large", row_of(e)));
    test::Device c(home, "c");
    const Taken taken = test::got(take(place, c.sender()));
    CHECK(taken.entries.size() == 4);
    REQUIRE(taken.refused.size() == 1);
    CHECK(taken.refused[0].code == ErrorCode::too_large);
    CHECK(taken.refused[0].subject == "PostgreSQL, entry " + to_text(larger.id));
}

TEST_CASE(
    "folder place: what cannot be read or contradicts its entries in a device's folder does not hide the "
    "device") {
    const test::Folder home, stick;
    const FolderPlace place{stick("")};
    test::Device a(home, "a"), b(home, "b");
    a.write(5);
    b.write(2);
    test::exchange(place, b);
    test::exchange(place, a);
    char folder[17];
    std::snprintf(folder, sizeof folder, "%016llx", static_cast<unsigned long long>(b.store.device()));
    const fs::path holds = fs::path(place.folder) / "restand-exchange" / folder / "holds.rst";
    const std::string genuine = test::bytes_of(holds.string());
    const auto told = [&] {
        const Seen s = seen(test::got(look(place, a.sender())), b.store.device());
        return s.sender.name + " lacks " + std::to_string(s.lacks);
    };
    CHECK(told() == "b lacks 5");
    // Its parcels say it too, and never change.
    for (const std::string& forged :
         {std::string("nothing"), genuine.substr(0, 80), write_sync_bundle({a.sender(), {}})}) {
        test::write_bytes(holds.string(), forged);
        CHECK(told() == "b lacks 5");
    }
    Sender said = b.sender();
    said.holds[a.store.device()] = a.sender().holds[a.store.device()];
    said.holds[a.store.device()].sum[0] ^= 1;
    test::write_bytes(holds.string(), write_sync_bundle({said, {}}));
    CHECK(told() == "b lacks 5");
    // An older word than what it has written since.
    b.write(3);
    test::exchange(place, b);
    test::exchange(place, a);
    CHECK(told() == "b lacks 0");
    test::write_bytes(holds.string(), genuine);
    const Seen late = seen(test::got(look(place, a.sender())), b.store.device());
    CHECK(late.sender.holds.at(b.store.device()).numbers.back().last == 5);
    fs::remove_all(holds.parent_path());
    CHECK(test::got(look(place, a.sender())).empty());
}
