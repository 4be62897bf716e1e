#pragma once
// Renders every screen as a picture, without a window: opens a fresh demo workshop and works on it as a
// person would.

#include <filesystem>

#include "core/quantity/result.h"

namespace restand {

/// Writes NAME.png for every screen into `folder` (made if missing), for a 10-inch tablet in both
/// orientations. Errors: io (subject: the file), and the demo workshop's errors.
Outcome write_screens(const std::filesystem::path& folder);

}  // namespace restand
