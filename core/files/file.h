#pragma once
// File functions for the store and the exports: whole files are written so that a power cut leaves the old
// one or the new one, and a lock ends with its process. Never use them on a live workshop file: only SQLite
// may open that (closing another descriptor drops its locks).

#include <cstdint>
#include <string>
#include <string_view>

#include "core/files/open_file.h"
#include "core/quantity/result.h"

namespace restand {

// The first 16 bytes, or fewer; empty if the file cannot be read.
std::string first_bytes(const std::string& path);
inline constexpr std::string_view database_start("SQLite format 3\0", 16);  // SQLite file format, 1.3

// HeldFolder::write with Readers::person. Errors: not_found (the folder), read_only, io; subject = path.
Outcome write_file_durably(const std::string& path, std::string_view bytes);
// Errors: not_found, too_large (detail: the cap), io.
Result<std::string> read_file(const std::string& path, std::uint64_t cap);

// Makes one level; does nothing if the folder exists. Syncs the folder above: without that a power cut
// removes the new folder and its content. Errors: not_found (the one above), read_only, io; subject = path.
Outcome make_folder_durably(const std::string& path);

std::string folder_above(const std::string& path);  // "." if the path names none
bool folder_writable(const std::string& file_in_it);

// `path` with every link resolved; `path` itself if that fails. Locks and files beside a file use this path.
std::string real_path(const std::string& path);

// An advisory, exclusive lock on a file made for this purpose. It ends with the process, however that ends.
class FileLock {
public:
    FileLock() = default;
    // Errors: in_use, read_only, io.
    static Result<FileLock> take(const std::string& path);
    bool held() const { return static_cast<bool>(file_); }

private:
    explicit FileLock(OpenFile file) : file_(std::move(file)) {}
    OpenFile file_;
};

}  // namespace restand
