#pragma once
// Copies whole workshop files, and moves files so that a power cut leaves either the old or the new one.
// Inside core/store only.

#include <optional>
#include <string>

#include "core/ledger/entry.h"
#include "core/quantity/progress.h"
#include "core/files/file.h"

namespace restand {

// Copies a file that nothing has open. Subject: path. `sync`: the data read is on disk afterwards. Error
// cancelled.
Result<Hash> sha256_of_file(const std::string& path, const Progress* progress = nullptr, bool sync = false);
std::string to_text(const Hash& hash);
// `to` must not exist.
Outcome copy_file_durably(const std::string& from, const std::string& to);
Outcome sync_file(const std::string& path);

// Sends to the disk what the file has beyond `synced`, advances `synced` to its end, and waits for it. Not
// yet durable.
void write_back(const std::string& path, std::uint64_t& synced);

// A file being written, and all that SQLite leaves beside it. Deleted by the destructor unless it was
// renamed.
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
