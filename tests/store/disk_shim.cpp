#include "tests/store/disk_shim.h"

#include <dlfcn.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <cstdarg>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <mutex>
#include <optional>

#include "core/quantity/result.h"

namespace restand::test {
namespace {

namespace fs = std::filesystem;
using Kind = DiskCall::Kind;
using How = Fault::How;

// The C library's own, found once each.
template <class F>
F* real(const char* name) {
    auto* found = reinterpret_cast<F*>(::dlsym(RTLD_NEXT, name));
    check(found != nullptr, name);
    return found;
}
// First in each call below; these stand outside this namespace.
#define RESTAND_REAL(type, name)   \
    using namespace restand::test; \
    static auto* const next = real<type>(name)

struct Shim {
    std::recursive_mutex mutex;
    std::string root;  // ends in '/'
    bool record = true, paused = false;
    Fault fault;
    std::uint64_t calls = 0;
    bool struck = false, then_full = false;
    std::string struck_call;
    std::map<std::string, int> files;  // name -> file, as the disk now is
    std::map<int, int> handles;        // descriptor -> file; -1 - n: folders[n]
    std::vector<std::string> folders;
    int next_file = 0;
    std::vector<DiskCall> log;
    std::vector<std::pair<std::string, std::string>> before;

    std::optional<std::string> below(const char* path) const {
        const std::string_view whole(path);
        if (!whole.starts_with(root)) {
            if (whole.size() + 1 == root.size() && root.starts_with(whole)) return "";
            return std::nullopt;
        }
        return std::string(whole.substr(root.size()));
    }
    // The whole path of a name in a watched folder that is open.
    std::optional<std::string> path_in(int folder, const char* name) const {
        const auto handle = handles.find(folder);
        if (handle == handles.end() || handle->second >= 0) return std::nullopt;
        const std::string& below_root = folders[static_cast<std::size_t>(-1 - handle->second)];
        return root + below_root + (below_root.empty() ? "" : "/") + name;
    }
    void add(DiskCall call) {
        if (record) log.push_back(std::move(call));
    }
    // How this call goes. `what` names it for the report.
    How turn(const char* what, const std::string& name, bool writes = false) {
        if (paused || fault.how == How::none) return ++calls, How::none;
        ++calls;
        if (writes && then_full) return then_full = false, How::full;
        const bool now = fault.for_good ? calls >= fault.at : calls == fault.at;
        if (!now || (fault.how == How::full && !writes)) return How::none;
        if (!struck) struck_call = std::string(what) + " " + name;
        struck = true;
        return fault.how;
    }
    std::string name_of(int file) const {
        for (const auto& [name, number] : files)
            if (number == file) return name;
        return "a file without a name";
    }
};

Shim shim;
std::atomic<bool> armed{false};

int failed(int why) {
    errno = why;
    return -1;
}

// A call without bytes: done or not, and what it answers. Names and files are kept up by `after`.
template <class Work, class After>
int plain(How how, Work work, After after) {
    if (how == How::fail || how == How::shorten || how == How::full) return failed(EIO);
    if (how == How::lose) return 0;
    const int code = work();
    if (code == 0) after();
    return how == How::fail_late ? failed(EIO) : code;
}

template <class OpenCall>
int open_watched(OpenCall next, const char* path, int flags, mode_t mode) {
    const std::lock_guard lock(shim.mutex);
    const auto name = shim.below(path);
    if (!name) return next(path, flags, mode);
    struct stat st;
    const bool there = ::stat(path, &st) == 0, folder = there && S_ISDIR(st.st_mode);
    const How how = shim.turn("open", *name);
    // An open cannot be lost or late: there is a descriptor or there is none.
    if (how != How::none && how != How::full) return failed(EIO);
    const int handle = next(path, flags, mode);
    if (handle < 0) return handle;
    if (folder) {
        shim.folders.push_back(*name);
        shim.handles[handle] = -static_cast<int>(shim.folders.size());
        return handle;
    }
    if (!there || !shim.files.contains(*name)) {
        shim.files[*name] = shim.next_file++;
        shim.add({Kind::create, shim.files[*name], 0, "", *name, ""});
    }
    const int file = shim.files[*name];
    shim.handles[handle] = file;
    if (flags & O_TRUNC) shim.add({Kind::truncate, file, 0, "", "", ""});
    return handle;
}

// `next` writes n bytes from the start of what is given.
template <class Next>
ssize_t write_watched(int handle, const void* from, std::size_t size, std::int64_t at, Next next) {
    const int file = shim.handles.at(handle);
    const How how = shim.turn("write", shim.name_of(file), true);
    if (how == How::fail) return failed(EIO);
    if (how == How::full) return failed(ENOSPC);
    if (how == How::lose) return static_cast<ssize_t>(size);
    if (how == How::shorten) shim.then_full = true;
    const std::size_t wanted = how == How::shorten ? (size + 1) / 2 : size;
    const ssize_t done = next(wanted);
    if (done > 0)
        shim.add({Kind::write, file, at,
                  std::string(static_cast<const char*>(from), static_cast<std::size_t>(done)), "", ""});
    return how == How::fail_late ? failed(EIO) : done;
}

template <class Next>
int truncate_watched(int handle, std::int64_t size, Next next) {
    const int file = shim.handles.at(handle);
    return plain(shim.turn("truncate", shim.name_of(file)), next, [&] {
        shim.add({Kind::truncate, file, size, "", "", ""});
    });
}

template <class Next>
int sync_watched(int handle, Next next) {
    const int file = shim.handles.at(handle);
    if (file < 0) {
        const std::string folder = shim.folders[static_cast<std::size_t>(-1 - file)];
        return plain(shim.turn("sync of folder", folder), next, [&] {
            shim.add({Kind::sync_folder, -1, 0, "", folder, ""});
        });
    }
    return plain(shim.turn("sync", shim.name_of(file)), next, [&] {
        shim.add({Kind::sync, file, 0, "", "", ""});
    });
}

template <class Next>
int unlink_watched(const std::string& name, Next next) {
    return plain(shim.turn("unlink", name), next, [&] {
        shim.files.erase(name);
        shim.add({Kind::unlink, -1, 0, "", name, ""});
    });
}

bool watched(int handle) {
    return shim.handles.contains(handle);
}

}  // namespace

Watch::Watch(const std::string& folder, Fault fault, bool record) {
    const std::lock_guard lock(shim.mutex);
    check(!armed, "one watch at a time");
    shim.root = folder + "/";
    shim.record = record, shim.paused = false;
    shim.fault = fault;
    shim.calls = 0, shim.struck = false, shim.then_full = false;
    shim.struck_call.clear(), shim.files.clear(), shim.handles.clear(), shim.folders.clear();
    shim.log.clear(), shim.before.clear();
    shim.next_file = 0;
    for (const auto& one : fs::recursive_directory_iterator(folder)) {
        if (!one.is_regular_file()) continue;
        std::ifstream in(one.path(), std::ios::binary);
        const std::string name = one.path().string().substr(shim.root.size());
        shim.before.emplace_back(name, std::string(std::istreambuf_iterator<char>(in), {}));
        shim.files[name] = shim.next_file++;
    }
    armed = true;
}
Watch::~Watch() {
    armed = false;
}
void Watch::note(std::int64_t number) {
    const std::lock_guard lock(shim.mutex);
    shim.add({Kind::note, -1, number, "", "", ""});
}
void Watch::pause(bool paused) {
    const std::lock_guard lock(shim.mutex);
    shim.paused = paused;
}
std::uint64_t Watch::calls() const {
    return shim.calls;
}
bool Watch::struck() const {
    return shim.struck;
}
std::string Watch::struck_call() const {
    return shim.struck_call;
}
std::vector<DiskCall> Watch::take() {
    return std::move(shim.log);
}
const std::vector<std::pair<std::string, std::string>>& Watch::before() const {
    return shim.before;
}

}  // namespace restand::test

