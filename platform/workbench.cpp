#include "platform/workbench.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <ctime>
#include <random>

#include "app/views/words.h"
#include "core/store/backup.h"
#include "core/store/emergency.h"
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
    return code == ErrorCode::newer_version || code == ErrorCode::read_only || code == ErrorCode::in_use;
}

const char* why_reading_only(ErrorCode code) {
    if (code == ErrorCode::newer_version)
        return "This file was made by a newer Restand: open for reading only.";
    if (code == ErrorCode::in_use) return "Another Restand has this file open: open for reading only.";
    return "This file may not be written to: open for reading only.";
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

struct Beginning {
    Store store;
    Desk desk;
};

// Takes a draft that the last start could not show out of the workshop file; it is kept aside. What to say of it. The
// mark goes last: until then the next start tries again.
std::string drop_draft(Store& store, const ErrandPlaces& places, const std::string& draft) {
    const std::string said = "The last start could not show what was half done. Every finished reading is here. ";
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
        if (const auto draft = read_draft(*bytes)) take_draft(desk, *draft);
    } else if (failed && bytes) {
        if (const auto done = forget_first_frame(places.aside); !done) return words::file_sentence(done.error());
    }
    return "";
}

Result<Beginning> begin_at(const ErrandPlaces& places) {
    const std::filesystem::path workshop = places.workshop;
    auto store = Store::open(workshop.string(), Store::Mode::create);
    Desk desk;
    if (!store && only_readable(store.error().code)) {
        desk.notice = DeskNotice{why_reading_only(store.error().code), false, true};
        store = Store::open(workshop.string(), Store::Mode::read);
    }
    auto entries = first_entries(store);
    const bool damaged = !entries && entries.error().code == ErrorCode::damaged;
    if (damaged) {
        auto left = salvaged(workshop);
        if (!left) return entries.error();
        store = std::move(left->store);
        desk.notice = DeskNotice{fmt::format("This workshop file is damaged: {} entries could be read, {} could not. "
                                             "It is open for reading. Go back to the newest good copy below.",
                                             left->entries, left->unreadable),
                                 false, true};
        entries = store->opening();
    }
    if (!entries) return entries.error();
    desk.file_name = workshop.filename().string();
    desk.writable = store->writable();
    desk.device = store->device();
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
    if (damaged) apply(desk, act::Go{Screen::devices, {}}), desk.notice = notice;
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
    copy_when_due(true);
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
    } while (!jobs_.empty() || !errands_.empty() || writer_->waiting() > 0);
}

// Errands run on the writer's thread; what they bring waits in its own slot until the ticket comes back.
void Workbench::send(effect::Send&& sent) {
    if (const auto* restore = std::get_if<errand::Restore>(&sent.errand)) return go_back_to(restore->path, sent.job);
    const bool long_work = app_.desk().work && app_.desk().work->job == sent.job;
    auto progress = std::make_shared<Progress>();
    if (long_work) progress_ = progress;
    auto news = std::make_shared<Result<News>>(Error{ErrorCode::cancelled, "", ""});
    const Ticket ticket = writer_->ask(
        [news, progress, errand = std::move(sent.errand), places = places_,
         offset = app_.desk().utc_offset_min](Store& store) -> Result<std::vector<Entry>> {
            if (!progress->cancelled) *news = run(errand, store, places, wall_ms(), offset, *progress);
            return std::vector<Entry>{};
        });
    errands_.push_back({ticket.value, sent.job, std::move(news)});
}

// The store must be closed for it: the workshop begins anew, with the same person at the same glass.
void Workbench::go_back_to(const std::string& copy, std::uint64_t job) {
    settle_readings();
    const Look look = app_.desk().look;
    const Id who = app_.desk().who;
    writer_.reset();
    jobs_.clear();
    errands_.clear();
    progress_.reset();
    const auto restored = restore_backup(copy, places_.workshop, wall_ms());
    auto begun = begin_at(places_);
    check(begun.has_value(), "the workshop file can be opened as before");
    Desk desk = std::move(begun->desk);
    desk.look = look;
    if (desk.ledger.person(who)) desk.who = who;
    if (restored)
        desk.notice = DeskNotice{"Back at the copy. What stood before is kept as " +
                                     std::filesystem::path(*restored).filename().string() + ".", false, false};
    else
        desk.notice = DeskNotice{words::file_sentence(restored.error()), false, true};
    writer_ = std::make_unique<Writer>(std::move(begun->store), wake_);
    app_.begin_anew(std::move(desk));
    kept_draft_ = draft_of(app_.desk());
    (void)job;
}

void Workbench::settle_readings() {
    writer_->drain();
    bring_back();
}

// Copies are made by themselves: at the start when something is new, and after every 50 entries.
void Workbench::copy_when_due(bool at_start) {
    if (!app_.desk().writable) return;
    if (!at_start && entries_since_copy_ < entries_between_copies) return;
    entries_since_copy_ = 0;
    writer_->ask([places = places_, at_start](Store& store) -> Result<std::vector<Entry>> {
        const auto made = backups(places.copies, places.workshop);
        const auto holds = store.holdings();
        std::uint64_t count = 0;
        if (holds)
            for (const auto& [device, holding] : *holds) count += holding.count;
        if (made && count > 0 && backup_due(*made, count, at_start)) (void)back_up(store, places.copies, wall_ms());
        return std::vector<Entry>{};
    });
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
    if (!progress_) return;
    shown_progress_ = progress_->done;
    app_.progress(progress_->done, progress_->total);
}

}  // namespace restand
