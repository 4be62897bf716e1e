#include "app/app.h"

#include "app/views/view_parts.h"

namespace restand {

namespace {

// True if the work ends with every internal invariant unbroken.
template <class Work>
bool holds(const Work& work) {
    try {
        work();
        return true;
    } catch (const BrokenInvariant&) {
        return false;
    }
}

// Restores the page. Pending writes and results from the disk stay.
void put_back(UiState& now, UiState shown) {
    shown.effects = std::move(now.effects);
    shown.pending = std::move(now.pending);
    shown.deferred = std::move(now.deferred);
    shown.waiting = std::move(now.waiting);
    shown.unsaved = std::move(now.unsaved);
    shown.undone = std::move(now.undone);
    shown.dropped = std::move(now.dropped);
    shown.work = std::move(now.work);
    shown.meeting.rejected = std::move(now.meeting.rejected);
    shown.next_job = now.next_job;
    shown.now_ms = now.now_ms;
    shown.saved_ms = now.saved_ms;
    now = std::move(shown);
}

const AppNotice page_before{
    "A fault in Restand: what you asked for cannot be shown, so this is the page before. Every saved reading "
    "is there. "
    "Go on another way, and tell whoever looks after Restand what you tapped.",
    {},
    true};

void say_broken(AppState& state, int& count) {
    state.notice = page_before;
    ++count;
}

}  // namespace

bool take_draft_that_shows(AppState& state, const Draft& draft, ViewOf view_of) {
    const UiState before = state;
    if (holds([&] { take_draft(state, draft), (void)view_of(state); })) return true;
    static_cast<UiState&>(state) = before;
    return false;
}

App::App(AppState state, Viewport viewport, std::function<std::int64_t()> wall_ms, ViewOf view_of)
    : state_(std::move(state)),
      view_of_(view_of),
      shown_(state_),
      screen_(viewport),
      wall_ms_(std::move(wall_ms)) {
    state_.now_ms = wall_ms_();
}

void App::changed() {
    stale_ = undrawn_ = true;
}

const PageView& App::page() {
    if (!stale_) return page_;
    if (!holds([&] { page_ = view_of_(state_); })) show_page_before();
    shown_ = state_;
    stale_ = false;
    return page_;
}

// New data from the disk may have broken the previous page too; then the bikes are shown. If that page is
// broken as well, the program ends.
void App::show_page_before() {
    put_back(state_, shown_);
    say_broken(state_, broken_);
    if (holds([&] { page_ = view_of_(state_); })) return;
    state_.pad.reset();
    state_.screen = Screen::bikes;
    page_ = view_of_(state_);
}

void App::handle(const Event& event) {
    if (const auto* resize = std::get_if<ResizeEvent>(&event)) {
        screen_.resize(resize->viewport);
        undrawn_ = true;
        return;
    }
    // Each action may change the meaning of the next one, so they are applied one by one.
    for (const Action& action : screen_.handle(event, page())) act(action);
}

void App::act(const Action& action) {
    state_.now_ms = wall_ms_();
    const bool had_pad = state_.pad.has_value();
    const Step6 step = step_of(state_);
    const UiState before = state_;
    if (!holds([&] { apply(state_, action); })) {
        // Requests that the failed action made are dropped too.
        static_cast<UiState&>(state_) = before;
        say_broken(state_, broken_);
    }
    changed();
    // Bring the next point to measure into view.
    if ((had_pad && !state_.pad) || step != step_of(state_))
        if (const auto needed = needed_field(state_)) screen_.show("row:" + field_id(*needed));
}

void App::written(std::uint64_t job, const Result<std::vector<Entry>>& entries) {
    state_.now_ms = wall_ms_();
    // What waited for this entry goes ahead now, and may break an invariant as a tap may. The entry is stored.
    if (!holds([&] { restand::written(state_, job, entries); })) say_broken(state_, broken_);
    changed();
}

void App::came_back(std::uint64_t job, const Result<TaskResult>& task_result) {
    state_.now_ms = wall_ms_();
    if (!holds([&] { restand::came_back(state_, job, task_result); })) say_broken(state_, broken_);
    changed();
}

void App::progress(std::uint64_t done, std::uint64_t total) {
    if (!state_.work || (state_.work->done == done && state_.work->total == total)) return;
    state_.work->done = done;
    state_.work->total = total;
    changed();
}

void App::begin_anew(AppState state) {
    state.now_ms = wall_ms_();
    state_ = std::move(state);
    changed();
}

std::vector<Effect> App::take_effects() {
    return std::exchange(state_.effects, {});
}

bool App::wants_frame() const {
    return undrawn_ || !screen_.settled();
}

ImDrawData* App::frame(double seconds) {
    for (const Action& action : screen_.draw(page(), seconds)) act(action);
    undrawn_ = stale_;
    return screen_.draw_data();
}

}  // namespace restand
