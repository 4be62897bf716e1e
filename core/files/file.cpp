#include "core/files/file.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <utility>

#include "core/files/held_folder.h"

namespace restand {
namespace {

class Handle {
public:
    explicit Handle(int fd) : fd_(fd) {}
    Handle(const Handle&) = delete;
    Handle& operator=(const Handle&) = delete;
    ~Handle() {
        if (fd_ >= 0) ::close(fd_);
    }
    int get() const { return fd_; }
    bool open() const { return fd_ >= 0; }

private:
    int fd_;
};

}  // namespace

std::string folder_above(const std::string& path) {
    const auto folder = std::filesystem::path(path).parent_path().string();
    return folder.empty() ? "." : folder;
}

Error system_error(const std::string& path) {
    const int why = errno;
    const bool denied = why == EACCES || why == EROFS || why == EPERM;
    const auto code = why == ENOENT ? ErrorCode::not_found : denied ? ErrorCode::read_only : ErrorCode::io;
    return {code, path, std::strerror(why)};
}

std::string first_bytes(const std::string& path) {
    std::string start(database_start.size(), '\0');
    std::ifstream in(path, std::ios::binary);
    in.read(start.data(), static_cast<std::streamsize>(start.size()));
    start.resize(static_cast<std::size_t>(in.gcount()));
    return start;
}

Outcome write_file_durably(const std::string& path, std::string_view bytes) {
    const auto folder = HeldFolder::open(folder_above(path));
    Outcome written =
        folder ? folder->write(std::filesystem::path(path).filename().string(), bytes, Readers::person)
               : Outcome(folder.error());
    if (written) return written;
    Error error = written.error();
    error.subject = path;
    return error;
}

Result<std::string> read_file(const std::string& path, std::uint64_t cap) {
    const Handle file(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
    if (!file.open()) return system_error(path);
    std::string bytes;
    char block[65536];
    for (;;) {
        const auto n = ::read(file.get(), block, sizeof block);
        if (n < 0 && errno == EINTR) continue;
        if (n < 0) return system_error(path);
        if (n == 0) return bytes;
        bytes.append(block, static_cast<std::size_t>(n));
        if (bytes.size() > cap) return Error{ErrorCode::too_large, path, std::to_string(cap) + " bytes"};
    }
}

Outcome make_folder_durably(const std::string& path) {
    std::error_code ignored;
    if (std::filesystem::is_directory(path, ignored)) return Done{};
    if (::mkdir(path.c_str(), 0777) != 0) return system_error(path);
    const Handle above(::open(folder_above(path).c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (above.open() && ::fsync(above.get()) == 0) return Done{};
    const Error error = system_error(path);
    ::rmdir(path.c_str());  // the next try must not find it unsynced
    return error;
}

std::string real_path(const std::string& path) {
    std::error_code ignored;
    const auto whole = std::filesystem::weakly_canonical(path, ignored);
    return ignored ? path : whole.string();
}

bool folder_writable(const std::string& file_in_it) {
    return ::access(folder_above(file_in_it).c_str(), W_OK) == 0;
}

Result<FileLock> FileLock::take(const std::string& path) {
    const int fd = ::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600);
    if (fd < 0) return system_error(path);
    FileLock lock(fd);
    if (::flock(fd, LOCK_EX | LOCK_NB) == 0) return lock;
    if (errno == EWOULDBLOCK) return Error{ErrorCode::in_use, path, "another process writes to it"};
    return system_error(path);
}

FileLock::FileLock(FileLock&& other) noexcept : handle_(std::exchange(other.handle_, -1)) {}

FileLock& FileLock::operator=(FileLock&& other) noexcept {
    std::swap(handle_, other.handle_);
    return *this;
}

FileLock::~FileLock() {
    if (handle_ >= 0) ::close(handle_);
}

}  // namespace restand
