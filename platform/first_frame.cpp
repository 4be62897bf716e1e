#include "platform/first_frame.h"

#include <fcntl.h>
#include <signal.h>
#include <unistd.h>

#include <atomic>
#include <filesystem>

#include "core/codec/time_text.h"
#include "core/files/file.h"

namespace restand {

namespace {
namespace fs = std::filesystem;

constexpr int crashes[] = {SIGABRT, SIGSEGV, SIGBUS, SIGFPE, SIGILL};

// A signal handler may read these and call only open() and close() (POSIX, async-signal-safe functions).
char mark[4096];
std::atomic<bool> watching{false};

void crashed(int signal) {
    if (watching)
        if (const int file = ::open(mark, O_WRONLY | O_CREAT | O_CLOEXEC, 0600); file >= 0) ::close(file);
    // The handler was reset when it was called: the signal now ends the program as it would have without it.
    ::raise(signal);
}

std::string mark_in(const std::string& folder) {
    return (fs::path(folder) / "restand-first-frame-failed").string();
}

}  // namespace

void watch_first_frame(const std::string& folder) {
    std::error_code ignored;
    fs::create_directories(folder, ignored);
    const std::string path = mark_in(folder);
    if (path.size() >= sizeof mark) return;
    path.copy(mark, path.size());
    mark[path.size()] = '\0';
    watching = true;
    struct sigaction action {};
    action.sa_handler = crashed;
    action.sa_flags = static_cast<int>(SA_RESETHAND);
    for (const int signal : crashes) ::sigaction(signal, &action, nullptr);
}

void first_frame_drawn() {
    watching = false;
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
