#include "core/store/old_version.h"

#include <filesystem>

#include "core/codec/time_text.h"
#include "core/store/copy.h"
#include "core/store/schema.h"

namespace restand {
namespace {

namespace fs = std::filesystem;

// 0: not ours, or not readable: Store::open reports what is wrong.
int version_in_file(const std::string& path) {
    std::error_code wrong;
    if (!fs::is_regular_file(path, wrong)) return 0;
    // For writing, so that SQLite can roll back what a killed process left unfinished.
    const auto db = Database::open(path, SQLITE_OPEN_READWRITE);
    if (!db) return 0;
    const auto version = version_of(*db);
    return version ? *version : 0;
}

// An existing copy with the same bytes: a start that was killed after copying left it. Empty: none.
Result<std::string> same_beside(const std::string& path, const std::string& beginning) {
    const auto wanted = sha256_of_file(path);
    if (!wanted) return wanted.error();
    std::error_code wrong;
    const fs::path folder = fs::path(path).parent_path();
    for (fs::directory_iterator at(folder.empty() ? "." : folder, wrong);
         !wrong && at != fs::directory_iterator(); at.increment(wrong)) {
        const bool named = (folder / at->path().filename()).string().starts_with(beginning);
        if (!named || at->path().extension() == ".part" || !fs::is_regular_file(at->symlink_status(wrong)))
            continue;
        const auto hash = sha256_of_file(at->path().string());
        if (hash && *hash == *wanted) return (folder / at->path().filename()).string();
    }
    return std::string();
}

Result<std::string> keep_old(const std::string& path, int version, std::int64_t now_ms) {
    // Nobody may write during the copy.
    const auto lock = FileLock::take(path + ".lock");
    if (!lock) return Error{lock.error().code, path, lock.error().detail};
    const std::string beginning = path + ".version-" + std::to_string(version) + "-";
    auto there = same_beside(path, beginning);
    if (!there || !there->empty()) return there;
    std::error_code ignored;
    while (fs::exists(beginning + stamp_of(now_ms), ignored)) now_ms += 1000;
    const std::string kept = beginning + stamp_of(now_ms), part = kept + ".part";
    const PartFile gone_after(part);
    if (const auto copied = copy_file_durably(path, part); !copied) return copied.error();
    if (const auto named = rename_durably(part, kept); !named) return named.error();
    return kept;
}

}  // namespace

Result<OpenedWorkshop> open_keeping_old(const std::string& named, Store::Mode mode, std::int64_t now_ms) {
    const std::string path = real_path(named);
    const int version = version_in_file(path);
    std::string kept;
    if (version > 0 && version < workshop_version) {
        auto made = keep_old(path, version, now_ms);
        if (!made) return made.error();
        kept = std::move(*made);
    }
    auto store = Store::open(named, mode);
    if (!store) return store.error();
    return OpenedWorkshop{std::move(*store), kept, kept.empty() ? 0 : version};
}

}  // namespace restand
