#pragma once
// Copies of the workshop file, kept in a folder of their own, each verified by opening it before an older one
// goes. And what is left of a damaged file.
//
//   name: STEM-YYYYMMDD-HHMMSS-ENTRIES.backup, a workshop file; beside it NAME.sum: SHA-256 and the holdings' count
//   kept: the 10 newest, the newest of each of the last 7 days and of the last 12 weeks; never fewer than one
//   verified copy
//   made: VACUUM INTO a .part file, synced, opened, integrity, hashes and chains checked, renamed, folder synced
//
// A restore keeps the file that is replaced (NAME.replaced-DATE) and gives the device a new incarnation.

#include <string>
#include <vector>

#include "core/store/store.h"

namespace restand {

struct Backup {
    std::string path;
    std::int64_t at_ms = 0;
    std::uint64_t entries = 0;
    bool good = false;                    // its sum agrees (list) or it was opened and checked (made)
};

// Errors: io, read_only, damaged (the copy did not check out; the older ones stay), cancelled.
Result<Backup> back_up(const Store& store, const std::string& folder, std::int64_t now_ms,
                       Progress* progress = nullptr);
// Of this workshop, newest first; damaged ones are in it, not good. No folder: empty.
Result<std::vector<Backup>> backups(const std::string& folder, const std::string& workshop);
// Is one due? The ledger grew since the newest one: at start, and after 50 entries.
bool backup_due(const std::vector<Backup>& made, std::uint64_t entries, bool at_start);

// Puts a backup in the workshop's place. Nothing may have the workshop open (Error in_use). Checked first; the file
// that was there is kept beside it, its new name is the answer. The restored file is a new incarnation.
Result<std::string> restore_backup(const std::string& backup, const std::string& workshop,
                                   std::int64_t now_ms);

// What can still be read of a damaged workshop file: entries whose hash is right. `unreadable`: those that are damaged,
// or that only the index still lists. Never writes.
struct Salvaged { std::vector<Entry> entries; std::uint64_t unreadable = 0; std::vector<Error> found; };
Result<Salvaged> salvage(const std::string& workshop);

}  // namespace restand
