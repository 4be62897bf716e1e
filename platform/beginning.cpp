#include "platform/beginning.h"

#include <fmt/format.h>

#include <filesystem>
#include <random>

#include "app/app.h"
#include "app/views/season_wording.h"
#include "core/store/backup.h"
#include "core/store/copy.h"
#include "core/store/emergency.h"
#include "core/store/old_version.h"
#include "core/store/wall.h"
#include "platform/first_frame.h"
#include "platform/system.h"

namespace restand {

bool missing_or_empty(const std::filesystem::path& workshop) {
    std::error_code failed;
    const auto size = std::filesystem::file_size(workshop, failed);
    return failed ? !std::filesystem::exists(workshop, failed) : size == 0;
}

namespace {
bool only_readable(ErrorCode code) {
    return code == ErrorCode::newer_version || code == ErrorCode::read_only || code == ErrorCode::in_use ||
           code == ErrorCode::io;
}

std::string why_reading_only(const Error& why) {
    const ErrorCode code = why.code;
    if (code == ErrorCode::newer_version)
        return "This file was made by a newer Restand: open for reading only.";
    if (code == ErrorCode::in_use) return "Another Restand has this file open: open for reading only.";
    if (code == ErrorCode::io) return wording::file_sentence(why) + " Open for reading only.";
    return "This file may not be written to: open for reading only.";
}

// Opens for writing; if that is impossible, for reading, and the notice says why.
Result<Store> open_own(const std::filesystem::path& workshop, AppState& state) {
    auto opened = open_keeping_old(workshop.string(), Store::Mode::create, wall_ms());
    if (opened && !opened->old_kept.empty())
        state.notice = AppNotice{fmt::format(
            "This workshop file was brought up from version {} to {}. The file as it was is kept as {}.",
            opened->old_version, workshop_version, opened->old_kept)};
    if (opened) return std::move(opened->store);
    const Error why = opened.error();
    if (!only_readable(why.code)) return why;
    state.notice = AppNotice{why_reading_only(why), {}, true};
    return Store::open(workshop.string(), Store::Mode::read);
}

// Not all damage shows at once: a wrong hash is found when its entry is read.
Result<std::vector<Entry>> first_entries(Result<Store>& store) {
    if (!store) return store.error();
    return store->opening();
}

// A temporary store, deleted when the program ends, open for reading, with these entries. It is in the folder
// for temporary files or where rejected readings are kept, whichever has room. `refused`: how many entries it
// refused.
Result<Store> passing_store(const TaskFolders& places, const std::vector<Entry>& entries,
                            std::uint64_t& refused) {
    std::error_code none;
    const std::string name = "restand-left-" + std::to_string(std::random_device{}()) + ".restand";
    Result<Store> store = Error{ErrorCode::io, places.workshop, "no folder for what is temporary"};
    for (const std::filesystem::path& folder :
         {std::filesystem::temp_directory_path(none), std::filesystem::path(places.rejected)}) {
        if (folder.empty()) continue;
        const PartFile gone_after(
            (folder / name).string());  // an open file stays readable, or goes at the end
        std::filesystem::create_directories(folder, none);
        auto made = Store::open((folder / name).string(), Store::Mode::create);
        auto merged = made ? made->merge(entries) : Result<Store::Merged>(made.error());
        if (!merged) {
            store = merged.error();
            continue;
        }
        refused = merged->refused.size();
        made = Error{ErrorCode::cancelled, "", ""};  // closed: the lock is free
        store = Store::open((folder / name).string(), Store::Mode::read);
        if (store && store->opening()) return remove_at_end((folder / name).string()), std::move(store);
    }
    return store;
}

// Starts with what is left of a damaged file. The file is not changed.
struct Left {
    Store store;
    std::uint64_t entries, unreadable;
};
Result<Left> salvaged(const TaskFolders& places) {
    const auto left = salvage(places.workshop);
    if (!left) return left.error();
    std::uint64_t refused = 0;
    auto store = passing_store(places, left->entries, refused);
    if (!store) return store.error();
    return Left{std::move(*store), left->entries.size() - refused, left->unreadable + refused};
}

Result<Store> nothing_legible(const TaskFolders& places) {
    std::uint64_t none = 0;
    return passing_store(places, {}, none);
}

bool has_copies(const TaskFolders& places) {
    const auto made = backups(places.copies, places.workshop, 0, false);
    return made && std::any_of(made->begin(), made->end(), [](const Backup& b) { return b.good; });
}

// What a damaged file leaves, or a page that offers its backups and a new beginning. An error: neither is
// available.
Result<Store> what_is_left(const TaskFolders& places, const Error& why, AppState& state) {
    auto left = salvaged(places);
    const bool something = left && left->entries > 0;
    if (something || (left && why.code == ErrorCode::damaged)) {
        state.notice =
            AppNotice{fmt::format("This workshop file is damaged: {} entries could be read, {} could not. "
                                  "It is open for reading. {}",
                                  left->entries, left->unreadable,
                                  has_copies(places) ? "Go back to the newest good copy below."
                                                     : "There is no copy of it; export what is left."),
                      {},
                      true};
        return std::move(left->store);
    }
    if (!has_copies(places)) return why;
    state.meeting.no_workshop = true;
    state.notice =
        AppNotice{left ? "Nothing can be read in this workshop file. Go back to a copy below, or begin a new "
                         "workshop; the file is "
                         "kept beside it."
                       : "This workshop file is damaged, and what is left of it could not be looked at: " +
                             wording::file_sentence(left.error()) +
                             " Go back to a copy below; the file is kept beside it.",
                  {},
                  true};
    return nothing_legible(places);
}

// Moves a draft that could not be shown, by the last start or by this one, out of the workshop file into a
// file of its own. Returns the message about it. The mark is deleted last: until then the next start tries
// again.
std::string drop_draft(Store& store, const TaskFolders& places, const std::string& draft) {
    const std::string said = "What was half done could not be shown. Every finished reading is here. ";
    const auto not_dropped = [&](const Error& why) {
        return said + "The half-done part was not opened: " + wording::file_sentence(why);
    };
    const auto kept = keep_draft_aside(places.rejected, draft, wall_ms());
    if (!kept) return not_dropped(kept.error());
    if (store.writable()) {
        if (const auto out = store.keep_draft(""); !out) return not_dropped(out.error());
        if (const auto done = forget_first_frame(places.rejected); !done) return not_dropped(done.error());
    }
    return said + "The half-done part is kept in " + *kept + ".";
}

// Opens the draft. Returns the message about a draft that was not opened; otherwise an empty text.
std::string open_draft(Store& store, const TaskFolders& places, AppState& state) {
    const auto bytes = store.draft();
    const bool failed = first_frame_failed(places.rejected);
    if (bytes && !bytes->empty()) {
        if (failed) return drop_draft(store, places, *bytes);
        const auto draft = read_draft(*bytes);
        if (draft && !take_draft_that_shows(state, *draft)) return drop_draft(store, places, *bytes);
    } else if (failed && bytes) {
        if (const auto done = forget_first_frame(places.rejected); !done)
            return wording::file_sentence(done.error());
    }
    return "";
}

// What the app state knows of its file.
void of_store(AppState& state, const TaskFolders& places, const Store& store) {
    state.file_name = std::filesystem::path(places.workshop).filename().string();
    state.writable = store.writable();
    state.device = store.device();
    state.session = store.clock();
    state.utc_offset_min = utc_offset_min();
}

// The page with the backups, and the notice to be read.
void show_copies(AppState& state) {
    const auto said = state.notice;
    apply(state, act::Go{Screen::devices, {}});
    state.notice = said;
}

}  // namespace

Result<Beginning> begin_at(const TaskFolders& places, bool anew) {
    const std::filesystem::path workshop = places.workshop;
    AppState state;
    state.meeting.no_workshop = !anew && missing_or_empty(workshop) && has_copies(places);
    auto store = state.meeting.no_workshop ? nothing_legible(places) : open_own(workshop, state);
    if (state.meeting.no_workshop)
        state.notice = AppNotice{
            "There is no workshop in this file any more, but there are copies of it. Go back to one "
            "below, or begin a new workshop.",
            {},
            true};
    auto entries = first_entries(store);
    const bool illegible = !entries && (entries.error().code == ErrorCode::damaged ||
                                        entries.error().code == ErrorCode::not_ours);
    const bool damaged = illegible || state.meeting.no_workshop;
    if (illegible) {
        store = what_is_left(places, entries.error(), state);
        if (!store) return store.error();
        entries = store->opening();
    }
    if (!entries) return entries.error();
    of_store(state, places, *store);
    loaded(state, *entries);
    const auto rejected = read_rejected(places.rejected);
    if (rejected) state.meeting.rejected = {rejected->entries, rejected->unreadable};
    if (!rejected && !state.notice)
        state.notice = AppNotice{
            "What the disk did not take cannot be read: " + wording::file_sentence(rejected.error()),
            {},
            true};
    if (rejected && !state.meeting.rejected.empty() && !state.notice)
        state.notice =
            AppNotice{"The disk did not take everything last time. See 'Devices and copies'.", {}, true};
    const auto notice = state.notice;
    const std::string dropped = open_draft(*store, places, state);
    if (notice) state.notice = notice;
    if (!dropped.empty()) state.notice = AppNotice{notice ? notice->text + " " + dropped : dropped, {}, true};
    // A new workshop begins with a person's name: every reading has one.
    if (state.ledger.people().empty() && state.writable) state.screen = Screen::people;
    if (damaged) show_copies(state);
    return Beginning{std::move(*store), std::move(state)};
}

Result<Beginning> begin_with_nothing(const TaskFolders& places, const Error& why) {
    auto store = nothing_legible(places);
    if (!store) return store.error();
    AppState state;
    state.meeting.no_workshop = true;
    of_store(state, places, *store);
    state.notice = AppNotice{wording::file_sentence(why), {}, true};
    show_copies(state);
    return Beginning{std::move(*store), std::move(state)};
}

}  // namespace restand
