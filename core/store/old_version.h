#pragma once
// Opens a person's workshop for writing. This upgrades a file of an earlier version. The unchanged file is
// copied beside it first, for an earlier Restand; a restore of that copy would upgrade it again.
//
//   name: WORKSHOP.version-1-YYYYMMDD-HHMMSS, byte for byte; a copy that exists is not made again

#include <string>

#include "core/store/store.h"

namespace restand {

struct OpenedWorkshop {
    Store store;
    std::string old_kept;   // "" when the file was of this version
    int old_version = 0;
};

// `mode`: write or create. Errors: those of Store::open, and of the copy (io, read_only); then nothing was
// changed.
Result<OpenedWorkshop> open_keeping_old(const std::string& path, Store::Mode mode, std::int64_t now_ms);

}  // namespace restand
