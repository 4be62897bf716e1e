#include "core/store/copy.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <chrono>
#include <filesystem>
#include <memory>
#include <thread>

#include "core/codec/sha256.h"

namespace restand {
namespace {

namespace fs = std::filesystem;

class Open {
public:
    Open(const std::string& path, int flags) : fd_(::open(path.c_str(), flags | O_CLOEXEC, 0600)) {}
    Open(const Open&) = delete;
    Open& operator=(const Open&) = delete;
    ~Open() {
        if (fd_ >= 0) ::close(fd_);
    }
    explicit operator bool() const { return fd_ >= 0; }
    int get() const { return fd_; }

private:
    int fd_;
};

// Calls `use(bytes)` for each block.
template <class Use>
Outcome each_block(const Open& file, const std::string& path, Use use) {
    if (!file) return system_error(path);
    char block[65536];
    for (;;) {
        const auto n = ::read(file.get(), block, sizeof block);
        if (n < 0 && errno == EINTR) continue;
        if (n < 0) return system_error(path);
        if (n == 0) return Done{};
        if (const auto used = use(std::string_view(block, static_cast<std::size_t>(n))); !used) return used;
    }
}

// One sync of a large file would take seconds, delay others' commits, and could not be cancelled. The final
// full sync then has little to do. A commit that comes meanwhile waits for one piece at most.
void send_to_disk(int fd, off_t from, off_t to) {
#ifdef __linux__
    constexpr off_t piece = 512 << 10;
    for (; from < to; from += piece)
        (void)::sync_file_range(
            fd, from, std::min(piece, to - from),
            SYNC_FILE_RANGE_WAIT_BEFORE | SYNC_FILE_RANGE_WRITE | SYNC_FILE_RANGE_WAIT_AFTER);
#else
    (void)fd, (void)from, (void)to;
#endif
}

constexpr off_t given_back_at_once = 16 << 20;

// Frees a deleted file in pieces, on a thread. If no thread can be started, it is closed, and so freed, at
// once.
void give_back_in_pieces(std::shared_ptr<const Open> file, off_t size) {
    try {
        std::thread([file = std::move(file), size]() mutable {
            // Waits first: an app that is closing has finished its last syncs by then.
            constexpr std::chrono::milliseconds before{1'000}, between{20};
            std::this_thread::sleep_for(before);
            while (size > 0) {
                size -= std::min(size, given_back_at_once);
                if (::ftruncate(file->get(), size) != 0) break;
                std::this_thread::sleep_for(between);
            }
        }).detach();
    } catch (const std::exception&) {  // no thread, or no memory for one
    }
}

}  // namespace

Result<Hash> sha256_of_file(const std::string& path, const Progress* progress, bool sync) {
    const Open file(path, sync ? O_RDWR : O_RDONLY);
    Sha256 sum;
    off_t at = 0, synced = 0;
    constexpr off_t piece = 4 << 20;
    const auto read = each_block(file, path, [&](std::string_view bytes) -> Outcome {
        sum.add(bytes);
        at += static_cast<off_t>(bytes.size());
        if (progress && progress->cancelled) return Error{ErrorCode::cancelled, path, ""};
        if (sync && at - synced >= piece) send_to_disk(file.get(), synced, at), synced = at;
        return Done{};
    });
    if (!read) return read.error();
    if (sync && ::fsync(file.get()) != 0) return system_error(path);
    return sum.finish();
}

Outcome copy_file_durably(const std::string& from, const std::string& to) {
    // Nothing exists at this name: what somebody puts there meanwhile, such as a link, is not written
    // through.
    const Open file(to, O_WRONLY | O_CREAT | O_EXCL);
    if (!file) return system_error(to);
    const Open source(from, O_RDONLY);
    const auto copied = each_block(source, from, [&](std::string_view bytes) -> Outcome {
        while (!bytes.empty()) {
            const auto n = ::write(file.get(), bytes.data(), bytes.size());
            if (n < 0 && errno == EINTR) continue;
            if (n < 0) return system_error(to);
            bytes.remove_prefix(static_cast<std::size_t>(n));
        }
        return Done{};
    });
    if (!copied) return copied;
    if (::fsync(file.get()) != 0) return system_error(to);
    return Done{};
}

Outcome sync_file(const std::string& path) {
    const Open file(path, O_RDONLY);
    if (!file || ::fsync(file.get()) != 0) return system_error(path);
    return Done{};
}

Outcome rename_durably(const std::string& from, const std::string& to) {
    if (::rename(from.c_str(), to.c_str()) != 0) return system_error(to);
    // The new name is on disk only when the folder is synced.
    const Open folder(folder_above(to), O_RDONLY | O_DIRECTORY);
    if (!folder || ::fsync(folder.get()) != 0) return system_error(to);
    return Done{};
}

void write_back(const std::string& path, std::uint64_t& synced) {
    const Open file(path, O_WRONLY);
    struct stat info {};
    if (!file || ::fstat(file.get(), &info) != 0) return;
    send_to_disk(file.get(), static_cast<off_t>(synced), info.st_size);
    synced = static_cast<std::uint64_t>(info.st_size);
}

// The name is removed at once. Freeing some hundred megabytes takes a tenth of a second, and every sync of
// another file waits meanwhile. So it is freed piece by piece, on a thread that nobody waits for. The end of
// the program frees the rest.
void PartFile::remove() const {
    auto file =
        std::make_shared<const Open>(path_, O_WRONLY | O_NOFOLLOW | O_NONBLOCK);  // a pipe must not block us
    struct stat info {};
    std::error_code ignored;
    for (const char* more : {"", "-journal", ".lock"}) fs::remove(path_ + more, ignored);
    const bool alone =
        *file && ::fstat(file->get(), &info) == 0 && S_ISREG(info.st_mode) && info.st_nlink == 0;
    if (alone && info.st_size > given_back_at_once) give_back_in_pieces(std::move(file), info.st_size);
}

}  // namespace restand
