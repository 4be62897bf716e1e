#pragma once
// Renders every screen as a picture, without a window: opens a fresh demo workshop and works on it as a
// person would.

#include <filesystem>

#include "core/quantity/result.h"

namespace restand {

/// Writes NAME.png for every screen into `folder` (made if missing), as a 10-inch tablet shows it; and
/// NAME-portrait, -mouse (rows stand closer), -night and all of these together.
/// Errors: io (subject: the file), and the demo workshop's errors.
Outcome write_screens(const std::filesystem::path& folder);

}  // namespace restand
