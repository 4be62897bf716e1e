#pragma once
// Copies of the workshop file, kept in a folder of their own, each verified by opening it before an older one
// goes. And what is left of a damaged file.
//
//   name: STEM-YYYYMMDD-HHMMSS-ENTRIES-DEVICE.backup, a workshop file; DEVICE: the first 8 digits of its device's id
//   beside it NAME.sum: SHA-256, size, count of entries, whole or not, the ids of its device and its workshop
//   beside them one lock a series, STEM-DEVICE.backup.lock; it is never deleted
//   series: a copy belongs to the device that made it; only that device deletes it. Older names bear no device; the
//   device's row inside tells.
//   kept: the 10 newest, the newest of each of the last 7 days and of the last 12 weeks; never fewer than one
//   verified copy; besides, the 3 newest copies of a workshop that has damage
//   made: page by page (snapshot.h), synced, opened, integrity, hashes and chains checked, renamed, folder synced
//
// A restore keeps the file that is replaced (NAME.replaced-DATE) and gives the device a new incarnation.

#include <string>
#include <vector>

#include "core/files/file.h"
#include "core/store/store.h"

namespace restand {

struct Backup {
    std::string path;
    std::int64_t at_ms = 0;
    std::uint64_t entries = 0;
    bool good = false;                    // its sum agrees (list) or it was opened and checked (made); no damage in it
    bool of_damaged = false;              // the sum agrees, but what was copied had damage already
    std::uint64_t device = 0;             // that made it; 0: cannot be told
    std::uint64_t workshop = 0;           // the device that wrote its first entry; 0: cannot be told
};

// A workshop that has damage is copied all the same: the answer is then `of_damaged`, and no good copy goes.
// Errors: io, read_only, cancelled.
Result<Backup> back_up(const Store& store, const std::string& folder, std::int64_t now_ms,
                       Progress* progress = nullptr);

// The two halves of it, for one who copies in slices. Makes the folder; the path to copy to, where nothing is, and the
// lock that keeps other programs from it until the copy has its name. Error in_use: another one makes a copy.
struct CopyBegun { FileLock lock; std::string part; };
Result<CopyBegun> begin_copy(const std::string& folder, const std::string& workshop, std::uint64_t device);
// Checks what lies at `part`, hashes it, gives it its name, deletes what need not stay.
Result<Backup> finish_copy(const CopyBegun& begun, const std::string& workshop, std::uint64_t device,
                           std::int64_t now_ms, Progress* progress = nullptr);

// Newest first; damaged ones are in it, not good. Those of this workshop's name, and of `device` (0: none). No folder:
// empty. `whole`: read through and hashed; else size and sum file are trusted.
Result<std::vector<Backup>> backups(const std::string& folder, const std::string& workshop, std::uint64_t device = 0,
                                    bool whole = true, Progress* progress = nullptr);
// Is one due? The ledger grew since the newest one of this device: at start, and after 50 entries.
bool backup_due(const std::vector<Backup>& made, std::uint64_t entries, bool at_start);

// Puts a backup in the workshop's place. Nothing may have the workshop open (Error in_use). Checked first; the file
// that was there is kept beside it, its new name is the answer. The restored file is a new incarnation.
// Error contradiction: the copy is of another workshop, of which no device has written in this one; `other` allows it.
Result<std::string> restore_backup(const std::string& backup, const std::string& workshop,
                                   std::int64_t now_ms, bool other = false);

// Gives a workshop file that is to make room its name of old ("….replaced-…"), which is the answer. Nothing may have it
// open (Error in_use).
Result<std::string> set_workshop_aside(const std::string& workshop, std::int64_t now_ms);

// What can still be read of a damaged workshop file: entries whose hash is right. `unreadable`: those that are damaged,
// or that only the index still lists. Never writes.
struct Salvaged { std::vector<Entry> entries; std::uint64_t unreadable = 0; std::vector<Error> found; };
Result<Salvaged> salvage(const std::string& workshop);

}  // namespace restand
