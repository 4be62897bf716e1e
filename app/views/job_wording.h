#pragma once
// Texts of jobs and of readiness.

#include <string>

#include "app/pad/field.h"
#include "core/ledger/readiness.h"

namespace restand::wording {

std::string label(JobField field);
std::string milestone(Milestone milestone);              // "start-up"
std::string before(const std::optional<Milestone>& milestone);   // "before start-up", "may wait"
// What keeps it from being begun: "relay, due Friday · after: cut the undertray"; "" if nothing does. Of a
// job that waits for itself, that it does.
std::string waits_for(const OpenJob& job);
std::string against(const ReadyItem& item, const UnitChoice& units);   // one sentence
// What to do about it; of one of the jobs that are open, what keeps it from being begun.
std::string put_right(const ReadyItem& item, const std::vector<OpenJob>& jobs);
// The usual preparation, and what a swapped part needs after the first run: common practice, no source.
// Torques are the maker's.
std::vector<JobBody> usual_jobs();
std::string recheck(SwapPart part);
std::string only_recorded();                             // what such a list is, and what it is not

}  // namespace restand::wording
