#pragma once
// One open file by the system's own calls, and what else of files differs between systems. The build chooses
// the source: open_file.cpp, or windows/open_file.cpp. Paths are UTF-8. Where a call fails, system_error()
// says why.

#include <cstdint>
#include <string>
#include <string_view>
#include <utility>

#include "core/quantity/result.h"

namespace restand {

// The last system error as an Error with subject `path`: not_found, read_only or io.
Error system_error(const std::string& path);

class OpenFile {
public:
    enum class How {
        read,
        change,  // it is there
        make,    // it is not there; a link that somebody puts there meanwhile is not written through
        add,     // what is written goes to its end; made if it is not there
        let_go,  // to be cut once its name is gone; no link is followed, and a pipe does not block
    };
    // A file that is made may be read by its owner only.
    OpenFile(const std::string& path, How how);
    OpenFile() = default;
    explicit OpenFile(std::intptr_t handle) : handle_(handle) {}
    OpenFile(OpenFile&& other) noexcept : handle_(std::exchange(other.handle_, none)) {}
    OpenFile& operator=(OpenFile&& other) noexcept { return std::swap(handle_, other.handle_), *this; }
    ~OpenFile();
    explicit operator bool() const { return handle_ != none; }
    std::intptr_t handle() const { return handle_; }  // the system's

    std::int64_t read(char* to, std::size_t room) const;  // how many bytes; 0: the end, -1: an error
    bool write(std::string_view bytes) const;
    bool sync() const;
    std::int64_t size() const;                            // -1: an error
    bool read_last(char& to) const;                       // the last byte; not of an empty file
    bool cut(std::int64_t size) const;
    bool has_no_name() const;                             // its last name is gone, and only we keep it
    // Asks for these bytes on the disk, and waits; not yet durable. Nothing where there is no such call.
    void send_to_disk(std::int64_t from, std::int64_t to) const;

private:
    static constexpr std::intptr_t none = -1;
    std::intptr_t handle_ = none;
};

// The new name is on disk afterwards.
Outcome rename_durably(const std::string& from, const std::string& to);
// The names in it are on disk afterwards.
Outcome sync_folder(const std::string& folder);
// None there: done.
Outcome remove_file(const std::string& path);
// When the file was last written to, as a text to compare; empty if that is not known.
std::string written_at(const std::string& path);

}  // namespace restand
