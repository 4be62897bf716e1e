#include "app/app.h"

#include "app/views/view_parts.h"

namespace restand {

namespace {

// Did the work end with every invariant of ours whole?
template <class Work>
bool holds(const Work& work) {
    try {
        work();
        return true;
    } catch (const BrokenInvariant&) {
        return false;
    }
}

// Puts the page back, and leaves what is on its way to disk and what came back from it.
void put_back(DeskState& now, DeskState page) {
    page.effects = std::move(now.effects);
    page.pending = std::move(now.pending);
    page.deferred = std::move(now.deferred);
    page.waiting = std::move(now.waiting);
    page.unsaved = std::move(now.unsaved);
    page.work = std::move(now.work);
    page.meeting.aside = std::move(now.meeting.aside);
    page.next_job = now.next_job;
    page.now_ms = now.now_ms;
    page.saved_ms = now.saved_ms;
    now = std::move(page);
}

const DeskNotice page_before{
    "A fault in Restand: what you asked for cannot be shown, so this is the page before. Every saved reading is there. "
    "Go on another way, and tell whoever looks after Restand what you tapped.",
    false, true};

}  // namespace

bool take_draft_that_shows(Desk& desk, const Draft& draft, Page page) {
    const DeskState before = desk;
    if (holds([&] { take_draft(desk, draft), (void)page(desk); })) return true;
    static_cast<DeskState&>(desk) = before;
    return false;
}

App::App(Desk desk, Glass glass, std::function<std::int64_t()> wall_ms, Page page)
    : desk_(std::move(desk)), page_(page), shown_(desk_), screen_(glass), wall_ms_(std::move(wall_ms)) {
    desk_.now_ms = wall_ms_();
}

void App::changed() {
    stale_ = undrawn_ = true;
}

const SheetView& App::sheet() {
    if (!stale_) return sheet_;
    if (!holds([&] { sheet_ = page_(desk_); })) show_page_before();
    shown_ = desk_;
    stale_ = false;
    return sheet_;
}

// What came from disk may have broken the page before as well: then the bikes. Those broken too: the program ends.
void App::show_page_before() {
    ++broken_;
    put_back(desk_, shown_);
    desk_.notice = page_before;
    if (holds([&] { sheet_ = page_(desk_); })) return;
    desk_.pad.reset();
    desk_.screen = Screen::bikes;
    sheet_ = page_(desk_);
}

void App::handle(const Event& event) {
    if (const auto* resize = std::get_if<ResizeEvent>(&event)) {
        screen_.resize(resize->glass);
        undrawn_ = true;
        return;
    }
    // Each action may change what the next one means, so they are applied one by one.
    for (const Action& action : screen_.handle(event, sheet())) act(action);
}

void App::act(const Action& action) {
    desk_.now_ms = wall_ms_();
    const bool had_pad = desk_.pad.has_value();
    const Step6 step = step_of(desk_);
    const DeskState before = desk_;
    if (!holds([&] { apply(desk_, action); })) {
        // What it began to ask of the disk is part of what did not happen.
        static_cast<DeskState&>(desk_) = before;
        desk_.notice = page_before;
        ++broken_;
    }
    changed();
    // What is to be measured next comes into sight.
    if ((had_pad && !desk_.pad) || step != step_of(desk_))
        if (const auto needed = needed_field(desk_)) screen_.show("row:" + field_id(*needed));
}

void App::written(std::uint64_t job, const Result<std::vector<Entry>>& entries) {
    desk_.now_ms = wall_ms_();
    restand::written(desk_, job, entries);
    changed();
}

void App::came_back(std::uint64_t job, const Result<News>& news) {
    desk_.now_ms = wall_ms_();
    restand::came_back(desk_, job, news);
    changed();
}

void App::progress(std::uint64_t done, std::uint64_t total) {
    if (!desk_.work || (desk_.work->done == done && desk_.work->total == total)) return;
    desk_.work->done = done;
    desk_.work->total = total;
    changed();
}

void App::begin_anew(Desk desk) {
    desk.now_ms = wall_ms_();
    desk_ = std::move(desk);
    changed();
}

std::vector<Effect> App::take_effects() {
    return std::exchange(desk_.effects, {});
}

bool App::wants_frame() const {
    return undrawn_ || !screen_.settled();
}

ImDrawData* App::frame(double) {
    for (const Action& action : screen_.draw(sheet())) act(action);
    undrawn_ = stale_;
    return screen_.draw_data();
}

}  // namespace restand
