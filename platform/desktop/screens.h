#pragma once
// Every screen as a picture, without a window: a fresh demo workshop is opened and worked on as a person
// would.

#include <filesystem>

#include "core/quantity/result.h"

namespace restand {

/// Writes NAME.png for every screen into `folder` (made if missing), for a 10-inch tablet held either way.
/// Errors: io (subject: the file), and what the demo workshop may refuse.
Outcome write_screens(const std::filesystem::path& folder);

}  // namespace restand
