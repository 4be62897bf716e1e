#include "platform/places.h"

#include <algorithm>
#include <cstdlib>
#include <string>
#include <system_error>

namespace restand {
namespace {

namespace fs = std::filesystem;

fs::path from_environment(const char* name) {
    const char* value = std::getenv(name);
    return value ? fs::path(value) : fs::path();
}

// The system's folder for a person's application data; empty when the system names none.
fs::path data_home() {
#ifdef _WIN32
    return from_environment("APPDATA");
#else
    // The specification says to ignore a relative path.
    const fs::path named = from_environment("XDG_DATA_HOME");
    if (named.is_absolute()) return named;
    const fs::path home = from_environment("HOME");
    if (home.empty()) return {};
#ifdef __APPLE__
    return home / "Library" / "Application Support";
#else
    return home / ".local" / "share";
#endif
#endif
}

// Where removable drives are mounted: Filesystem Hierarchy Standard 3.0, /media and /mnt; udisks adds the
// user's name, from memory.
std::vector<fs::path> stick_roots() {
    if (const fs::path named = from_environment("RESTAND_PLACES"); !named.empty()) return {named};
    std::vector<fs::path> roots{"/mnt"};
    if (const fs::path user = from_environment("USER"); !user.empty()) {
        roots.push_back("/media" / user);
        roots.push_back("/run/media" / user);
    }
    return roots;
}

}  // namespace

std::vector<fs::path> sticks() {
    const fs::path documents = documents_folder();
    std::vector<fs::path> found;
    for (const fs::path& root : stick_roots()) {
        std::error_code failed;
        for (fs::directory_iterator it(root, failed), end; !failed && it != end; it.increment(failed))
            if (it->is_directory(failed) && it->path() != documents) found.push_back(it->path());
    }
    std::sort(found.begin(), found.end());
    return found;
}

fs::path documents_folder() {
    if (const fs::path named = from_environment("RESTAND_PLACES"); !named.empty()) return named / "documents";
    const fs::path home = from_environment("HOME");
    std::error_code failed;
    return !home.empty() && fs::is_directory(home / "Documents", failed) ? home / "Documents" : home;
}

Result<fs::path> own_workshop() {
    fs::path file = from_environment("RESTAND_WORKSHOP");
    if (file.empty()) {
        const fs::path home = data_home();
        if (home.empty()) return Error{ErrorCode::io, "workshop", "the system names no home folder"};
        file = home / "restand" / "workshop.restand";
    }
    std::error_code failed;
    if (file.has_parent_path()) fs::create_directories(file.parent_path(), failed);
    if (failed) return Error{ErrorCode::io, file.parent_path().string(), failed.message()};
    return file;
}

}  // namespace restand
