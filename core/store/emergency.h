#pragma once
// Keeps a reading that the workshop's disk refused in another folder until the disk accepts it: one line of
// text per entry, with its hash, readable without Restand.
//
//   FOLDER/restand-set-aside.txt:  SHA-256 of the rest of the line, a space, one JSON object
//
// A line torn by a power cut is skipped and counted; the next one begins on a new line. A discarded line
// moves to restand-thrown-away.txt in the same folder.

#include <functional>
#include <string>
#include <vector>

#include "core/ledger/entry.h"

namespace restand {

// On disk when it returns. Errors: not_found, read_only, io (a full disk); subject = the file.
Outcome keep_rejected(const std::string& folder, const NewEntry& entry, std::int64_t at_ms);

struct Rejected {
    std::vector<RejectedEntry> entries;   // as they were kept, oldest first
    std::uint64_t unreadable = 0;     // lines torn or changed
};
Result<Rejected> read_rejected(const std::string& folder);   // nothing kept: empty
// Removes entries that have been stored. Lines that cannot be read stay; when none is left, the file is
// deleted.
Outcome forget_rejected(const std::string& folder,
                        const std::function<bool(const RejectedEntry&)>& found_its_place);
// Discards these entries and the lines that cannot be read; returns the path of the file that now holds them.
Result<std::string> throw_away(const std::string& folder, const std::vector<RejectedEntry>& these);

}  // namespace restand
