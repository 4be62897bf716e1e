#include "platform/first_frame.h"

#include <filesystem>

#include "core/codec/time_text.h"
#include "core/files/file.h"
#include "platform/system.h"

namespace restand {

namespace {
namespace fs = std::filesystem;

std::string mark_in(const std::string& folder) {
    return (fs::path(folder) / "restand-first-frame-failed").string();
}

}  // namespace

void watch_first_frame(const std::string& folder) {
    std::error_code ignored;
    fs::create_directories(folder, ignored);
    mark_crashes(mark_in(folder));
}

void first_frame_drawn() {
    let_crash();
}

bool first_frame_failed(const std::string& folder) {
    std::error_code ignored;
    return fs::exists(mark_in(folder), ignored);
}

Outcome forget_first_frame(const std::string& folder) {
    std::error_code failed;
    fs::remove(mark_in(folder), failed);
    if (failed) return Error{ErrorCode::io, mark_in(folder), failed.message()};
    return Done{};
}

Result<std::string> keep_draft_aside(const std::string& folder, const std::string& draft,
                                     std::int64_t now_ms) {
    const std::string path = (fs::path(folder) / ("restand-" + stamp_of(now_ms) + ".draft")).string();
    if (const auto written = write_file_durably(path, draft); !written) return written.error();
    return path;
}

}  // namespace restand
