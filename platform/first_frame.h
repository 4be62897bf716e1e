#pragma once
// A program that crashes before its first frame was drawn would crash at every start, if the draft is the cause.
// The crash leaves a mark in the folder of what is kept aside; the next start keeps that draft aside in place of
// opening it.

#include <string>

#include "core/quantity/result.h"

namespace restand {

// From now on a crash (abort, bad memory, bad arithmetic) leaves the mark; one folder a process, made when it is not
// there. A program that is killed leaves none.
void watch_first_frame(const std::string& folder);
// The first frame is on the glass: a later crash leaves no mark.
void first_frame_drawn();

bool first_frame_failed(const std::string& folder);
// The mark has served: left behind, it would cost the next draft.
Outcome forget_first_frame(const std::string& folder);
// Writes the draft to a file of its own in the folder, and answers the file's path.
Result<std::string> keep_draft_aside(const std::string& folder, const std::string& draft,
                                     std::int64_t now_ms);

}  // namespace restand
