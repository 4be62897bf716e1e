#include "platform/workbench.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <ctime>
#include <random>

#include "app/views/words.h"
#include "core/store/backup.h"
#include "core/store/emergency.h"
#include "core/store/old_version.h"
#include "platform/aside.h"
#include "platform/first_frame.h"

namespace restand {

namespace {
std::int64_t wall_ms() {
    return std::chrono::duration_cast<std::chrono::milliseconds>(
               std::chrono::system_clock::now().time_since_epoch())
        .count();
}

// Minutes east of UTC where this machine stands, now.
int utc_offset_min() {
    const std::time_t now = std::time(nullptr);
    std::tm local{};
#ifdef _WIN32
    localtime_s(&local, &now);
    const std::time_t as_utc = _mkgmtime(&local);
#else
    localtime_r(&now, &local);
    const std::time_t as_utc = timegm(&local);
#endif
    return static_cast<int>((as_utc - now) / 60);
}

bool only_readable(ErrorCode code) {
    return code == ErrorCode::newer_version || code == ErrorCode::read_only || code == ErrorCode::in_use || code == ErrorCode::io;
}

std::string why_reading_only(const Error& why) {
    const ErrorCode code = why.code;
    if (code == ErrorCode::newer_version)
        return "This file was made by a newer Restand: open for reading only.";
    if (code == ErrorCode::in_use) return "Another Restand has this file open: open for reading only.";
    if (code == ErrorCode::io) return words::file_sentence(why) + " Open for reading only.";
    return "This file may not be written to: open for reading only.";
}

// For writing; for reading where that cannot be, and the notice says why.
Result<Store> open_own(const std::filesystem::path& workshop, Desk& desk) {
    auto opened = open_keeping_old(workshop.string(), Store::Mode::create, wall_ms());
    if (opened && !opened->old_kept.empty())
        desk.notice = DeskNotice{fmt::format("This workshop file was brought up from version {} to {}. The file as it was is kept as {}.",
                                             opened->old_version, workshop_version, opened->old_kept)};
    if (opened) return std::move(opened->store);
    const Error why = opened.error();
    if (!only_readable(why.code)) return why;
    desk.notice = DeskNotice{why_reading_only(why), false, true};
    return Store::open(workshop.string(), Store::Mode::read);
}

// Not every damage shows at once: a hash that is wrong is found when its entry is read.
Result<std::vector<Entry>> first_entries(Result<Store>& store) {
    if (!store) return store.error();
    return store->opening();
}

// What is left of a damaged file, in a file of its own that may only be read. The damaged one is not touched.
struct Left {
    Store store;
    std::uint64_t entries, unreadable;
};
Result<Left> salvaged(const std::filesystem::path& workshop) {
    const auto left = salvage(workshop.string());
    if (!left) return left.error();
    const auto beside = std::filesystem::temp_directory_path() /
                        ("restand-left-" + std::to_string(std::random_device{}()) + ".restand");
    {
        auto made = Store::open(beside.string(), Store::Mode::create);
        if (!made) return made.error();
        if (const auto merged = made->merge(left->entries); !merged) return merged.error();
    }
    auto store = Store::open(beside.string(), Store::Mode::read);
    std::error_code ignored;
    // Open files stay readable on Unix; nothing is left lying about.
    std::filesystem::remove(beside, ignored);
    std::filesystem::remove(beside.string() + ".lock", ignored);
    if (!store) return store.error();
    return Left{std::move(*store), left->entries.size(), left->unreadable};
}

// Nothing to read: an empty store that goes with the program.
Result<Store> nothing_legible() {
    const auto beside = std::filesystem::temp_directory_path() /
                        ("restand-none-" + std::to_string(std::random_device{}()) + ".restand");
    if (const auto made = Store::open(beside.string(), Store::Mode::create); !made) return made.error();
    auto store = Store::open(beside.string(), Store::Mode::read);
    std::error_code ignored;
    std::filesystem::remove(beside, ignored);
    std::filesystem::remove(beside.string() + ".lock", ignored);
    return store;
}

bool has_copies(const ErrandPlaces& places) {
    const auto made = backups(places.copies, places.workshop, 0, false);
    return made && std::any_of(made->begin(), made->end(), [](const Backup& b) { return b.good; });
}

bool missing_or_empty(const std::filesystem::path& workshop) {
    std::error_code failed;
    const auto size = std::filesystem::file_size(workshop, failed);
    return failed ? !std::filesystem::exists(workshop, failed) : size == 0;
}

// What a damaged file leaves, or a page that offers its copies and a new beginning. An error: neither is to be had.
Result<Store> what_is_left(const ErrandPlaces& places, const Error& why, Desk& desk) {
    auto left = salvaged(places.workshop);
    const bool something = left && left->entries > 0;
    if (something || (left && why.code == ErrorCode::damaged)) {
        desk.notice = DeskNotice{fmt::format("This workshop file is damaged: {} entries could be read, {} could not. "
                                             "It is open for reading. Go back to the newest good copy below.",
                                             left->entries, left->unreadable),
                                 false, true};
        return std::move(left->store);
    }
    if (!has_copies(places)) return why;
    desk.meeting.no_workshop = true;
    desk.notice = DeskNotice{"Nothing can be read in this workshop file. Go back to a copy below, or begin a new workshop; "
                             "the file is kept beside it.", false, true};
    return nothing_legible();
}

struct Beginning {
    Store store;
    Desk desk;
};

// Takes a draft that could not be shown, by the last start or by this one, out of the workshop file; it is kept aside.
// What to say of it. The mark goes last: until then the next start tries again.
std::string drop_draft(Store& store, const ErrandPlaces& places, const std::string& draft) {
    const std::string said = "What was half done could not be shown. Every finished reading is here. ";
    const auto not_dropped = [&](const Error& why) {
        return said + "The half-done part was not opened: " + words::file_sentence(why);
    };
    const auto kept = keep_draft_aside(places.aside, draft, wall_ms());
    if (!kept) return not_dropped(kept.error());
    if (store.writable()) {
        if (const auto out = store.keep_draft(""); !out) return not_dropped(out.error());
        if (const auto done = forget_first_frame(places.aside); !done) return not_dropped(done.error());
    }
    return said + "The half-done part is kept in " + *kept + ".";
}

// What was half done. What to say of one that was not opened; else nothing.
std::string open_draft(Store& store, const ErrandPlaces& places, Desk& desk) {
    const auto bytes = store.draft();
    const bool failed = first_frame_failed(places.aside);
    if (bytes && !bytes->empty()) {
        if (failed) return drop_draft(store, places, *bytes);
        const auto draft = read_draft(*bytes);
        if (draft && !take_draft_that_shows(desk, *draft)) return drop_draft(store, places, *bytes);
    } else if (failed && bytes) {
        if (const auto done = forget_first_frame(places.aside); !done) return words::file_sentence(done.error());
    }
    return "";
}

// `anew`: the person said that a new workshop is to be begun where none is.
Result<Beginning> begin_at(const ErrandPlaces& places, bool anew = false) {
    const std::filesystem::path workshop = places.workshop;
    Desk desk;
    desk.meeting.no_workshop = !anew && missing_or_empty(workshop) && has_copies(places);
    auto store = desk.meeting.no_workshop ? nothing_legible() : open_own(workshop, desk);
    if (desk.meeting.no_workshop)
        desk.notice = DeskNotice{"There is no workshop in this file any more, but there are copies of it. Go back to one "
                                 "below, or begin a new workshop.", false, true};
    auto entries = first_entries(store);
    const bool illegible = !entries && (entries.error().code == ErrorCode::damaged || entries.error().code == ErrorCode::not_ours);
    const bool damaged = illegible || desk.meeting.no_workshop;
    if (illegible) {
        store = what_is_left(places, entries.error(), desk);
        if (!store) return store.error();
        entries = store->opening();
    }
    if (!entries) return entries.error();
    desk.file_name = workshop.filename().string();
    desk.writable = store->writable();
    desk.device = store->device();
    desk.session = store->clock();
    desk.utc_offset_min = utc_offset_min();
    loaded(desk, *entries);
    const auto aside = read_aside(places.aside);
    if (aside) desk.meeting.aside = {aside->entries, aside->unreadable};
    if (!aside && !desk.notice)
        desk.notice = DeskNotice{"What the disk did not take cannot be read: " + words::file_sentence(aside.error()), false, true};
    if (aside && !desk.meeting.aside.empty() && !desk.notice)
        desk.notice = DeskNotice{"The disk did not take everything last time. See 'Devices and copies'.", false, true};
    const auto notice = desk.notice;
    const std::string dropped = open_draft(*store, places, desk);
    if (notice) desk.notice = notice;
    if (!dropped.empty()) desk.notice = DeskNotice{notice ? notice->text + " " + dropped : dropped, false, true};
    // A new workshop begins with a name: every reading bears one.
    if (desk.ledger.people().empty() && desk.writable) desk.screen = Screen::people;
    if (damaged) {
        const auto said = desk.notice;
        apply(desk, act::Go{Screen::devices, {}});
        desk.notice = said;
    }
    return Beginning{std::move(*store), std::move(desk)};
}

constexpr std::uint64_t entries_between_copies = 50;
}  // namespace

Result<std::unique_ptr<Workbench>> Workbench::open(const std::filesystem::path& workshop, Glass glass,
                                                   std::function<void()> wake) {
    auto places = errand_places(workshop.string());
    auto begun = begin_at(places);
    if (!begun) return begun.error();
    return std::unique_ptr<Workbench>(new Workbench(std::move(begun->store), std::move(begun->desk), glass,
                                                    std::move(wake), std::move(places)));
}

Workbench::Workbench(Store store, Desk desk, Glass glass, std::function<void()> wake, ErrandPlaces places)
    : app_(std::move(desk), glass, wall_ms),
      wake_(std::move(wake)),
      places_(std::move(places)),
      writer_(std::make_unique<Writer>(std::move(store), wake_)) {
    kept_draft_ = draft_of(app_.desk());
    begin_copies();
    carry_out();
}

Workbench::~Workbench() {
    // Long work is not waited for; readings are.
    if (progress_) progress_->cancelled = true;
}

void Workbench::handle(const Event& event) {
    bring_back();
    app_.handle(event);
    carry_out();
}

ImDrawData* Workbench::frame(double seconds) {
    bring_back();
    ImDrawData* data = app_.frame(seconds);
    carry_out();
    return data;
}

bool Workbench::wants_frame() const {
    return app_.wants_frame() || (progress_ && progress_->done != shown_progress_);
}

void Workbench::act(const Action& action) {
    bring_back();
    app_.act(action);
    carry_out();
}

void Workbench::settle() {
    do {
        writer_->drain();
        bring_back();
        carry_out();
        if (copies_->asked_for()) copies_->drain();
    } while (!jobs_.empty() || !errands_.empty() || writer_->waiting() > 0 || copies_->asked_for());
}

void Workbench::settle_copies() {
    settle();
    copies_->drain();
    settle();
}

// Errands run on the writer's thread; what they bring waits in its own slot until the ticket comes back.
void Workbench::send(effect::Send&& sent) {
    if (const auto* restore = std::get_if<errand::Restore>(&sent.errand)) return go_back_to(restore->path);
    if (std::holds_alternative<errand::BeginNew>(sent.errand)) return begin_new();
    const bool long_work = app_.desk().work && app_.desk().work->job == sent.job;
    auto progress = std::make_shared<Progress>();
    if (long_work) progress_ = progress;
    if (std::holds_alternative<errand::Copies>(sent.errand)) return copies_->list(sent.job);
    if (std::holds_alternative<errand::BackUp>(sent.errand)) return copies_->make(sent.job, std::move(progress));
    auto news = std::make_shared<Result<News>>(Error{ErrorCode::cancelled, "", ""});
    const Ticket ticket = writer_->ask(
        [news, progress, errand = std::move(sent.errand), places = places_,
         offset = app_.desk().utc_offset_min](Store& store) -> Result<std::vector<Entry>> {
            if (!progress->cancelled) *news = run(errand, store, places, wall_ms(), offset, *progress);
            return std::vector<Entry>{};
        });
    errands_.push_back({ticket.value, sent.job, std::move(news)});
}

// What stood there, illegible, is kept beside it.
void Workbench::begin_new() {
    const auto moved = [&]() -> Outcome {
        if (missing_or_empty(places_.workshop)) return Done{};
        const std::string kept = places_.workshop + ".replaced-" + std::to_string(wall_ms());
        std::error_code failed;
        std::filesystem::rename(places_.workshop, kept, failed);
        return failed ? Outcome(Error{ErrorCode::io, places_.workshop, failed.message()}) : Outcome(Done{});
    }();
    close_workshop();
    open_workshop(moved.has_value(), moved ? std::nullopt : std::optional(DeskNotice{words::file_sentence(moved.error()), false, true}));
}

void Workbench::close_workshop() {
    settle_readings();
    copies_.reset();
    writer_.reset();
    jobs_.clear();
    errands_.clear();
    progress_.reset();
}

// The same person at the same glass.
void Workbench::open_workshop(bool anew, std::optional<DeskNotice> notice) {
    const Look look = app_.desk().look;
    const Id who = app_.desk().who;
    auto begun = begin_at(places_, anew);
    check(begun.has_value(), "the workshop file can be opened as before");
    Desk desk = std::move(begun->desk);
    desk.look = look;
    if (desk.ledger.person(who)) desk.who = who;
    if (notice) desk.notice = std::move(notice);
    writer_ = std::make_unique<Writer>(std::move(begun->store), wake_);
    app_.begin_anew(std::move(desk));
    kept_draft_ = draft_of(app_.desk());
    begin_copies();
}

// The store must be closed for it: the workshop begins anew, with the same person at the same glass.
void Workbench::go_back_to(const std::string& copy) {
    close_workshop();
    const auto restored = restore_backup(copy, places_.workshop, wall_ms());
    DeskNotice notice{"Back at the copy.", false, !restored};
    if (restored && !restored->empty())
        notice.text += " What stood before is kept as " + std::filesystem::path(*restored).filename().string() + ".";
    if (!restored) notice.text = words::file_sentence(restored.error());
    open_workshop(false, std::move(notice));
}

void Workbench::settle_readings() {
    writer_->drain();
    bring_back();
}

// Copies are made by themselves: at the start when something is new, and after every 50 entries.
void Workbench::begin_copies() {
    copies_ = std::make_unique<WorkshopCopies>(places_, app_.desk().device, app_.desk().writable, *writer_, wake_);
    entries_since_copy_ = 0;
    copy_when_due(true);
}

void Workbench::copy_when_due(bool at_start) {
    if (!app_.desk().writable) return;
    if (!at_start && entries_since_copy_ < entries_between_copies) return;
    entries_since_copy_ = 0;
    copies_->make_when_due(at_start);
}

void Workbench::carry_out() {
    for (Effect& effect : app_.take_effects()) {
        if (auto* append = std::get_if<effect::Append>(&effect)) {
            entries_since_copy_ += append->entries.size();
            const auto write = [entries = std::move(append->entries), aside = places_.aside](Store& store) {
                return append_or_set_aside(store, entries, aside, wall_ms());
            };
            jobs_.emplace_back(writer_->ask(write).value, append->job);
            copy_when_due(false);
        } else if (auto* sent = std::get_if<effect::Send>(&effect)) {
            send(std::move(*sent));
        } else if (progress_) {
            progress_->cancelled = true;
        }
    }
    if (!app_.desk().writable) return;
    Draft draft = draft_of(app_.desk());
    if (draft == kept_draft_) return;
    writer_->keep_draft(write_draft(draft));
    kept_draft_ = std::move(draft);
}

void Workbench::bring_back() {
    for (const Written& written : writer_->collect()) {
        const auto it = std::find_if(jobs_.begin(), jobs_.end(),
                                     [&](const auto& j) { return j.first == written.ticket.value; });
        if (it != jobs_.end()) {
            const std::uint64_t job = it->second;
            jobs_.erase(it);
            app_.written(job, written.entries);
            continue;
        }
        const auto sent = std::find_if(errands_.begin(), errands_.end(),
                                       [&](const Sent& s) { return s.ticket == written.ticket.value; });
        if (sent == errands_.end()) continue;
        const Sent done = std::move(*sent);
        errands_.erase(sent);
        if (app_.desk().work && app_.desk().work->job == done.job) progress_.reset();
        app_.came_back(done.job, *done.news);
    }
    for (const WorkshopCopies::Came& came : copies_->collect()) {
        if (came.job != 0 && app_.desk().work && app_.desk().work->job == came.job) progress_.reset();
        app_.came_back(came.job, came.news);
    }
    if (!progress_) return;
    shown_progress_ = progress_->done;
    app_.progress(progress_->done, progress_->total);
}

}  // namespace restand
