#pragma once
// Copies of whole workshop files, and moving files so that a power cut leaves one or the other. Inside core/store
// only.

#include <optional>
#include <string>

#include "core/ledger/entry.h"
#include "core/quantity/progress.h"
#include "core/files/file.h"

namespace restand {

// "20260314-091500", UTC.
std::string stamp_of(std::int64_t ms);
std::optional<std::int64_t> ms_of_stamp(std::string_view stamp);

// Of a file that nothing has open. Subject: path. `sync`: what was read is on disk afterwards. Error cancelled.
Result<Hash> sha256_of_file(const std::string& path, const Progress* progress = nullptr, bool sync = false);
std::string to_text(const Hash& hash);
// `to` must not be there.
Outcome copy_file_durably(const std::string& from, const std::string& to);
Outcome rename_durably(const std::string& from, const std::string& to);
Outcome sync_file(const std::string& path);

// Sends to the disk what a file has beyond `synced`, which moves on to its end; waits for it. Not yet durable.
void write_back(const std::string& path, std::uint64_t& synced);

// A file that is under way, with all that SQLite leaves beside it: gone at the end unless it was renamed.
class PartFile {
public:
    explicit PartFile(std::string path) : path_(std::move(path)) { remove(); }
    PartFile(const PartFile&) = delete;
    PartFile& operator=(const PartFile&) = delete;
    ~PartFile() { remove(); }

private:
    void remove() const;
    std::string path_;
};

}  // namespace restand
