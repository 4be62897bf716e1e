#include "app/app.h"

#include "app/views/view.h"
#include "app/views/view_parts.h"

namespace restand {

App::App(Desk desk, Glass glass, std::function<std::int64_t()> wall_ms)
    : desk_(std::move(desk)), screen_(glass), wall_ms_(std::move(wall_ms)) {
    desk_.now_ms = wall_ms_();
    if (desk_.session_ms == 0) desk_.session_ms = desk_.now_ms;
}

void App::changed() {
    stale_ = undrawn_ = true;
}

const SheetView& App::sheet() {
    if (stale_) sheet_ = view(desk_);
    stale_ = false;
    return sheet_;
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
    apply(desk_, action);
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
    desk.session_ms = desk_.session_ms;
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
