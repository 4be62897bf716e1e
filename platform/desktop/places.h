#pragma once
// Where this system keeps a person's files: XDG Base Directory Specification 0.8 on Unix, the folders for
// application data elsewhere.

#include <filesystem>

#include "core/quantity/result.h"

namespace restand {

/// The workshop file that opens when none is named: $XDG_DATA_HOME/restand/workshop.restand, by default under
/// ~/.local/share. RESTAND_WORKSHOP names another. Its folder is made. Errors: io (no home, or the folder
/// cannot be made).
Result<std::filesystem::path> own_workshop();

}  // namespace restand
