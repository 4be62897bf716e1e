#include "platform/system.h"

#include <windows.h>

#include <shlobj.h>

#include <atomic>
#include <csignal>
#include <cstdlib>
#include <ctime>
#include <mutex>

namespace restand {
namespace {

namespace fs = std::filesystem;

fs::path known_folder(REFKNOWNFOLDERID id) {
    PWSTR path = nullptr;
    const fs::path found =
        ::SHGetKnownFolderPath(id, 0, nullptr, &path) == S_OK ? fs::path(path) : fs::path();
    ::CoTaskMemFree(path);
    return found;
}

wchar_t mark[32768];
std::atomic<bool> watching{false};

void leave_mark() {
    if (!watching.exchange(false)) return;
    const HANDLE file =
        ::CreateFileW(mark, GENERIC_WRITE, 0, nullptr, OPEN_ALWAYS, FILE_ATTRIBUTE_NORMAL, nullptr);
    if (file != INVALID_HANDLE_VALUE) ::CloseHandle(file);
}

LONG WINAPI crashed(EXCEPTION_POINTERS*) {
    leave_mark();
    return EXCEPTION_CONTINUE_SEARCH;  // the program ends as it would have without this
}

void aborted(int) {
    leave_mark();
}

struct Leftovers {
    std::mutex mutex;
    std::vector<std::string> paths;
    ~Leftovers() {
        std::error_code ignored;
        for (const std::string& path : paths)
            for (const char* more : {"", "-journal", ".lock"}) fs::remove(path + more, ignored);
    }
};
Leftovers leftovers;

}  // namespace

fs::path from_environment(const char* name) {
    const wchar_t* value = ::_wgetenv(fs::path(name).c_str());
    return value ? fs::path(value) : fs::path();
}

fs::path own_folder() {
    const fs::path documents = documents_of_person();
    return documents.empty() ? documents : documents / "Restand";
}

fs::path own_state_folder() {
    std::error_code failed;
    const fs::path home = known_folder(FOLDERID_LocalAppData);
    return (home.empty() ? fs::temp_directory_path(failed) : home) / "Restand";
}

fs::path documents_of_person() {
    return known_folder(FOLDERID_Documents);
}

// A drive without a stick in it has no volume.
std::vector<fs::path> mounted_sticks() {
    std::vector<fs::path> found;
    const DWORD drives = ::GetLogicalDrives();
    for (int i = 0; i < 26; ++i) {
        const wchar_t root[] = {static_cast<wchar_t>(L'A' + i), L':', L'\\', L'\0'};
        if (!(drives & (1u << i)) || ::GetDriveTypeW(root) != DRIVE_REMOVABLE) continue;
        if (::GetVolumeInformationW(root, nullptr, 0, nullptr, nullptr, nullptr, nullptr, 0))
            found.emplace_back(root);
    }
    return found;
}

std::string host_name() {
    wchar_t name[256] = {};
    DWORD room = 256;
    if (!::GetComputerNameExW(ComputerNameDnsHostname, name, &room) || name[0] == L'\0') return "this device";
    return fs::path(name).string();
}

int utc_offset_min() {
    const std::time_t now = std::time(nullptr);
    std::tm local{};
    ::localtime_s(&local, &now);
    return static_cast<int>((::_mkgmtime(&local) - now) / 60);
}

void yield_to_others() {
    (void)::SetThreadPriority(::GetCurrentThread(), THREAD_PRIORITY_BELOW_NORMAL);
}

void mark_crashes(const std::string& path) {
    const std::wstring wide = fs::path(path).wstring();
    if (wide.size() >= std::size(mark)) return;
    wide.copy(mark, wide.size());
    mark[wide.size()] = L'\0';
    watching = true;
    ::SetUnhandledExceptionFilter(crashed);
    std::signal(SIGABRT, aborted);
}

void let_crash() {
    watching = false;
}

void remove_at_end(const std::string& path) {
    const std::lock_guard lock(leftovers.mutex);
    leftovers.paths.push_back(path);
}

}  // namespace restand
