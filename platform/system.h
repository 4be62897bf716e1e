#pragma once
// What the operating system says and does for a program, besides files: system.cpp by POSIX and XDG, or
// windows/system.cpp.

#include <filesystem>
#include <string>
#include <vector>

namespace restand {

/// A path from the environment; empty if there is none.
std::filesystem::path from_environment(const char* name);

/// Each is empty where the system names none. Own: of this person's Restand; not made here.
std::filesystem::path own_folder();
std::filesystem::path own_state_folder();  ///< for what only this device needs
std::filesystem::path documents_of_person();
std::vector<std::filesystem::path> mounted_sticks();  ///< removable drives

std::string host_name();  ///< "this device" where the system has none
int utc_offset_min();     ///< now, minutes east of UTC

/// This thread gives way to the pages and to the writer. Where that is refused, it runs like the others.
void yield_to_others();

/// After this call a crash (abort, bad memory, bad arithmetic) leaves an empty file there; not after the
/// other one.
void mark_crashes(const std::string& path);
void let_crash();

/// For a file that is open while its name is removed: where that cannot be, at the end of the program.
void remove_at_end(const std::string& path);

}  // namespace restand
