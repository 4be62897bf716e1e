#include "platform/desktop/places.h"

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

}  // namespace

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
