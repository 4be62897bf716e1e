#include "app/screens/page_input.h"

#include "app/pad/pad_actions.h"
#include "app/screens/page_keys.h"
#include "app/screens/page_pointer.h"

namespace restand {

bool repeats(const PageUi& ui) {
    return ui.pointer.down && ui.held.pressed == repeating_key;
}

std::vector<Action> repeated(PageUi& ui, double seconds) {
    PointerUi& p = ui.pointer;
    if (!repeats(ui)) return {};
    if (!p.held_from) p.held_from = seconds;
    if (seconds - *p.held_from < repeat_after_s) return {};
    if (p.repeated && seconds - p.repeated_at < repeat_every_s) return {};
    p.repeated = true;
    p.repeated_at = seconds;
    return {act::PadErase{}};
}

void bring(PageUi& ui, std::string_view id, float px_per_mm) {
    const Target* target = ui.book.find(id);
    if (target && target->scrolls && bring_into_sight(ui.panel, target->area, 4 * px_per_mm))
        ui.changed = true;
}

std::vector<Action> answer(const Event& event, const PageView& view, PageUi& ui, float px_per_mm) {
    if (const auto* pointer = std::get_if<PointerEvent>(&event))
        return answer_to(*pointer, view, ui, px_per_mm);
    if (const auto* key = std::get_if<KeyEvent>(&event)) return answer_to(key->key, view, ui, px_per_mm);
    if (const auto* text = std::get_if<TextEvent>(&event)) return typed(text->text, view, ui);
    if (const auto* by = std::get_if<WheelEvent>(&event)) wheel(ui, *by, px_per_mm);
    if (const auto* two = std::get_if<PinchEvent>(&event)) pinch(ui, *two);
    return {};
}

}  // namespace restand
