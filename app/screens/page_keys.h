#pragma once
// The keyboard to actions: focus by Tab and arrows, keys with a meaning of their own, typed text.

#include <string>
#include <vector>

#include "app/host.h"
#include "app/screens/page_ui.h"
#include "app/views/page_view.h"

namespace restand {

std::vector<Action> answer_to(Key key, const PageView& view, PageUi& ui, float px_per_mm);
std::vector<Action> typed(const std::string& text, const PageView& view, PageUi& ui);

}  // namespace restand
