#include "core/store/writer.h"

#include <atomic>
#include <thread>

#include "tests/store/workshop.h"

using namespace restand;

namespace {
NewEntry person(const std::string& name) {
    return encode(PersonBody{name});
}
}  // namespace

TEST_CASE("writer: what comes back is what is on disk, in the order asked for") {
    const test::Folder folder;
    std::atomic<int> called = 0;
    Writer writer(test::open(folder("w.restand")), [&] { ++called; });
    std::vector<Ticket> tickets;
    for (int i = 0; i < 20; ++i) tickets.push_back(writer.append({person(std::to_string(i))}));
    writer.drain();
    CHECK(writer.waiting() == 0);
    const auto written = writer.collect();
    REQUIRE(written.size() == 20);
    const Store reader = test::open(folder("w.restand"), Store::Mode::read);
    for (std::size_t i = 0; i < written.size(); ++i) {
        CHECK(written[i].ticket.value == tickets[i].value);
        REQUIRE(written[i].entries);
        CHECK(test::got(reader.find(written[i].entries->at(0).id)) == written[i].entries->at(0));
        CHECK(written[i].entries->at(0).number == i + 1);
    }
    CHECK(writer.collect().empty());
    CHECK(called == 20);
}

TEST_CASE("writer: a failed append is reported with its ticket, the next one goes in") {
    const test::Folder folder;
    Writer writer(test::open(folder("w.restand")), {});
    const Ticket good = writer.append({person("Ines")});
    const Ticket bad = writer.append({person("Noor"), {"person", {}, {}, {}, {}, "no json"}});
    const Ticket after = writer.append({person("Bram")});
    writer.drain();
    const auto written = writer.collect();
    REQUIRE(written.size() == 3);
    CHECK(written[0].ticket.value == good.value);
    CHECK(written[0].entries);
    CHECK(written[1].ticket.value == bad.value);
    CHECK(written[1].entries.error().code == ErrorCode::damaged);
    CHECK(written[2].ticket.value == after.value);
    CHECK(written[2].entries->at(0).number == 2);
}

TEST_CASE(
    "writer: what throws is refused with its ticket, nothing of it is stored, and the next one goes in") {
    const test::Folder folder;
    Writer writer(test::open(folder("w.restand")), {});
    std::atomic<int> slices = 0;
    const auto throws = [](auto what) {
        return [what](Store&) -> Result<std::vector<Entry>> { throw what; };
    };
    const Ticket no_memory = writer.ask(throws(std::bad_alloc()));
    const Ticket broken = writer.ask(throws(BrokenInvariant{"of this test"}));
    writer.in_between([&](Store&) {
        ++slices;
        throw std::bad_alloc();
    });
    const Ticket after = writer.append({person("Bram")});
    writer.drain();
    const auto written = writer.collect();
    REQUIRE(written.size() == 3);
    CHECK(written[0].ticket.value == no_memory.value);
    CHECK(written[0].entries.error().code == ErrorCode::io);
    CHECK(written[1].ticket.value == broken.value);
    CHECK(written[1].entries.error().detail == "of this test");
    CHECK(written[2].ticket.value == after.value);
    CHECK(test::got(written[2].entries).at(0).number == 1);
    for (int i = 0; i < 2000 && slices == 0; ++i) std::this_thread::sleep_for(std::chrono::milliseconds(5));
    CHECK(slices == 1);
    CHECK(test::got(test::open(folder("w.restand"), Store::Mode::read).all()).size() == 1);
}

TEST_CASE("writer: its end finishes what was asked, with the newest draft") {
    const test::Folder folder;
    {
        Writer writer(test::open(folder("w.restand")), {});
        for (int i = 0; i < 10; ++i) {
            writer.append({person(std::to_string(i))});
            writer.keep_draft("draft " + std::to_string(i));
        }
    }
    const Store store = test::open(folder("w.restand"), Store::Mode::read);
    CHECK(test::got(store.all()).size() == 10);
    CHECK(test::got(store.draft()) == "draft 9");
}

TEST_CASE("writer: asking does not wait for the disk") {
    const test::Folder folder;
    Writer writer(test::open(folder("w.restand")), {});
    for (int i = 0; i < 50; ++i) writer.append({person("Ines")});
    // Fifty commits take far longer than fifty calls; some must still be waiting.
    CHECK(writer.waiting() > 0);
    writer.drain();
    CHECK(writer.collect().size() == 50);
}
