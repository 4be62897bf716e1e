// Tasks that take long. Files are read, and entries verified and sorted, beside the writer. The store is asked
// for a few rows at a time, and merges a few entries at a time.

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <iterator>
#include <optional>
#include <set>
#include <string>
#include <string_view>

#include "app/sentences.h"
#include "app/views/season_wording.h"
#include "core/codec/body_json.h"
#include "core/codec/bundle.h"
#include "core/files/file.h"
#include "core/store/merging.h"
#include "core/sync/device_rest.h"
#include "platform/tasks.h"

namespace restand {

namespace {
namespace fs = std::filesystem;

// At these sizes a call takes about as long as a reading: some milliseconds.
constexpr std::size_t rows_a_call = 500, entries_a_transaction = 100;

// What a merge has done, and why it ended before all was in.
struct MergeEnd {
    Store::Merged merged;
    std::optional<Error> broken_off;
};

struct LongRunner {
    const StoreCalls& store;
    const TaskFolders& places;
    std::int64_t now_ms;
    int utc_offset_min;
    Progress& progress;

    Result<TaskResult> operator()(const task::Watch& e);
    Result<TaskResult> operator()(const task::Look& e);
    Result<TaskResult> operator()(const task::Exchange& e);
    Result<TaskResult> operator()(const task::Export& e);
    Result<TaskResult> operator()(const task::Import& e);
    template <class Short>
    Result<TaskResult> operator()(const Short&) {
        return Error{ErrorCode::in_use, places.workshop, "a short task"};
    }

