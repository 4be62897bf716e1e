// While an import, an exchange or a plot is at work, readings are stored in between. Counted, not timed: how much
// one call to the store does, and how much was in when the reading was stored.

#include "platform/session_work.h"

#include <doctest/doctest.h>

#include <atomic>
#include <chrono>
#include <fstream>
#include <future>
#include <thread>

#include "core/codec/body_json.h"
#include "core/store/snapshot.h"
#include "core/sync/sync_bundle.h"
#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

constexpr std::uint64_t theirs = 2'500, at_once = 500;

std::uint64_t count_in(const Store& store) {
    const auto count = Snapshot::entries_in(store);
    REQUIRE(count.has_value());
    return *count;
}

// Another device's file with `theirs` entries, all of one bike.
void write_import(const std::filesystem::path& folder) {
    auto other = Store::open((folder / "other.restand").string(), Store::Mode::create);
    REQUIRE(other.has_value());
    BikeBody bike;
    bike.name = "12";
    std::vector<NewEntry> wanted{encode(bike)};
    for (std::uint64_t i = 1; i < theirs; ++i) {
        EventBody event;
        event.day = "2026-03-14", event.words = "lap " + std::to_string(i);
        wanted.push_back(encode(event));
    }
    const auto entries = other->append_new_bike(wanted);
    REQUIRE(entries.has_value());
    std::ofstream(folder / "other.bundle", std::ios::binary) << write_sync_bundle({{}, *entries});
}

// Counts what each call adds; a reading follows each.
struct CountedCalls {
    Store& store;
    std::uint64_t calls = 0, most_added = 0;
    StoreCalls calls_to() {
        return StoreCalls([this](const std::function<void(Store&)>& call) -> Outcome {
            const std::uint64_t before = count_in(store);
            call(store);
            most_added = std::max(most_added, count_in(store) - before);
            ++calls;
            REQUIRE(store.append(encode(PersonBody{"Ines"})).has_value());
            return Done{};
        });
    }
};

}  // namespace

TEST_CASE(
    "long work: an import, an exchange, an export and a plot take the store for a few entries at a time") {
    const WalkFolder folder;
    write_import(folder.path);
    const auto file = (folder.path / "w.restand").string();
    auto store = Store::open(file, Store::Mode::create);
    REQUIRE(store.has_value());
    const TaskFolders places = task_folders(file);
    const auto stick = (folder.path / "stick").string();
    std::filesystem::create_directories(stick);
    const auto done = [&](const Task& task) {
        REQUIRE(takes_long(task));
        CountedCalls counted{*store};
        Progress progress;
        const auto result = run_long(task, counted.calls_to(), places, 1'772'323'200'000, 0, progress);
        REQUIRE_MESSAGE(result.has_value(), result.error().detail);
        CHECK(counted.most_added <= at_once);
        return counted.calls;
    };
    CHECK(done(task::Import{(folder.path / "other.bundle").string()}) > theirs / at_once);
    CHECK(count_in(*store) > theirs);
    CHECK(done(task::Exchange{stick}) > theirs / at_once);
    CHECK(done(task::Export{stick}) > theirs / at_once);
    const auto bike = store->opening();
    REQUIRE(bike.has_value());
    for (const Entry& e : *bike)
        if (e.kind == "bike")
            CHECK(done(task::Watch{e.id, Watched{}, End::rear, Point::ride_height_rider, {}}) >
                  theirs / at_once);
    // Whoever comes to that stick next gets all of it, what was stored meanwhile too.
    auto next = Store::open((folder.path / "next.restand").string(), Store::Mode::create);
    REQUIRE(next.has_value());
    CountedCalls counted{*next};
    Progress progress;
    REQUIRE(run_long(task::Exchange{stick}, counted.calls_to(), places, 1'772'323'200'000, 0, progress)
                .has_value());
    CHECK(count_in(*next) > theirs);
    CHECK(counted.most_added <= at_once);
}

