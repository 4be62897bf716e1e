#pragma once
// Fingers and mouse to actions: taps, drags of the drawing and of its numbers, hover, wheel and pinch.

#include <vector>

#include "app/host.h"
#include "app/screens/page_ui.h"
#include "app/views/page_view.h"

namespace restand {

using Actions = std::vector<Action>;

Actions tap(const Target& target, PageUi& ui);
Action try_to(const Drag& drag, double value);
Actions put_handle_back(PageUi& ui);   // restores the number from before the drag
Actions answer_to(const PointerEvent& at, const PageView& view, PageUi& ui, float px_per_mm);
void pinch(PageUi& ui, const PinchEvent& at);
void wheel(PageUi& ui, const WheelEvent& by, float px_per_mm);

}  // namespace restand
