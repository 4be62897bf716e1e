#include "core/files/held_folder.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <utility>

#include "core/files/file.h"

namespace restand {
namespace {

constexpr int as_folder = O_RDONLY | O_DIRECTORY | O_CLOEXEC;

int fd_of(const OpenFile& file) {
    return static_cast<int>(file.handle());
}

}  // namespace

Result<HeldFolder> HeldFolder::open(const std::string& path) {
    OpenFile folder(::open(path.c_str(), as_folder));
    if (!folder) return system_error(path);
    return HeldFolder(std::move(folder), path);
}

Result<HeldFolder> HeldFolder::inside(const std::string& name) const {
    const std::string path = path_of(name);
    const bool made = ::mkdirat(fd_of(*folder_), name.c_str(), 0777) == 0;
    if (!made && errno != EEXIST) return system_error(path);
    // Without the sync a power cut removes the new folder and its content.
    if (made && !folder_->sync()) {
        const Error error = system_error(path);
        ::unlinkat(fd_of(*folder_), name.c_str(), AT_REMOVEDIR);  // the next try must not find it unsynced
        return error;
    }
    OpenFile opened(::openat(fd_of(*folder_), name.c_str(), as_folder | O_NOFOLLOW));
    if (opened) return HeldFolder(std::move(opened), path);
    const Error error = system_error(path);
    struct stat there {};
    const bool link =
        ::fstatat(fd_of(*folder_), name.c_str(), &there, AT_SYMLINK_NOFOLLOW) == 0 && S_ISLNK(there.st_mode);
    return link ? linked_folder(path) : error;
}

Outcome HeldFolder::write(const std::string& name, std::string_view bytes, Readers readers) const {
    const std::string path = path_of(name);
    // A temporary file in the same folder: a rename is atomic only within one file system.
    const std::string beside = unguessable_beside(name);
    OpenFile file(::openat(fd_of(*folder_), beside.c_str(),
                           O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC,
                           readers == Readers::person ? 0600 : 0644));
    if (!file) return system_error(path);
    const bool written = file.write(bytes) && file.sync();
    Error error = system_error(path);
    file = OpenFile();
    if (written) {
        if (::renameat(fd_of(*folder_), beside.c_str(), fd_of(*folder_), name.c_str()) == 0) {
            // The new name is on disk only after the folder is synced.
            if (!folder_->sync()) return system_error(path);
            return Done{};
        }
        error = system_error(path);
    }
    ::unlinkat(fd_of(*folder_), beside.c_str(), 0);
    return error;
}

void HeldFolder::remove(const std::string& name) const {
    ::unlinkat(fd_of(*folder_), name.c_str(), 0);
}

}  // namespace restand
