#include "platform/tasks.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>

#include "app/print/sheet_of.h"
#include "app/print/sheet_of_page.h"
#include "app/sentences.h"
#include "app/views/season_wording.h"
#include "core/casefile/case_json.h"
#include "core/codec/body_json.h"
#include "core/codec/bundle.h"
#include "core/codec/canonical.h"
#include "core/files/file.h"
#include "core/ledger/restore_plan.h"
#include "core/ledger/setup_then.h"
#include "core/store/emergency.h"
#include "core/sync/device_rest.h"
#include "platform/bike_file.h"
#include "platform/modules/modules.h"
#include "platform/places.h"
#include "platform/system.h"

namespace restand {

namespace {
namespace fs = std::filesystem;

// An entry, with what is needed to show the set-up that it stands for: of a swap also what it read.
Result<std::vector<Entry>> with_setup(const Store& store, const Id& id) {
    auto found = store.find(id);
    if (!found) return found.error();
    if (!*found) return Error{ErrorCode::not_found, to_text(id), ""};
    Entry& entry = **found;
    auto entries = store.setup(entry.bike, entry.clock);
    if (!entries) return entries.error();
    if (entry.kind == "swap") {
        auto of_swap = store.about(id);
        if (!of_swap) return of_swap.error();
        std::move(of_swap->begin(), of_swap->end(), std::back_inserter(*entries));
    }
    entries->push_back(std::move(entry));
    return entries;
}

struct Runner {
    Store& store;
    const TaskFolders& places;
    std::int64_t now_ms;
    int utc_offset_min;

    Result<TaskResult> operator()(const task::Baselines& e) {
        auto entries = store.of_bike(e.bike, "baseline");
        if (!entries) return entries.error();
        return TaskResult{task_result::Entries{std::move(*entries), {}}};
    }
    Result<TaskResult> operator()(const task::History& e) {
        auto page = store.history(e.query);
        if (!page) return page.error();
        return TaskResult{task_result::Page{e.query, std::move(*page)}};
    }
    Result<TaskResult> operator()(const task::Find& e) {
        auto entries = with_setup(store, e.entry);
        if (!entries) return entries.error();
        return TaskResult{task_result::Entries{std::move(*entries), {}}};
    }
    Result<TaskResult> operator()(const task::Places& e);
    Result<TaskResult> operator()(const task::TakeBike& e);
    Result<TaskResult> operator()(const task::HandOver& e);

    // Not done on this thread: see platform/session_copies.h and session_work.h.
    Result<TaskResult> operator()(const task::Watch&) { return not_here(); }
    Result<TaskResult> operator()(const task::Look&) { return not_here(); }
    Result<TaskResult> operator()(const task::Exchange&) { return not_here(); }
    Result<TaskResult> operator()(const task::Export&) { return not_here(); }
    Result<TaskResult> operator()(const task::Import&) { return not_here(); }
    Result<TaskResult> operator()(const task::Copies&) { return not_here(); }
    Result<TaskResult> operator()(const task::BackUp&) { return not_here(); }
    Result<TaskResult> operator()(const task::BeginNew&) { return not_here(); }
    Result<TaskResult> operator()(const task::Rejected&) { return rejected(""); }
    Result<TaskResult> operator()(const task::DiscardRejected& e) {
        const auto thrown = throw_away(places.rejected, e.entries);
        if (!thrown) return thrown.error();
        return rejected("Thrown away. They can still be read in " + *thrown + ".");
    }
    Result<TaskResult> operator()(const task::Restore&) { return not_here(); }
    Result<TaskResult> operator()(const task::ReadTable& e) {
        const auto bytes = read_file(e.path, 16u << 20);
        if (!bytes) return bytes.error();
        auto table = read_table(*bytes);
        if (!table) return table.error();
        return TaskResult{task_result::Table{e.path, std::move(*table)}};
    }
    Result<TaskResult> operator()(const task::Sheet& e);
    Result<TaskResult> operator()(const task::PrintPage& e);

