// An import or an exchange that is stopped, or fails, anywhere: what is on disk by then is shown, and the
// notice says how much that is.

#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "app/meeting/meeting.h"
#include "core/codec/body_json.h"
#include "core/store/snapshot.h"
#include "core/sync/sync_bundle.h"
#include "platform/tasks.h"
#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

constexpr std::int64_t that_day_ms = 1'772'323'200'000;
constexpr std::size_t sent = 230, own = 2;  // sent in three transactions

void write_people(Store& store, std::size_t count, const std::string& name) {
    std::vector<NewEntry> wanted;
    for (std::size_t i = 0; i < count; ++i) wanted.push_back(encode(PersonBody{name + std::to_string(i)}));
    REQUIRE(store.append_all(wanted).has_value());
}

Store new_store(const std::filesystem::path& path) {
    auto store = Store::open(path.string(), Store::Mode::create);
    REQUIRE(store.has_value());
    return std::move(*store);
}

// What another device has sent: a file, and a stick on which one of its bundles is damaged.
struct Sent {
    WalkFolder folder;
    std::string file = (folder.path / "other.bundle").string(), stick = (folder.path / "stick").string();

    Sent() {
        std::filesystem::create_directories(stick);
        Store other = new_store(folder.path / "other.restand");
        write_people(other, sent, "Ines ");
        exchange(other);
        const auto good = bundles();
        const auto entries = other.all();
        REQUIRE(entries.has_value());
        std::ofstream(file, std::ios::binary) << write_sync_bundle({{}, *entries});
        write_people(other, 1, "Noor ");
        exchange(other);
        for (const auto& path : bundles())
            if (std::find(good.begin(), good.end(), path) == good.end())
                std::filesystem::resize_file(path, std::filesystem::file_size(path) - 1);
    }
    void exchange(Store& store) const {
        const StoreCalls calls([&](const std::function<void(Store&)>& call) -> Outcome {
            call(store);
            return Done{};
        });
        Progress progress;
        REQUIRE(run_long(task::Exchange{stick}, calls, task_folders(store.path()), that_day_ms, 0, progress)
                    .has_value());
    }
    std::vector<std::filesystem::path> bundles() const {
        std::vector<std::filesystem::path> found;
        for (const auto& f : std::filesystem::recursive_directory_iterator(stick))
            if (f.is_regular_file() && f.path().filename() != "holds.rst") found.push_back(f.path());
        return found;
    }
};

enum class Trouble { stopped, one_call_fails, all_fail_from_then_on };

// A task with trouble at one of its calls to the store.
struct TroubledRun {
    AppState state;
    std::size_t calls = 0, in_the_end = 0;

    TroubledRun(const Task& task, const std::filesystem::path& workshop, Trouble trouble, std::size_t at) {
        Store store = new_store(workshop);
        write_people(store, own, "Bram ");
        const auto opening = store.opening();
        REQUIRE(opening.has_value());
        read_into(state.ledger, *opening);
        Progress progress;
        const StoreCalls troubled([&](const std::function<void(Store&)>& call) -> Outcome {
            ++calls;
            const bool fails = trouble == Trouble::one_call_fails          ? calls == at
                               : trouble == Trouble::all_fail_from_then_on ? calls >= at
                                                                           : false;
            if (fails) return Error{ErrorCode::io, store.path(), "the disk is full"};
            call(store);
            if (trouble == Trouble::stopped && calls == at) progress.cancelled = true;
            return Done{};
        });
        came_back(state, 0, run_long(task, troubled, task_folders(store.path()), that_day_ms, 0, progress));
        const auto count = Snapshot::entries_in(store);
        REQUIRE(count.has_value());
        in_the_end = *count;
    }
    const std::string& said() const {
        REQUIRE(state.notice);
        return state.notice->text;
    }
    bool says(const std::string& words) const { return said().find(words) != std::string::npos; }
};

// At every call of the task. `refused`: what its notice keeps however it ends.
void trouble_everywhere(const Task& task, const WalkFolder& folder, const std::string& refused) {
    std::size_t file = 0, in_part = 0;
    const auto run = [&](Trouble trouble, std::size_t at) {
        const auto stick = folder.path / "stick", kept = folder.path / "kept";
        if (!std::filesystem::exists(kept))
            std::filesystem::copy(stick, kept, std::filesystem::copy_options::recursive);
        std::filesystem::remove_all(stick);
        std::filesystem::copy(kept, stick, std::filesystem::copy_options::recursive);
        return TroubledRun(task, folder.path / ("w" + std::to_string(++file) + ".restand"), trouble, at);
    };
    const std::size_t calls = run(Trouble::stopped, SIZE_MAX).calls;
    REQUIRE(calls >= 4);
    for (const Trouble trouble : {Trouble::stopped, Trouble::one_call_fails, Trouble::all_fail_from_then_on})
        for (std::size_t at = 1; at <= calls; ++at) {
            CAPTURE(static_cast<int>(trouble));
            CAPTURE(at);
            const TroubledRun one = run(trouble, at);
            CAPTURE(one.said());
            const std::size_t added = one.in_the_end - own;
            if (trouble != Trouble::all_fail_from_then_on)
                CHECK(one.state.ledger.people().size() == one.in_the_end);
            if (added == 0) continue;
            CHECK(one.says(std::to_string(added)));
            CHECK_FALSE(one.says("othing was changed"));
            CHECK(one.says(refused));
            if (one.says("for the rest.")) ++in_part;
            if (trouble == Trouble::all_fail_from_then_on) CHECK(one.says("started again"));
        }
    CHECK(in_part > 4);
}

}  // namespace

TEST_CASE("long work: an import stopped or failed at any call shows what is in, and says how much") {
    const Sent from;
    trouble_everywhere(task::Import{from.file}, from.folder, "");
}

TEST_CASE("long work: an exchange stopped or failed at any call shows what is in, and what was refused") {
    const Sent from;
    trouble_everywhere(task::Exchange{from.stick}, from.folder, "1 ");
    // Its last call is that of what it puts on the stick.
    const Task task = task::Exchange{from.stick};
    const auto calls = TroubledRun(task, from.folder.path / "c.restand", Trouble::stopped, SIZE_MAX).calls;
    std::filesystem::remove_all(from.folder.path / "stick");
    std::filesystem::copy(from.folder.path / "kept", from.stick, std::filesystem::copy_options::recursive);
    const TroubledRun stopped(task, from.folder.path / "s.restand", Trouble::stopped, calls);
    CHECK(
        stopped.says("Stopped: 230 new entries are in. Exchange again for the rest. 1 refused; the first: "));
    const TroubledRun failed(task, from.folder.path / "f.restand", Trouble::one_call_fails, calls);
    CHECK(
        failed.says("230 new entries are in, then it failed: f.restand: the system refused: the disk is "
                    "full. Exchange again for the rest. 1 refused; the first: "));
    CHECK(failed.state.notice->stop);
}
