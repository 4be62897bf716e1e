#include "platform/system.h"

#include <fcntl.h>
#include <signal.h>
#include <sys/resource.h>
#include <unistd.h>

#include <atomic>
#include <cstdlib>
#include <ctime>

#include "platform/places.h"

namespace restand {
namespace {

namespace fs = std::filesystem;

// The folder of this kind that the specification names, or else its default in the home. It says to ignore a
// relative path.
fs::path home_of(const char* named, const fs::path& in_home) {
    if (const fs::path path = from_environment(named); path.is_absolute()) return path;
    const fs::path home = from_environment("HOME");
    return home.empty() ? home : home / in_home;
}

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

}  // namespace

fs::path from_environment(const char* name) {
    const char* value = std::getenv(name);
    return value ? fs::path(value) : fs::path();
}

fs::path own_folder() {
#ifdef __APPLE__
    const fs::path home = home_of("XDG_DATA_HOME", "Library/Application Support");
#else
    const fs::path home = home_of("XDG_DATA_HOME", ".local/share");
#endif
    return home.empty() ? home : home / "restand";
}

fs::path own_state_folder() {
    const fs::path home = home_of("XDG_STATE_HOME", ".local/state");
    std::error_code failed;
    return (home.empty() ? fs::temp_directory_path(failed) : home) / "restand";
}

fs::path documents_of_person() {
    const fs::path home = from_environment("HOME");
    std::error_code failed;
    return !home.empty() && fs::is_directory(home / "Documents", failed) ? home / "Documents" : home;
}

// Where removable drives are mounted: Filesystem Hierarchy Standard 3.0, /media and /mnt; udisks adds the
// user's name, from memory.
std::vector<fs::path> mounted_sticks() {
    std::vector<fs::path> roots{"/mnt"}, found;
    if (const fs::path user = from_environment("USER"); !user.empty()) {
        roots.push_back("/media" / user);
        roots.push_back("/run/media" / user);
    }
    for (const fs::path& root : roots)
        for (fs::path& folder : folders_in(root)) found.push_back(std::move(folder));
    return found;
}

std::string host_name() {
    char name[256] = {};
    if (::gethostname(name, sizeof name - 1) != 0 || name[0] == '\0') return "this device";
    return name;
}

int utc_offset_min() {
    const std::time_t now = std::time(nullptr);
    std::tm local{};
    ::localtime_r(&now, &local);
    return static_cast<int>((::timegm(&local) - now) / 60);
}

void yield_to_others() {
#ifdef __linux__
    constexpr int lower = 10;
    (void)::setpriority(PRIO_PROCESS, static_cast<id_t>(::gettid()), lower);  // of this thread alone
#endif
}

void mark_crashes(const std::string& path) {
    if (path.size() >= sizeof mark) return;
    path.copy(mark, path.size());
    mark[path.size()] = '\0';
    watching = true;
    struct sigaction action {};
    action.sa_handler = crashed;
    action.sa_flags = static_cast<int>(SA_RESETHAND);
    for (const int signal : crashes) ::sigaction(signal, &action, nullptr);
}

void let_crash() {
    watching = false;
}

void remove_at_end(const std::string&) {}

}  // namespace restand
