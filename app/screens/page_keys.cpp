#include "app/screens/page_keys.h"

#include <algorithm>
#include <cmath>

#include "app/meeting/meeting_actions.h"
#include "app/navigation.h"
#include "app/pad/pad_actions.h"
#include "app/screens/page_pointer.h"
#include "app/trial/trial_actions.h"

namespace restand {
namespace {

std::vector<const Target*> tab_order(const Book& book) {
    std::vector<const Target*> order;
    for (const Target& target : book.targets) {
        if (target.scrolls || (target.seen.w > 1 && target.seen.h > 1)) order.push_back(&target);
    }
    std::stable_sort(order.begin(), order.end(),
                     [](const Target* x, const Target* y) { return x->place < y->place; });
    return order;
}

void focus(PageUi& ui, const Target* target, float px_per_mm) {
    if (!target) return;
    ui.held.focus = target->id;
    ui.changed = true;
    if (target->scrolls) bring_into_sight(ui.panel, target->area, 4 * px_per_mm);
}

void tab(PageUi& ui, int step, float px_per_mm) {
    const auto order = tab_order(ui.book);
    if (order.empty()) return;
    const auto has_focus = [&](const Target* target) { return target->id == ui.held.focus; };
    const auto at = std::find_if(order.begin(), order.end(), has_focus);
    const auto count = static_cast<int>(order.size());
    int index = step > 0 ? 0 : count - 1;
    // With a pad open, focus starts there: at its question, else at its first digit or letter.
    for (const std::string_view first : {"key:a", "key:7", "question:yes"}) {
        const auto in_pad = std::find_if(order.begin(), order.end(),
                                         [&](const Target* target) { return target->id == first; });
        if (step > 0 && in_pad != order.end()) index = static_cast<int>(in_pad - order.begin());
    }
    if (at != order.end()) index = (static_cast<int>(at - order.begin()) + step + count) % count;
    focus(ui, order[static_cast<std::size_t>(index)], px_per_mm);
}

// Left and right move a plot's cursor while no target has the focus.
bool step_cursor(PageUi& ui, const PageView& view, float dx) {
    if (!view.drawing.readout || !ui.held.focus.empty() || dx == 0) return false;
    const Readout& plot = *view.drawing.readout;
    const double at = ui.drawing.cursor.value_or((plot.low + plot.high) / 2);
    ui.drawing.cursor = std::clamp(at + dx * (plot.high - plot.low) / 60, plot.low, plot.high);
    return ui.changed = true;
}

// The nearest target that way; far to the side counts double.
void arrow(PageUi& ui, float dx, float dy, float px_per_mm) {
    const Target* from = ui.book.find(ui.held.focus);
    if (!from) return tab(ui, dx + dy > 0 ? 1 : -1, px_per_mm);
    const Target* best = nullptr;
    float best_cost = 1e9f;
    for (const Target* target : tab_order(ui.book)) {
        const float x = target->area.middle_x() - from->area.middle_x(),
                    y = target->area.middle_y() - from->area.middle_y();
        const float ahead = x * dx + y * dy, rejected = std::abs(x * dy) + std::abs(y * dx);
        if (target == from || ahead < 2) continue;
        if (ahead + 2 * rejected >= best_cost) continue;
        best_cost = ahead + 2 * rejected;
        best = target;
    }
    focus(ui, best, px_per_mm);
}

Actions enter(const PageView& view, PageUi& ui) {
    if (const Target* target = ui.book.find(ui.held.focus)) return tap(*target, ui);
    if (view.pad && !view.pad->question && view.primary.tap) return {*view.primary.tap};
    return {};
}

Actions space(PageUi& ui) {
    const Target* target = ui.book.find(ui.held.focus);
    ui.swallow_space = target != nullptr;
    return target ? tap(*target, ui) : Actions{};
}

bool has_handle(const PageView& view, const Drag& drag) {
    return std::any_of(view.drawing.tags.begin(), view.drawing.tags.end(), [&](const Tag& tag) {
        return tag.drag && tag.drag->end == drag.end && tag.drag->point == drag.point;
    });
}

// The last drag is reverted first.
Actions escape(const PageView& view, PageUi& ui, const std::optional<Drag>& dragged) {
    if (ui.pointer.down && ui.pointer.grip == Grip::handle) return put_handle_back(ui);
    if (dragged && has_handle(view, *dragged)) return {try_to(*dragged, dragged->value)};
    if (view.pad) return {act::CloseTag{}};
    if (view.can_go_back) return {act::Back{}};
    return {};
}

}  // namespace

Actions answer_to(Key key, const PageView& view, PageUi& ui, float px_per_mm) {
    ui.swallow_space = false;
    const auto dragged = std::exchange(ui.dragged, std::nullopt);
    const bool types = view.pad && !view.pad->question;
    switch (key) {
        case Key::enter:
            return enter(view, ui);
        case Key::space:
            return space(ui);
        case Key::escape:
            return escape(view, ui, dragged);
        case Key::undo:
            return {act::Undo{}};
        case Key::redo:
            return {act::Redo{}};
        case Key::backspace:
        case Key::del:
            return types ? Actions{act::PadErase{}} : Actions{};
        case Key::tab:
            tab(ui, 1, px_per_mm);
            return {};
        case Key::back_tab:
            tab(ui, -1, px_per_mm);
            return {};
        case Key::left:
            if (!step_cursor(ui, view, -1)) arrow(ui, -1, 0, px_per_mm);
            return {};
        case Key::right:
            if (!step_cursor(ui, view, 1)) arrow(ui, 1, 0, px_per_mm);
            return {};
        case Key::help:
            return {act::Go{Screen::keys, {}}};
        case Key::print:
            return {act::PrintPage{}};
        case Key::up:
            arrow(ui, 0, -1, px_per_mm);
            return {};
        case Key::down:
            arrow(ui, 0, 1, px_per_mm);
            return {};
        case Key::home:
            ui.held.focus.clear();
            tab(ui, 1, px_per_mm);
            return {};
        case Key::end:
            ui.held.focus.clear();
            tab(ui, -1, px_per_mm);
            return {};
    }
    return {};
}

Actions typed(const std::string& text, const PageView& view, PageUi& ui) {
    if (std::exchange(ui.swallow_space, false) && text == " ") return {};
    // Without an open tag too: a gauge's first digit opens the next one to measure.
    if (text.empty()) return {};
    if (!view.pad && text == "?") return {act::Go{Screen::keys, {}}};
    ui.changed = ui.changed || !ui.held.focus.empty();
    ui.held.focus.clear();
    ui.dragged.reset();
    return {act::PadText{text}};
}

}  // namespace restand
