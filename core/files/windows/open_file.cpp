// The system's calls as Windows has them.
//
// 1. A file may be written to, renamed and deleted while we have it open, as elsewhere; SQLite keeps to less.
// 2. What is synced is on disk with its name: NTFS and FAT write a new name with the file's first data. So a
//    folder is not synced, and a rename asks for it by itself.

#include "core/files/open_file.h"

#include <windows.h>

#include <algorithm>
#include <cstring>
#include <system_error>

#include "core/files/file.h"
#include "core/files/windows/wide.h"

namespace restand {
namespace {

HANDLE as_handle(std::intptr_t handle) {
    return reinterpret_cast<HANDLE>(handle);
}

std::intptr_t opened(const std::string& path, DWORD access, DWORD creation, DWORD flags = 0) {
    constexpr DWORD share = FILE_SHARE_READ | FILE_SHARE_WRITE | FILE_SHARE_DELETE;
    return reinterpret_cast<std::intptr_t>(::CreateFileW(wide(path).c_str(), access, share, nullptr, creation,
                                                         FILE_ATTRIBUTE_NORMAL | flags, nullptr));
}

std::intptr_t opened(const std::string& path, OpenFile::How how) {
    switch (how) {
        case OpenFile::How::read:
            return opened(path, GENERIC_READ, OPEN_EXISTING);
        case OpenFile::How::change:
            return opened(path, GENERIC_READ | GENERIC_WRITE, OPEN_EXISTING);
        case OpenFile::How::make:
            return opened(path, GENERIC_READ | GENERIC_WRITE, CREATE_NEW);
        case OpenFile::How::add:
            // Without FILE_WRITE_DATA, what is written goes to the end.
            return opened(path, GENERIC_READ | FILE_APPEND_DATA | SYNCHRONIZE, OPEN_ALWAYS);
        case OpenFile::How::let_go:
            break;  // Windows frees a deleted file by itself
    }
    return reinterpret_cast<std::intptr_t>(INVALID_HANDLE_VALUE);
}

}  // namespace

// In the words of the C library: Windows words it in the language and the signs of this machine.
Error system_error(const std::string& path) {
    const auto why = static_cast<int>(::GetLastError());
    const std::error_condition known = std::system_category().default_error_condition(why);
    const std::string words = known.category() == std::generic_category()
                                  ? std::strerror(known.value())
                                  : "Windows error " + std::to_string(why);
    if (known == std::errc::no_such_file_or_directory) return {ErrorCode::not_found, path, words};
    const bool denied = known == std::errc::permission_denied || known == std::errc::read_only_file_system ||
                        known == std::errc::operation_not_permitted || why == ERROR_WRITE_PROTECT;
    return {denied ? ErrorCode::read_only : ErrorCode::io, path, words};
}

OpenFile::OpenFile(const std::string& path, How how) : handle_(opened(path, how)) {}

OpenFile::~OpenFile() {
    if (handle_ != none) ::CloseHandle(as_handle(handle_));
}

std::int64_t OpenFile::read(char* to, std::size_t room) const {
    DWORD n = 0;
    const auto most = static_cast<DWORD>(std::min<std::size_t>(room, 1 << 20));
    return ::ReadFile(as_handle(handle_), to, most, &n, nullptr) ? static_cast<std::int64_t>(n) : -1;
}

bool OpenFile::write(std::string_view bytes) const {
    while (!bytes.empty()) {
        DWORD n = 0;
        const auto most = static_cast<DWORD>(std::min<std::size_t>(bytes.size(), 1 << 20));
        if (!::WriteFile(as_handle(handle_), bytes.data(), most, &n, nullptr)) return false;
        bytes.remove_prefix(n);
    }
    return true;
}

bool OpenFile::sync() const {
    return ::FlushFileBuffers(as_handle(handle_)) != 0;
}

std::int64_t OpenFile::size() const {
    LARGE_INTEGER size{};
    return ::GetFileSizeEx(as_handle(handle_), &size) ? size.QuadPart : -1;
}

bool OpenFile::read_last(char& to) const {
    const LARGE_INTEGER before_end{.QuadPart = -1};
    return ::SetFilePointerEx(as_handle(handle_), before_end, nullptr, FILE_END) && read(&to, 1) == 1;
}

bool OpenFile::cut(std::int64_t size) const {
    const LARGE_INTEGER end{.QuadPart = size};
    return ::SetFilePointerEx(as_handle(handle_), end, nullptr, FILE_BEGIN) &&
           ::SetEndOfFile(as_handle(handle_));
}

bool OpenFile::has_no_name() const {
    return false;
}

void OpenFile::send_to_disk(std::int64_t, std::int64_t) const {}

Outcome sync_folder(const std::string&) {
    return Done{};
}

// A program that looks at every new file, such as a virus scanner, keeps it for a moment.
Outcome rename_durably(const std::string& from, const std::string& to) {
    constexpr int tries = 20;
    constexpr DWORD between_ms = 25;
    for (int i = 1;; ++i) {
        if (::MoveFileExW(wide(from).c_str(), wide(to).c_str(),
                          MOVEFILE_REPLACE_EXISTING | MOVEFILE_WRITE_THROUGH))
            return Done{};
        const DWORD why = ::GetLastError();
        const bool kept = why == ERROR_SHARING_VIOLATION || why == ERROR_ACCESS_DENIED;
        if (!kept || i == tries) return system_error(to);
        ::Sleep(between_ms);
    }
}

Outcome remove_file(const std::string& path) {
    if (::DeleteFileW(wide(path).c_str())) return Done{};
    const Error error = system_error(path);
    if (error.code == ErrorCode::not_found) return Done{};
    return error;
}

std::string written_at(const std::string& path) {
    WIN32_FILE_ATTRIBUTE_DATA found{};
    if (!::GetFileAttributesExW(wide(path).c_str(), GetFileExInfoStandard, &found)) return "";
    const ULARGE_INTEGER time{
        {.LowPart = found.ftLastWriteTime.dwLowDateTime, .HighPart = found.ftLastWriteTime.dwHighDateTime}};
    return std::to_string(time.QuadPart);
}

Outcome make_folder_durably(const std::string& path) {
    const DWORD there = ::GetFileAttributesW(wide(path).c_str());
    if (there != INVALID_FILE_ATTRIBUTES && (there & FILE_ATTRIBUTE_DIRECTORY)) return Done{};
    if (!::CreateDirectoryW(wide(path).c_str(), nullptr)) return system_error(path);
    return Done{};
}

// Asks for the right to make files in it.
bool folder_writable(const std::string& file_in_it) {
    return static_cast<bool>(
        OpenFile(opened(folder_above(file_in_it), FILE_ADD_FILE, OPEN_EXISTING, FILE_FLAG_BACKUP_SEMANTICS)));
}

Result<FileLock> FileLock::take(const std::string& path) {
    OpenFile file(opened(path, GENERIC_READ | GENERIC_WRITE, OPEN_ALWAYS));
    if (!file) return system_error(path);
    OVERLAPPED whole{};
    if (::LockFileEx(as_handle(file.handle()), LOCKFILE_EXCLUSIVE_LOCK | LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0,
                     &whole))
        return FileLock(std::move(file));
    if (::GetLastError() == ERROR_LOCK_VIOLATION)
        return Error{ErrorCode::in_use, path, "another process writes to it"};
    return system_error(path);
}

}  // namespace restand
