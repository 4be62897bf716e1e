#pragma once
// Checks the layout of a drawn frame. Reports text that is cut off or on other text, targets that are too
// small or too close, tags on joints or on each other. Empty: no fault.

#include <string>
#include <vector>

#include "app/screens/page_screen.h"

namespace restand {

/// Sentences; each says what and where, in pixels.
std::vector<std::string> faults(const PageScreen& screen, const Viewport& viewport);

namespace test {
inline constexpr Viewport tablet{1280, 800, 5.87f};
}

}  // namespace restand
