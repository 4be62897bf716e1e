#pragma once
// The jobs of a bike that are open: which is needed first, and what keeps it from being begun.
//
// A job that blocks others is needed as early as the earliest of them. Two devices may each name the other's
// job as the one that comes first; such a circle blocks none of its jobs, and each of them says so.

#include <set>

#include "core/ledger/job_body.h"
#include "core/ledger/ledger.h"

namespace restand {

struct OpenJob {
    const Job* job = nullptr;            // of the ledger; not null
    std::optional<Milestone> needed;     // its own, or the earliest of those it blocks; nullopt: it may wait
    std::vector<const Job*> waits_for;   // open jobs that must be done first
    bool in_circle = false;
    bool can_begin() const { return waits_for.empty() && !waits_for_part(job->body); }
};

// Jobs that are neither done nor dropped, in the order to do them: no job before one it waits for; of those
// that may come next the one that is needed first, then one whose part is here, then the oldest.
std::vector<OpenJob> open_jobs(const Ledger& ledger, const Id& bike);
// All jobs of the bike that wait for `job`, also through others, and itself; closed ones too, as they may be
// opened again. It cannot wait for one of them.
std::set<Id> waiting_for(const Ledger& ledger, const Job& job);

}  // namespace restand