    Result<TaskResult> not_here() const {
        return Error{ErrorCode::in_use, places.workshop, "close it first"};
    }
    Result<TaskResult> rejected(std::string said);
    Result<Ledger> whole(const Id& entry);
    std::string folder_or_documents(const std::string& folder) const {
        return folder.empty() ? places.documents : folder;
    }
};

Result<TaskResult> Runner::rejected(std::string said) {
    auto rejected = read_rejected(places.rejected);
    if (!rejected) return rejected.error();
    return TaskResult{
        task_result::Rejected{{std::move(rejected->entries), rejected->unreadable}, std::move(said)}};
}

std::string as_file_name(std::string name) {
    for (char& c : name)
        if (c == '/' || c == '\\' || c == ':') c = '-';
    return name;
}

// --- Places
// -------------------------------------------------------------------------------------------------------------------

void list_files(const fs::path& folder, FoundPlace& place) {
    std::error_code failed;
    constexpr std::size_t most = 12;
    for (fs::directory_iterator it(folder, failed), end; !failed && it != end; it.increment(failed)) {
        if (!it->is_regular_file(failed)) continue;
        const std::string kind = it->path().extension().string();
        if (kind == ".json" && place.cases.size() < most) place.cases.push_back(it->path().string());
        if (kind == ".bundle" && place.bundles.size() < most) place.bundles.push_back(it->path().string());
        if ((kind == ".csv" || kind == ".CSV") && place.tables.size() < most)
            place.tables.push_back(it->path().string());
    }
    std::sort(place.bundles.begin(), place.bundles.end());
    std::sort(place.tables.begin(), place.tables.end());
    std::sort(place.cases.begin(), place.cases.end());
}

Result<TaskResult> Runner::operator()(const task::Places& e) {
    task_result::Places n;
    for (const fs::path& stick : sticks()) {
        FoundPlace place{stick.string(), "stick " + stick.filename().string(), true, {}, {}, {}};
        list_files(stick, place);
        n.places.push_back(std::move(place));
    }
    std::error_code failed;
    if (!e.also.empty() && fs::is_directory(e.also, failed) &&
        std::none_of(n.places.begin(), n.places.end(),
                     [&](const FoundPlace& p) { return p.folder == e.also; })) {
        FoundPlace place{e.also, fs::path(e.also).filename().string(), false, {}, {}, {}};
        list_files(e.also, place);
        n.places.push_back(std::move(place));
    }
    FoundPlace own{places.documents, "documents of this device", false, {}, {}, {}};
    list_files(places.documents, own);
    n.places.push_back(std::move(own));
    return TaskResult{std::move(n)};
}

// --- Bikes
// ------------------------------------------------------------------------------------------------------------------

Result<TaskResult> Runner::operator()(const task::TakeBike& e) {
    const auto text = read_file(e.path, case_cap);
    if (!text) return text.error();
    const auto c = read_ledger_case(*text);
    if (!c)
        return Error{c.error().code, wording::file_name(e.path) + ": " + c.error().subject, c.error().detail};
    auto taken = take_bike(store, *c, wording::file_name(e.path), e.by);
    if (!taken) return taken.error();
    return TaskResult{
        task_result::Entries{std::move(taken->entries),
                             fmt::format("{} is taken in, with {} values.", taken->name, taken->values)}};
}

// A file that is there already is kept: the bike may have been handed over as it stood earlier.
Result<TaskResult> Runner::operator()(const task::HandOver& e) {
    const auto text = bike_file(store, e.bike);
    if (!text) return text.error();
    const auto c = read_ledger_case(*text);
    if (!c) return c.error();
    const std::string stem = as_file_name(c->bike.name + " " + wording::iso_day(now_ms, utc_offset_min));
    fs::path path = fs::path(folder_or_documents(e.folder)) / (stem + ".json");
    std::error_code failed;
    for (int n = 2; fs::exists(path, failed); ++n)
        path.replace_filename(fmt::format("{} ({}).json", stem, n));
    if (const auto written = write_file_durably(path.string(), *text); !written) return written.error();
    return TaskResult{task_result::Said{"Written: " + path.string()}};
}

// --- The sheet
// ---------------------------------------------------------------------------------------------------------------

// The workshop as it opens, plus what one entry of a bike needs.
Result<Ledger> Runner::whole(const Id& entry) {
    Ledger ledger;
    auto entries = store.opening();
    if (!entries) return entries.error();
    read_into(ledger, *entries);
    const auto then = with_setup(store, entry);
    if (!then) return then.error();
    read_into(ledger, *then);
    return ledger;
}

Result<TaskResult> Runner::operator()(const task::Sheet& e) {
    const bool of_plan = e.baseline.nil();
    const auto found = store.find(of_plan ? e.plan_target : e.baseline);
    if (!found) return found.error();
    if (!*found) return Error{ErrorCode::not_found, "the baseline", ""};
    const auto ledger = whole((*found)->id);
    if (!ledger) return ledger.error();
    const Bike* bike = ledger->bike(of_plan ? e.plan_bike : (*found)->bike);
    if (!bike) return Error{ErrorCode::not_found, "the bike", ""};
    SheetPage page;
    if (of_plan) {
        const SetUp now = setup_now(*ledger, bike->id);
        const Fact* target = ledger->fact((*found)->id);
        if (!target) return Error{ErrorCode::not_found, "the target", "of a newer Restand"};
        const SetUp then = setup_then(*ledger, *target);
        page = sheet_of_plan(*ledger, *bike, restore_plan(bike->body, now, then, ledger->open_plan(bike->id)),
                             now, then, now_ms, utc_offset_min);
    } else {
        const Baseline* baseline = ledger->baseline(e.baseline);
        if (!baseline) return Error{ErrorCode::not_found, "the baseline", "it was taken back"};
        page = sheet_of_baseline(*ledger, *baseline, now_ms, utc_offset_min);
    }
    const auto paper = paper_module();
    if (!paper) return paper.error();
    const auto pdf = (*paper)->print(page, Paper::a4);
    if (!pdf) return pdf.error();
    const std::string name = as_file_name(bike->body.name + (of_plan ? " way back " : " ") +
                                          wording::iso_day((*found)->clock.ms, utc_offset_min));
    const fs::path path = fs::path(folder_or_documents(e.folder)) / (name + ".pdf");
    if (const auto written = write_file_durably(path.string(), *pdf); !written) return written.error();
    return TaskResult{task_result::Said{"Sheet written: " + path.string()}};
}

Result<TaskResult> Runner::operator()(const task::PrintPage& e) {
    SheetPage page = sheet_of_page(*e.page, now_ms, utc_offset_min);
    const auto paper = paper_module();
    if (!paper) return paper.error();
    auto pdf = (*paper)->print(page, Paper::a4);
    // Too long for one page: the lines that fit, and how many are left out.
    while (!pdf && pdf.error().code == ErrorCode::too_large && shorten(page))
        pdf = (*paper)->print(page, Paper::a4);
    if (!pdf) return pdf.error();
    const std::string name = as_file_name(page.title + " " + wording::iso_day(now_ms, utc_offset_min));
    const fs::path path = fs::path(folder_or_documents(e.folder)) / (name + ".pdf");
    if (const auto written = write_file_durably(path.string(), *pdf); !written) return written.error();
    return TaskResult{task_result::Said{"Page written: " + path.string()}};
}

// In the folder where a user's programs keep their state, one folder per workshop. Not
// beside the workshop, whose disk may be the one that fails.
std::string rejected_of(const fs::path& workshop) {
    std::error_code failed;
    const std::string whole = fs::weakly_canonical(workshop, failed).string();
    return (own_state_folder() / to_text(sha256(whole)).substr(0, 16)).string();
}
}  // namespace

TaskFolders task_folders(const std::string& workshop) {
    const fs::path file = workshop;
    TaskFolders places{
        workshop, (file.parent_path() / "backups").string(), rejected_of(file), {}, host_name()};
    const fs::path documents = documents_folder();
    places.documents = (documents.empty() ? file.parent_path() : documents).string();
    return places;
}

Result<TaskResult> run(const Task& task, Store& store, const TaskFolders& places, std::int64_t now_ms,
                       int utc_offset_min) {
    Runner runner{store, places, now_ms, utc_offset_min};
    return std::visit(runner, task);
}

}  // namespace restand
