#include "platform/places.h"

#include <algorithm>
#include <system_error>

#include "platform/system.h"

namespace restand {

namespace fs = std::filesystem;

std::vector<fs::path> folders_in(const fs::path& folder) {
    std::vector<fs::path> found;
    std::error_code failed;
    for (fs::directory_iterator it(folder, failed), end; !failed && it != end; it.increment(failed))
        if (it->is_directory(failed)) found.push_back(it->path());
    return found;
}

std::vector<fs::path> sticks() {
    const fs::path named = from_environment("RESTAND_PLACES");
    std::vector<fs::path> found = named.empty() ? mounted_sticks() : folders_in(named);
    std::erase(found, documents_folder());
    std::sort(found.begin(), found.end());
    return found;
}

fs::path documents_folder() {
    const fs::path named = from_environment("RESTAND_PLACES");
    return named.empty() ? documents_of_person() : named / "documents";
}

Result<fs::path> own_workshop() {
    fs::path file = from_environment("RESTAND_WORKSHOP");
    if (file.empty()) {
        const fs::path own = own_folder();
        if (own.empty()) return Error{ErrorCode::io, "workshop", "the system names no home folder"};
        file = own / "workshop.restand";
    }
    std::error_code failed;
    if (file.has_parent_path()) fs::create_directories(file.parent_path(), failed);
    if (failed) return Error{ErrorCode::io, file.parent_path().string(), failed.message()};
    return file;
}

}  // namespace restand
