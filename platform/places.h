#pragma once
// Where this system keeps a person's files: XDG Base Directory Specification 0.8 on Unix, the person's
// documents on Windows. RESTAND_PLACES names one folder instead of the machine's sticks and documents: its
// folder `documents`, and its other folders as sticks. Then nothing else is looked at.

#include <filesystem>
#include <vector>

#include "core/quantity/result.h"

namespace restand {

/// The workshop file that opens when none is named: $XDG_DATA_HOME/restand/workshop.restand, by default under
/// ~/.local/share; on Windows Restand\workshop.restand in the documents. RESTAND_WORKSHOP names another. Its
/// folder is made. Errors: io (no home, or the folder cannot be made).
Result<std::filesystem::path> own_workshop();

/// In the order in which the system lists them.
std::vector<std::filesystem::path> folders_in(const std::filesystem::path& folder);

/// The removable drives that are mounted, by path.
std::vector<std::filesystem::path> sticks();

/// Where a person looks for written files: ~/Documents, else the home; empty when the system names none.
std::filesystem::path documents_folder();

}  // namespace restand
