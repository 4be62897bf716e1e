// The system's calls as POSIX has them.

#include "core/files/open_file.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>

#include "core/files/file.h"

namespace restand {
namespace {

int flags_of(OpenFile::How how) {
    switch (how) {
        case OpenFile::How::read:
            return O_RDONLY;
        case OpenFile::How::change:
            return O_RDWR;
        case OpenFile::How::make:
            return O_RDWR | O_CREAT | O_EXCL | O_NOFOLLOW;
        case OpenFile::How::add:
            return O_RDWR | O_CREAT | O_APPEND;
        case OpenFile::How::let_go:
            return O_WRONLY | O_NOFOLLOW | O_NONBLOCK;
    }
    return O_RDONLY;
}

int as_int(std::intptr_t handle) {
    return static_cast<int>(handle);
}

}  // namespace

Error system_error(const std::string& path) {
    const int why = errno;
    const bool denied = why == EACCES || why == EROFS || why == EPERM;
    const auto code = why == ENOENT ? ErrorCode::not_found : denied ? ErrorCode::read_only : ErrorCode::io;
    return {code, path, std::strerror(why)};
}

OpenFile::OpenFile(const std::string& path, How how)
    : handle_(::open(path.c_str(), flags_of(how) | O_CLOEXEC, 0600)) {}

OpenFile::~OpenFile() {
    if (handle_ != none) ::close(as_int(handle_));
}

std::int64_t OpenFile::read(char* to, std::size_t room) const {
    for (;;) {
        const auto n = ::read(as_int(handle_), to, room);
        if (n >= 0 || errno != EINTR) return n;
    }
}

bool OpenFile::write(std::string_view bytes) const {
    while (!bytes.empty()) {
        const auto n = ::write(as_int(handle_), bytes.data(), bytes.size());
        if (n < 0 && errno == EINTR) continue;
        if (n < 0) return false;
        bytes.remove_prefix(static_cast<std::size_t>(n));
    }
    return true;
}

bool OpenFile::sync() const {
    return ::fsync(as_int(handle_)) == 0;
}

std::int64_t OpenFile::size() const {
    struct stat info {};
    return ::fstat(as_int(handle_), &info) == 0 ? info.st_size : -1;
}

bool OpenFile::read_last(char& to) const {
    const auto end = ::lseek(as_int(handle_), 0, SEEK_END);
    return end > 0 && ::pread(as_int(handle_), &to, 1, end - 1) == 1;
}

bool OpenFile::cut(std::int64_t size) const {
    return ::ftruncate(as_int(handle_), size) == 0;
}

bool OpenFile::has_no_name() const {
    struct stat info {};
    return ::fstat(as_int(handle_), &info) == 0 && S_ISREG(info.st_mode) && info.st_nlink == 0;
}

// One sync of a large file would take seconds, delay others' commits, and could not be cancelled. The final
// full sync then has little to do. A commit that comes meanwhile waits for one piece at most.
void OpenFile::send_to_disk(std::int64_t from, std::int64_t to) const {
#ifdef __linux__
    constexpr std::int64_t piece = 512 << 10;
    for (; from < to; from += piece)
        (void)::sync_file_range(
            as_int(handle_), from, std::min(piece, to - from),
            SYNC_FILE_RANGE_WAIT_BEFORE | SYNC_FILE_RANGE_WRITE | SYNC_FILE_RANGE_WAIT_AFTER);
#else
    (void)from, (void)to;
#endif
}

Outcome sync_folder(const std::string& folder) {
    const OpenFile opened(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (!opened || !opened.sync()) return system_error(folder);
    return Done{};
}

Outcome rename_durably(const std::string& from, const std::string& to) {
    if (::rename(from.c_str(), to.c_str()) != 0) return system_error(to);
    // The new name is on disk only when the folder is synced.
    if (const auto synced = sync_folder(folder_above(to)); !synced)
        return Error{synced.error().code, to, synced.error().detail};
    return Done{};
}

Outcome remove_file(const std::string& path) {
    if (::unlink(path.c_str()) != 0 && errno != ENOENT) return system_error(path);
    return Done{};
}

std::string written_at(const std::string& path) {
    struct stat info {};
    if (::stat(path.c_str(), &info) != 0) return "";
    return std::to_string(static_cast<long long>(info.st_mtim.tv_sec)) + "." +
           std::to_string(info.st_mtim.tv_nsec);
}

Outcome make_folder_durably(const std::string& path) {
    struct stat there {};
    if (::stat(path.c_str(), &there) == 0 && S_ISDIR(there.st_mode)) return Done{};
    if (::mkdir(path.c_str(), 0777) != 0) return system_error(path);
    const auto synced = sync_folder(folder_above(path));
    if (synced) return Done{};
    ::rmdir(path.c_str());  // the next try must not find it unsynced
    return Error{synced.error().code, path, synced.error().detail};
}

bool folder_writable(const std::string& file_in_it) {
    return ::access(folder_above(file_in_it).c_str(), W_OK) == 0;
}

Result<FileLock> FileLock::take(const std::string& path) {
    const int fd = ::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600);
    if (fd < 0) return system_error(path);
    FileLock lock{OpenFile(fd)};
    if (::flock(fd, LOCK_EX | LOCK_NB) == 0) return lock;
    if (errno == EWOULDBLOCK) return Error{ErrorCode::in_use, path, "another process writes to it"};
    return system_error(path);
}

}  // namespace restand
