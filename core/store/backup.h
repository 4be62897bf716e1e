#pragma once
// Backups of the workshop file, kept in a separate folder. Each is verified by opening it before an older one
// is deleted. Also reads what is left of a damaged file.
//
//   name    STEM-YYYYMMDD-HHMMSS-ENTRIES-DEVICE.backup, a workshop file; DEVICE: the first 8 digits of
//           its device's id
//   sum     NAME.sum, beside it: SHA-256, size, count of entries, whole or not, the ids of its device and
//           its workshop
//   lock    one per series, STEM-DEVICE.backup.lock, in the same folder; it is never deleted
//   series  a copy belongs to the device that made it; only that device deletes it. Older names contain no
//           device; the device's row inside the file identifies it.
//   kept    the 10 newest, the newest of each of the last 7 days and of the last 12 weeks; never fewer than
//           one verified copy. Also the 3 newest copies of a workshop that has damage
//   made    copied page by page (snapshot.h), synced, opened, integrity, hashes and chains checked, renamed,
//           folder synced
//
// A restore keeps the file that it replaces (NAME.replaced-DATE) and gives the device a new incarnation.

#include <string>
#include <vector>

#include "core/files/file.h"
#include "core/store/store.h"

namespace restand {

struct Backup {
    std::string path;
    std::int64_t at_ms = 0;
    std::uint64_t entries = 0;
    // Matches its sum file (list), or opened and checked (made); undamaged
    bool good = false;
    bool of_damaged = false;              // the sum matches, but the source was already damaged
    std::uint64_t device = 0;             // that made it; 0: unknown
    std::uint64_t workshop = 0;           // the device that wrote its first entry; 0: unknown
};

// A damaged workshop is copied too: the result is then marked `of_damaged`, and no good copy is deleted.
// Errors: io, read_only, cancelled.
Result<Backup> back_up(const Store& store, const std::string& folder, std::int64_t now_ms,
                       Progress* progress = nullptr);

// The two halves of that function, for a caller that copies in slices. This one makes the folder. It returns
// an unused path to copy to, and the lock that keeps other programs from it until the copy is renamed. Error
// in_use: another program is making a copy.
struct CopyBegun { FileLock lock; std::string part; };
Result<CopyBegun> begin_copy(const std::string& folder, const std::string& workshop, std::uint64_t device);
// Checks the file at `part`, hashes it, renames it to its final name, and deletes copies that need not be
// kept.
Result<Backup> finish_copy(const CopyBegun& begun, const std::string& workshop, std::uint64_t device,
                           std::int64_t now_ms, Progress* progress = nullptr);

// Newest first, including damaged copies, which are not marked good. Only copies of this workshop's name and
// of `device` (0: none). No folder: empty. `whole`: each file is read and hashed; otherwise size and sum file
// are trusted.
Result<std::vector<Backup>> backups(const std::string& folder, const std::string& workshop,
                                    std::uint64_t device = 0, bool whole = true,
                                    Progress* progress = nullptr);
// Is a backup due? Yes if the ledger grew since this device's newest backup: at start, and after 50 entries.
bool backup_due(const std::vector<Backup>& made, std::uint64_t entries, bool at_start);

// Replaces the workshop with a backup. Nothing may have the workshop open (Error in_use). The backup is
// checked first. The replaced file is kept beside it; its new name is returned. The restored file is a new
// incarnation. Error contradiction: the backup is of another workshop: no device has written in both. `other`
// allows it.
Result<std::string> restore_backup(const std::string& backup, const std::string& workshop,
                                   std::int64_t now_ms, bool other = false);

// Renames a workshop file that is to be replaced to "….replaced-…"; returns that name. Nothing may have it
// open (Error in_use).
Result<std::string> set_workshop_aside(const std::string& workshop, std::int64_t now_ms);

// What can still be read of a damaged workshop file: entries whose hash is right. `unreadable`: entries that
// are damaged or that only the index still lists. Never writes.
struct Salvaged { std::vector<Entry> entries; std::uint64_t unreadable = 0; std::vector<Error> found; };
Result<Salvaged> salvage(const std::string& workshop);

}  // namespace restand
