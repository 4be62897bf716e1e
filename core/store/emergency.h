#pragma once
// A reading that the workshop's disk would not take, kept in another folder until it will: one line of text an
// entry, with its hash, readable without Restand.
//
//   FOLDER/restand-set-aside.txt:  SHA-256 of the rest of the line, a space, one JSON object
//
// A line that a power cut tore is passed over and counted; the next one begins on a new line. Thrown away, a line
// goes to restand-thrown-away.txt beside it.

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
// Takes out what has found its place. Lines that cannot be read stay; when none is left, the file goes.
Outcome forget_rejected(const std::string& folder, const std::function<bool(const RejectedEntry&)>& found_its_place);
// Takes out these, and the lines that cannot be read; the path of the file they now stand in.
Result<std::string> throw_away(const std::string& folder, const std::vector<RejectedEntry>& these);

}  // namespace restand