    Result<std::vector<Entry>> opening() const {
        return store([](Store& s) { return s.opening(); });
    }
    Result<Sender> me(const std::vector<Entry>& opening) const;
    Result<std::vector<Entry>> walk(const std::vector<Lack>* wanted) const;
    MergeEnd merge(const std::vector<Entry>& entries) const;
    Result<TaskResult> give(const std::string& folder, const Store::Merged& merged, bool& changed) const;
    TaskResult broken_off(const Store::Merged& merged, const Error& why, std::string_view again) const;
    Error cancelled() const { return {ErrorCode::cancelled, places.workshop, ""}; }
};

// A device has its machine's name until somebody names it.
Result<Sender> LongRunner::me(const std::vector<Entry>& opening) const {
    for (bool counted = false; !counted;) {
        const auto some = store([](Store& s) { return s.count(rows_a_call); });
        if (!some) return some.error();
        if (progress.cancelled) return cancelled();
        counted = *some;
    }
    return store([&](Store& s) -> Result<Sender> {
        auto holds = s.ranges();
        if (!holds) return holds.error();
        Sender sender{s.device(), places.host, now_ms, std::move(*holds)};
        Ledger ledger;
        read_into(ledger, opening);
        if (const std::string name = ledger.device_name(s.device()); !name.empty()) sender.name = name;
        return sender;
    });
}

// All entries, or those wanted, by clock.
Result<std::vector<Entry>> LongRunner::walk(const std::vector<Lack>* wanted) const {
    std::vector<Entry> entries;
    for (Store::Walk walk; !walk.ended;) {
        auto some = store([&](Store& s) { return s.next(walk, rows_a_call, wanted); });
        if (!some) return some;
        if (progress.cancelled) return cancelled();
        std::move(some->begin(), some->end(), std::back_inserter(entries));
    }
    std::sort(entries.begin(), entries.end(), earlier);
    return entries;
}

MergeEnd LongRunner::merge(const std::vector<Entry>& entries) const {
    Merging merging(entries);
    for (bool done = false; !done;) {
        const auto stepped =
            store([&](Store& s) { return merging.step(s, entries_a_transaction, &progress); });
        if (!stepped) return {merging.merged(), stepped.error()};
        done = *stepped;
    }
    return {merging.merged(), std::nullopt};
}

// " 3 refused; the first: … ." and what is wrong with the clocks; empty: nothing.
std::string remarks(const Store::Merged& merged) {
    std::string said;
    if (!merged.refused.empty())
        said = fmt::format(" {} refused; the first: {}.", merged.refused.size(),
                           sentence(merged.refused.front()));
    if (const std::string clocks = clocks_apart(merged.clock_apart_ms); !clocks.empty())
        said += " " + clocks + ".";
    return said;
}

// The entries that a task has stored before it was stopped or failed, and what to do. Where they cannot be
// read now either, they are read when the workshop is opened the next time.
TaskResult LongRunner::broken_off(const Store::Merged& merged, const Error& why,
                                  std::string_view again) const {
    const bool stopped = why.code == ErrorCode::cancelled;
    Error named = why;
    named.subject = wording::file_name(why.subject);
    std::string said = stopped ? fmt::format("Stopped: {} new entries are in. {}", merged.added, again)
                               : fmt::format("{} new entries are in, then it failed: {}. {}", merged.added,
                                             sentence(named), again);
    auto entries = opening();
    if (!entries) said += " They show when Restand is started again.";
    return task_result::Entries{entries ? std::move(*entries) : std::vector<Entry>{}, said + remarks(merged),
                                !stopped};
}

Result<TaskResult> LongRunner::operator()(const task::Watch& e) {
    // Decoded slice by slice: the bodies' text need not be held twice.
    std::vector<Fact> facts;
    for (Store::Walk walk; !walk.ended;) {
        auto some = store([&](Store& s) { return s.next_of_season(e.bike, walk, rows_a_call); });
        if (!some) return some.error();
        if (progress.cancelled) return cancelled();
        for (const Entry& entry : *some)
            if (auto fact = decode(entry)) facts.push_back(std::move(*fact));
    }
    std::sort(facts.begin(), facts.end(),
              [](const Fact& a, const Fact& b) { return earlier(a.entry, b.entry); });
    // What was superseded after it had been read.
    std::set<Id> gone;
    for (const Fact& fact : facts) gone.insert(fact.entry.supersedes.begin(), fact.entry.supersedes.end());
    std::erase_if(facts, [&](const Fact& fact) { return gone.contains(fact.entry.id); });
    std::vector<const Fact*> all;
    for (const Fact& fact : facts) all.push_back(&fact);
    return TaskResult{task_result::Samples{
        e.bike, e.what, e.end, e.point, samples(all, e.what, e.end, e.point, e.chain_pitch), part_use(all)}};
}

Result<TaskResult> LongRunner::operator()(const task::Look& e) {
    const auto known = opening();
    if (!known) return known.error();
    const auto who = me(*known);
    if (!who) return who.error();
    auto seen = look(FolderPlace{e.folder}, *who);
    if (!seen) return seen.error();
    leave_out(*seen, *known);
    return TaskResult{task_result::Seen{e.folder, std::move(*seen), who->name}};
}

Result<TaskResult> LongRunner::operator()(const task::Exchange& e) {
    const auto known = opening();
    if (!known) return known.error();
    const auto who = me(*known);
    if (!who) return who.error();
    const auto taken = take(FolderPlace{e.folder}, *who, &progress);
    if (!taken) return taken.error();
    auto [merged, failed] = merge(taken->entries);
    merged.refused.insert(merged.refused.begin(), taken->refused.begin(), taken->refused.end());
    bool changed = merged.added > 0;
    auto given = failed ? Result<TaskResult>(*failed) : give(e.folder, merged, changed);
    if (given || !changed) return given;
    return broken_off(merged, given.error(), "Exchange again for the rest.");
}

// An exchange's second half. `changed`: something was stored.
Result<TaskResult> LongRunner::give(const std::string& folder, const Store::Merged& merged,
                                    bool& changed) const {
    const FolderPlace place{folder};
    auto entries = opening();
    if (!entries) return entries.error();
    const auto come_back = store([&](Store& s) -> Result<bool> {
        const auto back = back_from_rest(*entries, s.device());
        if (!back) return false;
        const auto written = s.append(*back);
        if (!written) return written.error();
        return true;
    });
    if (!come_back) return come_back.error();
    changed = changed || *come_back;
    if (*come_back)
        if (entries = opening(); !entries) return entries.error();
    // Entries taken are now held here: the other devices are told, so that nobody sends them again.
    const auto who = me(*entries);
    if (!who) return who.error();
    const auto count = put(
        place, *who, [this](const std::vector<Lack>& lack) { return walk(&lack); }, &progress);
    if (!count) return count.error();
    auto seen = look(place, *who);
    if (!seen) return seen.error();
    leave_out(*seen, *entries);
    return TaskResult{task_result::Exchanged{folder, *count, merged.added, merged.refused,
                                             clocks_apart(merged.clock_apart_ms), std::move(*seen),
                                             std::move(*entries)}};
}

Result<TaskResult> LongRunner::operator()(const task::Export& e) {
    const auto known = opening();
    if (!known) return known.error();
    auto who = me(*known);
    if (!who) return who.error();
    auto entries = walk(nullptr);
    if (!entries) return entries.error();
    const fs::path folder = e.folder.empty() ? places.documents : e.folder;
    const std::string stem = fs::path(places.workshop).stem().string();
    const fs::path path =
        folder / fmt::format("{}-{}.bundle", stem, wording::iso_day(now_ms, utc_offset_min));
    const std::string bytes = write_sync_bundle({std::move(*who), std::move(*entries)});
    if (const auto written = write_file_durably(path.string(), bytes); !written) return written.error();
    return TaskResult{task_result::Said{"Written: " + path.string()}};
}

Result<TaskResult> LongRunner::operator()(const task::Import& e) {
    const auto bytes = read_file(e.path, bundle_cap);
    if (!bytes) return bytes.error();
    const auto sync_bundle = read_sync_bundle(*bytes, &progress, Verified::by_merge);
    if (!sync_bundle) return sync_bundle.error();
    const auto [merged, failed] = merge(sync_bundle->entries);
    auto entries = failed ? Result<std::vector<Entry>>(*failed) : opening();
    if (!entries && merged.added == 0) return entries.error();
    if (!entries) return broken_off(merged, entries.error(), "Import the file again for the rest.");
    return TaskResult{task_result::Entries{
        std::move(*entries),
        fmt::format("{} new entries, {} were known.", merged.added, merged.known) + remarks(merged)}};
}

}  // namespace

bool takes_long(const Task& task) {
    return std::holds_alternative<task::Exchange>(task) || std::holds_alternative<task::Look>(task) ||
           std::holds_alternative<task::Import>(task) || std::holds_alternative<task::Export>(task) ||
           std::holds_alternative<task::Watch>(task);
}

Result<TaskResult> run_long(const Task& task, const StoreCalls& store, const TaskFolders& places,
                            std::int64_t now_ms, int utc_offset_min, Progress& progress) {
    LongRunner runner{store, places, now_ms, utc_offset_min, progress};
    return std::visit(runner, task);
}

}  // namespace restand
