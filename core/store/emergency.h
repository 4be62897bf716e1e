#pragma once
// A reading that the workshop's disk would not take, kept in another folder until it will: one line of text an
// entry, with its hash, readable without Restand.
//
//   FOLDER/restand-set-aside.txt:  SHA-256 of the rest of the line, a space, one JSON object
//
// A line that a power cut tore is passed over and counted; the next one begins on a new line.

#include <string>
#include <vector>

#include "core/ledger/entry.h"

namespace restand {

// On disk when it returns. Errors: not_found, read_only, io (a full disk); subject = the file.
Outcome keep_aside(const std::string& folder, const NewEntry& entry);

struct Aside {
    std::vector<NewEntry> entries;    // as they were kept, oldest first
    std::uint64_t unreadable = 0;     // lines torn or changed
};
Result<Aside> read_aside(const std::string& folder);   // nothing kept: empty
// What is still to be kept, in place of what was; none: the file goes.
Outcome rewrite_aside(const std::string& folder, const std::vector<NewEntry>& entries);

}  // namespace restand
