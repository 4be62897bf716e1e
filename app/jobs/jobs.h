#pragma once
// State of the pages of jobs and of readiness.

#include <string>
#include <vector>

#include "app/jobs/job_actions.h"
#include "app/navigation.h"
#include "core/ledger/ledger.h"

namespace restand {

struct Jobs {
    Id job;                                    // on the screen; nil: a new one
    bool done_shown = false;                   // the list also has what is done and what was dropped
    Milestone milestone = Milestone::shakedown;   // that the bike is looked at for
    std::optional<Screen> led_to;              // by 'May it go out?'; Back leads there again
};

const Job* shown_job(const AppState& state);   // of the bike shown; nullptr: a new one
// Of these jobs those that are not to be done on the bike already.
std::vector<JobBody> not_on_list(const Ledger& ledger, const Id& bike, std::vector<JobBody> jobs);
// What the parts of a swap need after the first run, and is neither to be done nor done since the swap.
std::vector<JobBody> rechecks_left(const Ledger& ledger, const Swap& swap);
// Present text of a field of the job on the screen.
std::string standing_job_text(const AppState& state, JobField field);

}  // namespace restand
