#include "app/screens/page_pointer.h"

#include <algorithm>
#include <cmath>

#include "app/pad/pad_actions.h"
#include "app/screens/page_input.h"
#include "app/trial/trial_actions.h"

namespace restand {
namespace {

const Target* target_at(const Book& book, float x, float y) {
    for (const Target& target : book.targets) {
        if (target.seen.contains(x, y)) return &target;
    }
    return nullptr;
}

void let_go(PageUi& ui) {
    ui.pointer.down = ui.pointer.slid = ui.pointer.repeated = false;
    ui.pointer.held_from.reset();
    ui.pointer.grip = Grip::nothing;
    ui.drawing.sliding = false;
    ui.drawing.handled.clear();
    ui.held.pressed.clear();
    ui.changed = true;
}

const Drag* drag_of(const PageView& view, std::string_view id) {
    for (const Tag& tag : view.drawing.tags)
        if (tag.drag && tag.id == id) return &*tag.drag;
    return nullptr;
}

void put_cursor(PageUi& ui, const PageView& view, float x) {
    const double at = cursor_at(*view.drawing.readout, ui.drawing, x);
    if (ui.drawing.cursor == at) return;
    ui.drawing.cursor = at;
    ui.changed = true;
}

// A mouse that presses nothing: what lies under it is named, a plot is read there.
void hover(PageUi& ui, const PageView& view, const PointerEvent& at) {
    if (view.drawing.readout && ui.drawing.zone.contains(at.x, at.y)) put_cursor(ui, view, at.x);
    const Target* target = target_at(ui.book, at.x, at.y);
    std::string id = target ? target->id : "";
    if (id == ui.held.hover) return;
    ui.changed = ui.changed || ui.book.hint(id) || ui.book.hint(ui.held.hover);
    ui.held.hover = std::move(id);
}

// Rows change their height between presses only, so that a tap ends where it began.
void use(PageUi& ui, Pointer kind) {
    if (ui.pointer.kind == kind) return;
    ui.pointer.kind = kind;
    ui.held.hover.clear();
    ui.changed = true;
}

void press(PageUi& ui, const PageView& view, const PointerEvent& at) {
    PointerUi& p = ui.pointer;
    ui.dragged.reset();
    p = {.down = true, .down_x = at.x, .down_y = at.y, .x = at.x, .y = at.y, .known = true, .kind = p.kind};
    if (ui.panel.window.contains(at.x, at.y) && ui.panel.scrolls()) p.grip = Grip::panel;
    if (ui.table.window.contains(at.x, at.y) && ui.table.scrolls()) p.grip = Grip::table;
    if (ui.drawing.zone.contains(at.x, at.y)) {
        p.grip = view.drawing.readout ? Grip::cursor : Grip::drawing;
        if (p.grip == Grip::cursor) put_cursor(ui, view, at.x);
    }
    const Target* target = target_at(ui.book, at.x, at.y);
    ui.held.pressed = target ? target->id : "";
    ui.held.focus.clear();
    ui.held.hover.clear();
    ui.changed = true;
    const Drag* drag = drag_of(view, ui.held.pressed);
    if (!drag) return;
    p.grip = Grip::handle;
    p.drag = *drag;
    p.dragged_to = drag->value;
}

// Value of the number at the finger's position.
double dragged_to(const PointerUi& p, double px_per_mm, double camera_scale) {
    const Drag& d = *p.drag;
    const double moved =
        ((p.x - p.from_x) * d.along.x - (p.y - p.from_y) * d.along.y) / px_per_mm;  // screen y is down
    const double rate = std::min(d.per_mm * px_per_mm / camera_scale, 1 / drag_aim_mm);
    const double value = d.value + std::round(moved * rate / d.step) * d.step;
    // A value already outside its limits may stay there.
    return std::clamp(value, std::min(d.value, d.low.value_or(value)),
                      std::max(d.value, d.high.value_or(value)));
}

Actions drag(PageUi& ui, float px_per_mm) {
    PointerUi& p = ui.pointer;
    ui.drawing.handled = ui.held.pressed;
    const double value = dragged_to(p, px_per_mm, ui.drawing.camera.scale);
    if (value == p.dragged_to) return {};
    p.dragged_to = value;
    return {try_to(*p.drag, value)};
}

Actions move(PageUi& ui, const PageView& view, const PointerEvent& at, float px_per_mm) {
    PointerUi& p = ui.pointer;
    const float dx = at.x - p.x, dy = at.y - p.y;
    // A pointer that only appeared, as when the window opens under it, is nobody's hand.
    const bool moved = p.known && std::hypot(dx, dy) > 0.5f * px_per_mm;
    p.x = at.x;
    p.y = at.y;
    p.known = true;
    if (!p.down) {
        if (at.touch) return {};
        if (moved) use(ui, Pointer::mouse);
        hover(ui, view, at);
        return {};
    }
    if (p.grip == Grip::cursor && view.drawing.readout) put_cursor(ui, view, at.x);
    const float far = std::hypot(at.x - p.down_x, at.y - p.down_y), slop = tap_slop_mm * px_per_mm;
    if (!p.slid && far <= slop) return {};
    if (!p.slid) {
        p.from_x = p.down_x + (at.x - p.down_x) * slop / far;
        p.from_y = p.down_y + (at.y - p.down_y) * slop / far;
    }
    p.slid = true;
    // A handle stays pressed while it is held.
    if (p.grip == Grip::handle) return drag(ui, px_per_mm);
    ui.held.pressed.clear();
    ui.changed = true;
    if (p.grip == Grip::panel) scroll(ui.panel, -dy);
    if (p.grip == Grip::table) scroll(ui.table, -dy);
    if (p.grip == Grip::drawing) {
        ui.drawing.sliding = true;
        slide(ui.drawing, dx, dy);
    }
    return {};
}

Actions release(PageUi& ui, const PageView& view, const PointerEvent& at, float px_per_mm) {
    const Actions last = ui.pointer.grip == Grip::handle ? move(ui, view, at, px_per_mm) : Actions{};
    const PointerUi p = ui.pointer;
    const std::string pressed = ui.held.pressed;
    const bool near = std::hypot(at.x - p.down_x, at.y - p.down_y) <= tap_slop_mm * px_per_mm;
    const bool was_down = p.down && !p.slid && !p.repeated;
    let_go(ui);
    use(ui, at.touch ? Pointer::finger : Pointer::mouse);
    if (at.touch) ui.pointer.known = false;  // a finger that is lifted is nowhere
    if (p.drag && p.slid) {
        if (p.dragged_to != p.drag->value) ui.dragged = p.drag;
        return last;
    }
    if (!was_down || !near || pressed.empty()) return {};
    const Target* target = target_at(ui.book, at.x, at.y);
    return target && target->id == pressed ? tap(*target, ui) : Actions{};
}

}  // namespace

Actions tap(const Target& target, PageUi& ui) {
    ui.changed = true;
    switch (target.local) {
        case Local::whole:
            ui.drawing.whole();
            return {};
        case Local::shift:
            ui.pad.other_case = !ui.pad.other_case;
            return {};
        case Local::none:
            break;
    }
    // Shift is for one letter.
    if (target.tap && target.tap->is<act::PadText>()) ui.pad.other_case = false;
    return target.tap ? Actions{*target.tap} : Actions{};
}

Action try_to(const Drag& drag, double value) {
    return act::TryTo{drag.end, drag.point, value};
}

Actions put_handle_back(PageUi& ui) {
    const PointerUi p = ui.pointer;
    let_go(ui);
    return p.drag && p.dragged_to != p.drag->value ? Actions{try_to(*p.drag, p.drag->value)} : Actions{};
}

Actions answer_to(const PointerEvent& at, const PageView& view, PageUi& ui, float px_per_mm) {
    using Kind = PointerEvent::Kind;
    if (at.kind != Kind::cancel) ui.pointer.pinch.reset();
    switch (at.kind) {
        case Kind::down:
            press(ui, view, at);
            return {};
        case Kind::move:
            return move(ui, view, at, px_per_mm);
        case Kind::up:
            return release(ui, view, at, px_per_mm);
        case Kind::cancel:
            ui.pointer.known = false;
            if (!ui.held.hover.empty()) ui.changed = true;
            ui.held.hover.clear();
            return ui.pointer.down ? put_handle_back(ui) : Actions{};
    }
    return {};
}

void pinch(PageUi& ui, const PinchEvent& at) {
    auto& last = ui.pointer.pinch;
    const bool starts = !last || at.factor == 1;
    if (starts && !ui.drawing.zone.contains(at.x, at.y)) return;
    if (!starts) {
        slide(ui.drawing, at.x - last->first, at.y - last->second);
        zoom_at(ui.drawing, at.x, at.y, at.factor);
        ui.changed = true;
    }
    last = {at.x, at.y};
}

void wheel(PageUi& ui, const WheelEvent& by, float px_per_mm) {
    const PointerUi& p = ui.pointer;
    const Rect& zone = ui.drawing.zone;
    if (p.known && zone.contains(p.x, p.y)) {
        zoom_at(ui.drawing, p.x, p.y, std::pow(1.15f, by.dy));
    } else {
        const bool over_table = p.known && ui.table.window.contains(p.x, p.y);
        scroll(over_table ? ui.table : ui.panel, -by.dy * 14 * px_per_mm);
    }
    ui.changed = true;
}

}  // namespace restand
