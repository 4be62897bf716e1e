#pragma once
// A change between two sessions: every setting with its two keys. Each tap stores an entry.

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

PageView change_view(const AppState& state);

// Step of a setting and the labels of its two keys. Empty if the value is typed instead.
struct SettingStep {
    double by;                     // canonical, of the key on the right
    std::string less, more;
};
std::optional<SettingStep> setting_step(const SetUp& setup, End end, Point point);

}  // namespace restand
