#pragma once
// What the store and the exports ask of the file system: whole files written so that a power cut leaves the
// old one or the new one, and a lock that a killed process does not leave behind. Never used on a live
// workshop file: only SQLite may open that (closing another descriptor drops its locks).

#include <cstdint>
#include <string>
#include <string_view>

#include "core/quantity/result.h"

namespace restand {

// What the system refused last (errno), as an error of `path`: not_found, read_only or io.
Error system_error(const std::string& path);
// The first 16 bytes, or fewer; none of a file that cannot be read.
std::string first_bytes(const std::string& path);
inline constexpr std::string_view database_start("SQLite format 3\0", 16);  // SQLite file format, 1.3

// HeldFolder::write, read by the person alone. Error io, read_only; subject = path.
Outcome write_file_durably(const std::string& path, std::string_view bytes);
// Errors: not_found, too_large (detail: the cap), io.
Result<std::string> read_file(const std::string& path, std::uint64_t cap);

// One level; there already: done. The folder above is synced: without that a power cut takes the new one with all
// that was put into it. Errors: not_found (the one above), read_only, io; subject = path.
Outcome make_folder_durably(const std::string& path);

bool folder_writable(const std::string& file_in_it);

// Every link on the way resolved; as named where that cannot be. Locks and files beside a file go by this path.
std::string real_path(const std::string& path);

// Advisory and exclusive, on a file made for the purpose; goes with the process, however that ends.
class FileLock {
public:
    FileLock() = default;
    // Errors: in_use, read_only, io.
    static Result<FileLock> take(const std::string& path);
    FileLock(FileLock&& other) noexcept;
    FileLock& operator=(FileLock&& other) noexcept;
    ~FileLock();
    bool held() const { return handle_ >= 0; }

private:
    explicit FileLock(int handle) : handle_(handle) {}
    int handle_ = -1;
};

}  // namespace restand
