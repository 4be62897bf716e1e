#include "core/store/copy.h"

#include <fcntl.h>
#include <sodium.h>
#include <unistd.h>

#include <cerrno>
#include <chrono>
#include <cstdio>
#include <filesystem>

#include "core/store/database.h"
#include "core/store/schema.h"

namespace restand {
namespace {

namespace fs = std::filesystem;

constexpr int look_every = 10'000;   // of SQLite's steps: some hundred times a second

class Open {
public:
    Open(const std::string& path, int flags) : fd_(::open(path.c_str(), flags | O_CLOEXEC, 0644)) {}
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

std::string folder_of(const std::string& path) {
    const auto folder = fs::path(path).parent_path().string();
    return folder.empty() ? "." : folder;
}

// Calls `use(bytes)` for block after block.
template <class Use>
Outcome each_block(const std::string& path, Use use) {
    const Open file(path, O_RDONLY);
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

}  // namespace

std::string stamp_of(std::int64_t ms) {
    using namespace std::chrono;
    const sys_time<milliseconds> at{milliseconds(ms)};
    const auto day = floor<days>(at);
    const year_month_day date(day);
    const hh_mm_ss time(floor<seconds>(at - day));
    char text[64];
    std::snprintf(text, sizeof text, "%04d%02u%02u-%02d%02d%02d", static_cast<int>(date.year()),
                  static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()),
                  static_cast<int>(time.hours().count()), static_cast<int>(time.minutes().count()),
                  static_cast<int>(time.seconds().count()));
    return text;
}

std::optional<std::int64_t> ms_of_stamp(std::string_view stamp) {
    using namespace std::chrono;
    if (stamp.size() != 15 || stamp[8] != '-') return std::nullopt;
    int v[6] = {0, 0, 0, 0, 0, 0};
    constexpr std::size_t at[6] = {0, 4, 6, 9, 11, 13}, size[6] = {4, 2, 2, 2, 2, 2};
    for (int i = 0; i < 6; ++i)
        for (const char c : stamp.substr(at[i], size[i])) {
            if (c < '0' || c > '9') return std::nullopt;
            v[i] = v[i] * 10 + (c - '0');
        }
    const year_month_day date{year(v[0]), month(static_cast<unsigned>(v[1])), day(static_cast<unsigned>(v[2]))};
    if (!date.ok() || v[3] > 23 || v[4] > 59 || v[5] > 59) return std::nullopt;
    const auto time = sys_days(date) + hours(v[3]) + minutes(v[4]) + seconds(v[5]);
    return duration_cast<milliseconds>(time.time_since_epoch()).count();
}

Result<Hash> sha256_of_file(const std::string& path) {
    crypto_hash_sha256_state state;
    crypto_hash_sha256_init(&state);
    const auto read = each_block(path, [&state](std::string_view bytes) -> Outcome {
        crypto_hash_sha256_update(&state, reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size());
        return Done{};
    });
    if (!read) return read.error();
    Hash hash;
    crypto_hash_sha256_final(&state, hash.data());
    return hash;
}

Outcome copy_file_durably(const std::string& from, const std::string& to) {
    const Open file(to, O_WRONLY | O_CREAT | O_TRUNC);
    if (!file) return system_error(to);
    const auto copied = each_block(from, [&](std::string_view bytes) -> Outcome {
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
    // The new name is on disk only when the folder is.
    const Open folder(folder_of(to), O_RDONLY | O_DIRECTORY);
    if (!folder || ::fsync(folder.get()) != 0) return system_error(to);
    return Done{};
}

Outcome copy_workshop(const std::string& from, const std::string& to, Progress* progress) {
    auto db = Database::open(from, SQLITE_OPEN_READWRITE);
    if (!db) db = Database::open(from, SQLITE_OPEN_READONLY);
    if (!db) return db.error();
    if (const auto ours = version_of(*db); !ours) return ours.error();
    sqlite3_limit(db->get(), SQLITE_LIMIT_ATTACHED, 1);   // VACUUM attaches the copy
    if (progress)
        sqlite3_progress_handler(
            db->get(), look_every,
            [](void* p) { return static_cast<const Progress*>(p)->cancelled.load() ? 1 : 0; }, progress);
    auto copy = db->prepare("VACUUM INTO ?");
    if (!copy) return copy.error();
    copy->bind_text(1, to);
    if (copy->step() == SQLITE_DONE) {
        *copy = Statement();
        return sync_file(to);
    }
    if (progress && progress->cancelled) return Error{ErrorCode::cancelled, from, ""};
    Error error = db->error();
    // Damage is the workshop's; a full disk or a stick that was pulled is the copy's.
    const bool ours = error.code == ErrorCode::damaged || error.code == ErrorCode::not_ours ||
                      error.code == ErrorCode::in_use;
    if (!ours) error.subject = to;
    return error;
}

void PartFile::remove() const {
    std::error_code ignored;
    for (const char* more : {"", "-journal", ".lock"}) fs::remove(path_ + more, ignored);
}

}  // namespace restand
