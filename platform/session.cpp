#include "platform/session.h"

#include <algorithm>

#include "app/views/season_wording.h"
#include "core/store/backup.h"
#include "core/store/wall.h"
#include "platform/beginning.h"
#include "platform/rejected.h"

namespace restand {

namespace {
constexpr std::uint64_t entries_between_copies = 50;
}  // namespace

Result<std::unique_ptr<Session>> Session::open(const std::filesystem::path& workshop, Viewport viewport,
                                               std::function<void()> wake) {
    auto places = task_folders(workshop.string());
    auto begun = begin_at(places);
    if (!begun) return begun.error();
    return std::unique_ptr<Session>(new Session(std::move(begun->store), std::move(begun->state), viewport,
                                                std::move(wake), std::move(places)));
}

Session::Session(Store store, AppState state, Viewport viewport, std::function<void()> wake,
                 TaskFolders places)
    : app_(std::move(state), viewport, wall_ms),
      wake_(std::move(wake)),
      places_(std::move(places)),
      writer_(std::make_unique<Writer>(std::move(store), wake_)) {
    kept_draft_ = draft_of(app_.state());
    begin_beside();
    carry_out();
}

// Does not wait for long work, but waits for readings. The workshop is free before the threads of copies and
// long work have ended.
Session::~Session() {
    give_up_work();
    writer_.reset();
}

void Session::give_up_work() {
    if (progress_) progress_->cancelled = true;
    if (copies_) copies_->give_up();
    if (long_work_) long_work_->give_up();
}

void Session::handle(const Event& event) {
    bring_back();
    app_.handle(event);
    carry_out();
}

ImDrawData* Session::frame(double seconds) {
    bring_back();
    ImDrawData* data = app_.frame(seconds);
    carry_out();
    return data;
}

bool Session::wants_frame() const {
    return app_.wants_frame() || (progress_ && progress_->done != shown_progress_);
}

void Session::act(const Action& action) {
    bring_back();
    app_.act(action);
    carry_out();
}

void Session::settle() {
    do {
        long_work_->drain();
        writer_->drain();
        bring_back();
        carry_out();
        if (copies_->asked_for()) copies_->drain();
    } while (!jobs_.empty() || !tasks_.empty() || writer_->waiting() > 0 || copies_->asked_for() ||
             long_work_->busy());
}

void Session::settle_copies() {
    settle();
    copies_->drain();
    settle();
}

// Short tasks run on the writer's thread; each result waits in its own slot until the ticket comes back.
void Session::send(effect::Send&& sent) {
    if (const auto* restore = std::get_if<task::Restore>(&sent.task)) return go_back_to(*restore);
    if (std::holds_alternative<task::BeginNew>(sent.task)) return begin_new();
    const bool shown = app_.state().work && app_.state().work->job == sent.job;
    auto progress = std::make_shared<Progress>();
    if (shown) progress_ = progress;
    if (std::holds_alternative<task::Copies>(sent.task)) return copies_->list(sent.job);
    if (std::holds_alternative<task::BackUp>(sent.task)) return copies_->make(sent.job, std::move(progress));
    if (takes_long(sent.task))
        return long_work_->ask(sent.job, std::move(sent.task), app_.state().utc_offset_min,
                               std::move(progress));
    auto task_result = std::make_shared<Result<TaskResult>>(Error{ErrorCode::cancelled, "", ""});
    const Ticket ticket =
        writer_->ask([task_result, progress, task = std::move(sent.task), places = places_,
                      offset = app_.state().utc_offset_min](Store& store) -> Result<std::vector<Entry>> {
            if (!progress->cancelled) *task_result = run(task, store, places, wall_ms(), offset);
            return std::vector<Entry>{};
        });
    tasks_.push_back({ticket.value, sent.job, std::move(task_result)});
}

// The unreadable file at that place is kept beside the new one.
void Session::begin_new() {
    close_workshop();
    if (missing_or_empty(places_.workshop)) return open_workshop(true, std::nullopt);
    const auto moved = set_workshop_aside(places_.workshop, wall_ms());
    if (moved) return open_workshop(true, std::nullopt);
    open_workshop(false, AppNotice{wording::file_sentence(moved.error()), {}, true});
}

void Session::close_workshop() {
    give_up_work();  // first, or it sends the writer more and more
    settle_readings();
    copies_.reset();
    long_work_.reset();
    writer_.reset();
    jobs_.clear();
    tasks_.clear();
    progress_.reset();
}

// The same person and the same viewport.
void Session::open_workshop(bool anew, std::optional<AppNotice> notice) {
    const Look look = app_.state().look;
    const Id who = app_.state().who;
    auto begun = begin_at(places_, anew);
    if (!begun) begun = begin_with_nothing(places_, begun.error());
    check(begun.has_value(), "there is room for a page without a workshop");
    AppState state = std::move(begun->state);
    state.look = look;
    if (state.ledger.person(who)) state.who = who;
    if (notice) state.notice = std::move(notice);
    writer_ = std::make_unique<Writer>(std::move(begun->store), wake_);
    app_.begin_anew(std::move(state));
    kept_draft_ = draft_of(app_.state());
    begin_beside();
}

// The store must be closed for it: the workshop starts again, with the same person and viewport.
void Session::go_back_to(const task::Restore& copy) {
    close_workshop();
    const auto restored = restore_backup(copy.path, places_.workshop, wall_ms(), copy.other);
    AppNotice notice{"Back at the copy.", {}, !restored};
    if (restored && !restored->empty())
        notice.text +=
            " What stood before is kept as " + std::filesystem::path(*restored).filename().string() + ".";
    if (!restored) notice.text = wording::file_sentence(restored.error());
    open_workshop(false, std::move(notice));
}

void Session::settle_readings() {
    writer_->drain();
    bring_back();
}

// Copies are made automatically: at the start when something is new, and after every 50 entries.
void Session::begin_beside() {
    copies_ = std::make_unique<WorkshopCopies>(places_, app_.state().device, app_.state().writable, *writer_,
                                               wake_);
    long_work_ = std::make_unique<LongWork>(places_, *writer_, wake_);
    entries_since_copy_ = 0;
    copy_when_due(true);
}

void Session::copy_when_due(bool at_start) {
    if (!app_.state().writable) return;
    if (!at_start && entries_since_copy_ < entries_between_copies) return;
    entries_since_copy_ = 0;
    copies_->make_when_due(at_start);
}

void Session::carry_out() {
    for (Effect& effect : app_.take_effects()) {
        if (auto* append = std::get_if<effect::Append>(&effect)) {
            entries_since_copy_ += append->entries.size();
            const auto write = [entries = std::move(append->entries),
                                rejected = places_.rejected](Store& store) {
                return append_or_keep_rejected(store, entries, rejected, wall_ms());
            };
            jobs_.emplace_back(writer_->ask(write).value, append->job);
            copy_when_due(false);
        } else if (auto* sent = std::get_if<effect::Send>(&effect)) {
            send(std::move(*sent));
        } else if (progress_) {
            progress_->cancelled = true;
        }
    }
    if (!app_.state().writable) return;
    Draft draft = draft_of(app_.state());
    if (draft == kept_draft_) return;
    writer_->keep_draft(write_draft(draft));
    kept_draft_ = std::move(draft);
}

void Session::bring_back() {
    for (const Written& written : writer_->collect()) {
        const auto it = std::find_if(jobs_.begin(), jobs_.end(),
                                     [&](const auto& j) { return j.first == written.ticket.value; });
        if (it != jobs_.end()) {
            const std::uint64_t job = it->second;
            jobs_.erase(it);
            app_.written(job, written.entries);
            continue;
        }
        const auto sent = std::find_if(tasks_.begin(), tasks_.end(),
                                       [&](const Sent& s) { return s.ticket == written.ticket.value; });
        if (sent == tasks_.end()) continue;
        const Sent done = std::move(*sent);
        tasks_.erase(sent);
        if (app_.state().work && app_.state().work->job == done.job) progress_.reset();
        // A task that threw did not report its own result.
        if (!written.entries) *done.task_result = written.entries.error();
        app_.came_back(done.job, *done.task_result);
    }
    const auto take = [this](std::uint64_t job, const Result<TaskResult>& task_result) {
        if (job != 0 && app_.state().work && app_.state().work->job == job) progress_.reset();
        app_.came_back(job, task_result);
    };
    for (const WorkshopCopies::Came& came : copies_->collect()) take(came.job, came.task_result);
    for (const LongWork::Came& came : long_work_->collect()) take(came.job, came.task_result);
    if (!progress_) return;
    shown_progress_ = progress_->done;
    app_.progress(progress_->done, progress_->total);
}

}  // namespace restand
