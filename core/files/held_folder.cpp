#include "core/files/held_folder.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <random>
#include <utility>

#include "core/files/file.h"

namespace restand {
namespace {

constexpr int as_folder = O_RDONLY | O_DIRECTORY | O_CLOEXEC;

bool write_all(int fd, std::string_view bytes) {
    while (!bytes.empty()) {
        const auto n = ::write(fd, bytes.data(), bytes.size());
        if (n < 0 && errno == EINTR) continue;
        if (n < 0) return false;
        bytes.remove_prefix(static_cast<std::size_t>(n));
    }
    return true;
}

// NAME.0123456789abcdef.part
std::string unguessable(const std::string& name) {
    std::random_device random;
    char text[32];
    std::snprintf(text, sizeof text, ".%08x%08x.part", random(), random());
    return name + text;
}

}  // namespace

Error linked_folder(const std::string& path) {
    return {ErrorCode::wrong_type, path, "a folder, this is a link to another place"};
}

HeldFolder::HeldFolder(int fd, std::string path)
    : fd_(new int(fd),
          [](const int* held) {
              ::close(*held);
              delete held;
          }),
      path_(std::move(path)) {}

std::string HeldFolder::path_of(const std::string& name) const {
    return (std::filesystem::path(path_) / name).string();
}

Result<HeldFolder> HeldFolder::open(const std::string& path) {
    const int fd = ::open(path.c_str(), as_folder);
    if (fd < 0) return system_error(path);
    return HeldFolder(fd, path);
}

Result<HeldFolder> HeldFolder::inside(const std::string& name) const {
    const std::string path = path_of(name);
    const bool made = ::mkdirat(*fd_, name.c_str(), 0777) == 0;
    if (!made && errno != EEXIST) return system_error(path);
    // Without the sync a power cut removes the new folder and its content.
    if (made && ::fsync(*fd_) != 0) {
        const Error error = system_error(path);
        ::unlinkat(*fd_, name.c_str(), AT_REMOVEDIR);  // the next try must not find it unsynced
        return error;
    }
    const int fd = ::openat(*fd_, name.c_str(), as_folder | O_NOFOLLOW);
    if (fd >= 0) return HeldFolder(fd, path);
    const Error error = system_error(path);
    struct stat there {};
    const bool link =
        ::fstatat(*fd_, name.c_str(), &there, AT_SYMLINK_NOFOLLOW) == 0 && S_ISLNK(there.st_mode);
    return link ? linked_folder(path) : error;
}

Outcome HeldFolder::write(const std::string& name, std::string_view bytes, Readers readers) const {
    const std::string path = path_of(name);
    // A temporary file in the same folder: a rename is atomic only within one file system.
    const std::string beside = unguessable(name);
    const int file = ::openat(*fd_, beside.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC,
                              readers == Readers::person ? 0600 : 0644);
    if (file < 0) return system_error(path);
    const bool written = write_all(file, bytes) && ::fsync(file) == 0;
    Error error = system_error(path);
    ::close(file);
    if (written) {
        if (::renameat(*fd_, beside.c_str(), *fd_, name.c_str()) == 0) {
            // The new name is on disk only after the folder is synced.
            if (::fsync(*fd_) != 0) return system_error(path);
            return Done{};
        }
        error = system_error(path);
    }
    ::unlinkat(*fd_, beside.c_str(), 0);
    return error;
}

void HeldFolder::remove(const std::string& name) const {
    ::unlinkat(*fd_, name.c_str(), 0);
}

}  // namespace restand
