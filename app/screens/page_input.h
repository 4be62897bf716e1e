#pragma once
// Events to actions. Targets are those of the last frame.
//
// 1  A tap is down and up on one target, at most 4 mm apart, with nothing between that cancels it.
// 2  Typed text goes to the open tag and takes the focus ring away, so that a gauge's Enter
// activates the primary.
// 3  With a question open, Enter without focus does nothing: a gauge cannot answer it.
// 4  A press on a tag that can be dragged, moved further than a tap, drags its number and not
// the drawing. A second finger or Escape cancels the drag and restores the number.

#include <string_view>
#include <vector>

#include "app/screens/page_ui.h"
#include "app/host.h"
#include "app/views/page_view.h"

namespace restand {

inline constexpr float tap_slop_mm = 4;
/// A dragged number follows the drawing, but 1 mm of it needs at least this many mm on the screen: at
/// the scale of a whole bike, aiming would be impossible.
inline constexpr double drag_aim_mm = 4;

std::vector<Action> answer(const Event& event, const PageView& view, PageUi& ui, float px_per_mm);

/// Erase repeats while it is held.
inline constexpr std::string_view repeating_key = "key:erase";
inline constexpr double repeat_after_s = 0.5, repeat_every_s = 0.09;
/// True while a key that repeats is held: frames follow each other.
bool repeats(const PageUi& ui);
/// What the held key does at this moment. `seconds`: a monotonic clock.
std::vector<Action> repeated(PageUi& ui, double seconds);

/// Scrolls the side panel so that the target is visible at the next frame.
void bring(PageUi& ui, std::string_view id, float px_per_mm);

}  // namespace restand
