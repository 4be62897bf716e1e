#pragma once
// The app in a window, from the first frame to the last.

#include <filesystem>
#include <iosfwd>

namespace restand {

constexpr int no_window = 4;  // exit code: there is no display, or none can be opened

/// Opens the app on a workshop file, made if it is missing, and runs until the person leaves.
/// Returns the program's exit code: 0, 2 (the file cannot be used) or `no_window`; says why on `err`.
int open_app(const std::filesystem::path& workshop, std::ostream& err);

}  // namespace restand
