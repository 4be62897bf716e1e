#pragma once
// Walks what a frame drew and says what a person could not read or hit: text cut off or on other text,
// targets too small or too near, tags on joints or on each other. Empty: none.

#include <string>
#include <vector>

#include "app/screens/page_screen.h"

namespace restand {

/// Sentences, each naming what and where, in pixels.
std::vector<std::string> faults(const PageScreen& screen, const Viewport& viewport);

}  // namespace restand