TEST_CASE("long work: a reading asked for while an import is under way is stored after one more call") {
    const WalkFolder folder;
    write_import(folder.path);
    const auto file = (folder.path / "w.restand").string();
    auto store = Store::open(file, Store::Mode::create);
    REQUIRE(store.has_value());
    Writer writer(std::move(*store), {});
    LongWork work(task_folders(file), writer, {});
    // The writer is held until the import waits for it; the reading comes behind the import's first call.
    std::promise<void> let_go;
    writer.ask([held = let_go.get_future().share()](Store&) -> Result<std::vector<Entry>> {
        held.wait();
        return std::vector<Entry>{};
    });
    work.ask(1, task::Import{(folder.path / "other.bundle").string()}, 0, std::make_shared<Progress>());
    while (writer.waiting() < 2) std::this_thread::yield();
    std::uint64_t in_then = 0;
    writer.ask([&in_then](Store& s) -> Result<std::vector<Entry>> {
        auto stored = s.append(encode(PersonBody{"Ines"}));
        in_then = count_in(s);
        if (!stored) return stored.error();
        return std::vector<Entry>{};
    });
    let_go.set_value();
    work.drain();
    writer.drain();
    CHECK(in_then <= at_once + 1);
    CHECK(in_then > 1);
    const auto came = work.collect();
    REQUIRE(came.size() == 1);
    CHECK(came[0].task_result.has_value());
    std::uint64_t in_the_end = 0;
    writer.ask([&in_the_end](Store& s) -> Result<std::vector<Entry>> {
        in_the_end = count_in(s);
        return std::vector<Entry>{};
    });
    writer.drain();
    CHECK(in_the_end == theirs + 1);
}

TEST_CASE("long work: given up, it ends, what is in stays, and the app says how to go on") {
    const WalkFolder folder;
    write_import(folder.path);
    const auto file = (folder.path / "w.restand").string();
    auto store = Store::open(file, Store::Mode::create);
    REQUIRE(store.has_value());
    Progress progress;
    std::uint64_t calls = 0;
    const StoreCalls stops([&](const std::function<void(Store&)>& call) -> Outcome {
        call(*store);
        progress.cancelled = ++calls == 3;
        return Done{};
    });
    const auto result = run_long(task::Import{(folder.path / "other.bundle").string()}, stops,
                                 task_folders(file), 1'772'323'200'000, 0, progress);
    REQUIRE(result.has_value());
    const auto* entries = std::get_if<task_result::Entries>(&*result);
    REQUIRE(entries);
    CHECK(entries->said == "Stopped: " + std::to_string(count_in(*store)) +
                               " new entries are in. Import the file again for the rest.");
    CHECK(count_in(*store) > 0);
    CHECK(count_in(*store) < theirs);
}

TEST_CASE("long work: a session ends while its import waits for the writer, and the file is whole") {
    const WalkFolder folder;
    write_import(folder.path);
    const auto file = folder.path / "w.restand";
    // The writer's thread calls `wake` after each request; it is held in the first call.
    std::atomic<bool> hold = false;
    std::promise<void> held, let_go;
    const auto wake = [&, released = let_go.get_future().share()] {
        if (!hold.exchange(false)) return;
        held.set_value();
        released.wait();
    };
    auto session = Session::open(file, tablet, wake);
    REQUIRE(session.has_value());
    (*session)->settle_copies();
    hold = true;
    (*session)->act(act::ImportFrom{(folder.path / "other.bundle").string()});
    held.get_future().wait();
    auto ended = std::async(std::launch::async, [&] { session->reset(); });
    CHECK(ended.wait_for(std::chrono::milliseconds(50)) == std::future_status::timeout);
    let_go.set_value();
    CHECK(ended.wait_for(std::chrono::seconds(30)) == std::future_status::ready);
    ended.wait();
    auto store = Store::open(file.string(), Store::Mode::write);
    REQUIRE(store.has_value());
    const auto health = store->check();
    REQUIRE(health.has_value());
    CHECK(health->whole);
    CHECK(health->found.empty());
    CHECK(count_in(*store) <= at_once);
}