// The calls themselves
// -------------------------------------------------------------------------------------------------------

#define RESTAND_OPEN(name)                               \
    int name(const char* path, int flags, ...) {         \
        RESTAND_REAL(int(const char*, int, ...), #name); \
        mode_t mode = 0;                                 \
        if (flags & O_CREAT) {                           \
            va_list more;                                \
            va_start(more, flags);                       \
            mode = va_arg(more, mode_t);                 \
            va_end(more);                                \
        }                                                \
        if (!armed) return next(path, flags, mode);      \
        return open_watched(next, path, flags, mode);    \
    }
#define RESTAND_PWRITE(name, offset)                                                                       \
    ssize_t name(int handle, const void* from, size_t size, offset at) {                                   \
        RESTAND_REAL(ssize_t(int, const void*, size_t, offset), #name);                                    \
        if (!armed) return next(handle, from, size, at);                                                   \
        const std::lock_guard lock(shim.mutex);                                                            \
        if (!watched(handle)) return next(handle, from, size, at);                                         \
        return write_watched(handle, from, size, at, [&](size_t n) { return next(handle, from, n, at); }); \
    }
#define RESTAND_TRUNCATE(name, offset)                                             \
    int name(int handle, offset size) noexcept {                                   \
        RESTAND_REAL(int(int, offset), #name);                                     \
        if (!armed) return next(handle, size);                                     \
        const std::lock_guard lock(shim.mutex);                                    \
        if (!watched(handle)) return next(handle, size);                           \
        return truncate_watched(handle, size, [&] { return next(handle, size); }); \
    }
#define RESTAND_SYNC(name)                                         \
    int name(int handle) {                                         \
        RESTAND_REAL(int(int), #name);                             \
        if (!armed) return next(handle);                           \
        const std::lock_guard lock(shim.mutex);                    \
        if (!watched(handle)) return next(handle);                 \
        return sync_watched(handle, [&] { return next(handle); }); \
    }
#define RESTAND_UNLINK(name)                                       \
    int name(const char* path) noexcept {                          \
        RESTAND_REAL(int(const char*), #name);                     \
        if (!armed) return next(path);                             \
        const std::lock_guard lock(shim.mutex);                    \
        const auto below = shim.below(path);                       \
        if (!below) return next(path);                             \
        return unlink_watched(*below, [&] { return next(path); }); \
    }

extern "C" {
RESTAND_OPEN(open)
RESTAND_OPEN(open64)
RESTAND_PWRITE(pwrite, off_t)
RESTAND_PWRITE(pwrite64, off64_t)
RESTAND_TRUNCATE(ftruncate, off_t)
RESTAND_TRUNCATE(ftruncate64, off64_t)
RESTAND_SYNC(fsync)
RESTAND_SYNC(fdatasync)
RESTAND_UNLINK(unlink)
RESTAND_UNLINK(remove)

ssize_t write(int handle, const void* from, size_t size) {
    RESTAND_REAL(ssize_t(int, const void*, size_t), "write");
    if (!armed) return next(handle, from, size);
    const std::lock_guard lock(shim.mutex);
    if (!watched(handle)) return next(handle, from, size);
    const auto at = ::lseek(handle, 0, SEEK_CUR);
    return write_watched(handle, from, size, at, [&](size_t n) { return next(handle, from, n); });
}

int rename(const char* from, const char* to) noexcept {
    RESTAND_REAL(int(const char*, const char*), "rename");
    if (!armed) return next(from, to);
    const std::lock_guard lock(shim.mutex);
    const auto old_name = shim.below(from), new_name = shim.below(to);
    if (!old_name || !new_name) return next(from, to);
    return plain(
        shim.turn("rename", *old_name), [&] { return next(from, to); },
        [&] {
            const int file = shim.files.contains(*old_name) ? shim.files[*old_name] : -1;
            shim.files.erase(*old_name);
            shim.files[*new_name] = file;
            shim.add({DiskCall::Kind::rename, file, 0, "", *old_name, *new_name});
        });
}

int link(const char* from, const char* to) noexcept {
    RESTAND_REAL(int(const char*, const char*), "link");
    if (!armed) return next(from, to);
    const std::lock_guard lock(shim.mutex);
    const auto old_name = shim.below(from), new_name = shim.below(to);
    if (!old_name || !new_name) return next(from, to);
    return plain(
        shim.turn("link", *old_name), [&] { return next(from, to); },
        [&] {
            const int file = shim.files.contains(*old_name) ? shim.files[*old_name] : -1;
            shim.files[*new_name] = file;
            shim.add({DiskCall::Kind::link, file, 0, "", *old_name, *new_name});
        });
}

// Calls relative to an open folder: the same as those by path, where the folder is watched.
int openat(int folder, const char* name, int flags, ...) {
    RESTAND_REAL(int(int, const char*, int, ...), "openat");
    mode_t mode = 0;
    if (flags & O_CREAT) {
        va_list more;
        va_start(more, flags);
        mode = va_arg(more, mode_t);
        va_end(more);
    }
    if (!armed) return next(folder, name, flags, mode);
    const std::lock_guard lock(shim.mutex);
    const auto path = shim.path_in(folder, name);
    if (!path) return next(folder, name, flags, mode);
    return open_watched([&](const char*, int, mode_t) { return next(folder, name, flags, mode); },
                        path->c_str(), flags, mode);
}

int renameat(int from_folder, const char* from, int to_folder, const char* to) noexcept {
    RESTAND_REAL(int(int, const char*, int, const char*), "renameat");
    if (armed) {
        const std::lock_guard lock(shim.mutex);
        const auto old_path = shim.path_in(from_folder, from), new_path = shim.path_in(to_folder, to);
        if (old_path && new_path) return ::rename(old_path->c_str(), new_path->c_str());
    }
    return next(from_folder, from, to_folder, to);
}

int unlinkat(int folder, const char* name, int flags) noexcept {
    RESTAND_REAL(int(int, const char*, int), "unlinkat");
    if (armed && flags == 0) {
        const std::lock_guard lock(shim.mutex);
        if (const auto path = shim.path_in(folder, name)) return ::unlink(path->c_str());
    }
    return next(folder, name, flags);
}

int mkdirat(int folder, const char* name, mode_t mode) noexcept {
    RESTAND_REAL(int(int, const char*, mode_t), "mkdirat");
    if (armed) {
        const std::lock_guard lock(shim.mutex);
        if (const auto path = shim.path_in(folder, name)) return ::mkdir(path->c_str(), mode);
    }
    return next(folder, name, mode);
}

int mkdir(const char* path, mode_t mode) noexcept {
    RESTAND_REAL(int(const char*, mode_t), "mkdir");
    const int code = next(path, mode);
    if (!armed || code != 0) return code;
    const std::lock_guard lock(shim.mutex);
    if (const auto name = shim.below(path)) shim.add({DiskCall::Kind::make_folder, -1, 0, "", *name, ""});
    return code;
}

int close(int handle) {
    RESTAND_REAL(int(int), "close");
    if (!armed) return next(handle);
    const std::lock_guard lock(shim.mutex);
    shim.handles.erase(handle);
    return next(handle);
}
}
