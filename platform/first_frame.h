#pragma once
// If the draft makes the program crash before its first frame, it would crash at every start. Such a crash
// leaves a mark in the folder for rejected entries; the next start sets that draft aside instead of opening
// it.

#include <string>

#include "core/quantity/result.h"

namespace restand {

// After this call a crash (abort, bad memory, bad arithmetic) leaves the mark. One folder per process, made
// if missing. A killed program leaves no mark.
void watch_first_frame(const std::string& folder);
// The first frame has been shown: a later crash leaves no mark.
void first_frame_drawn();

bool first_frame_failed(const std::string& folder);
// Removes the mark once it has been used: otherwise the next draft would be set aside too.
Outcome forget_first_frame(const std::string& folder);
// Writes the draft to its own file in the folder; returns the file's path.
Result<std::string> keep_draft_aside(const std::string& folder, const std::string& draft,
                                     std::int64_t now_ms);

}  // namespace restand
