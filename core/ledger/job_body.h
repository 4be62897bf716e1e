#pragma once
// The content of a job: what is still to be done on a bike, and what waits for it.

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/ledger/entry.h"

namespace restand {

// What a bike is got ready for, in the order of a season's work. Trade terms.
enum class Milestone { start_up, dyno, shakedown, scrutineering, wet_session, season };
inline constexpr std::array all_milestones{Milestone::start_up,      Milestone::dyno,
                                           Milestone::shakedown,     Milestone::scrutineering,
                                           Milestone::wet_session,   Milestone::season};
std::string_view key(Milestone milestone);                 // "start_up"
// What must be done before `earlier` must be done before `later`, too; a wet session's needs are its own.
bool counts_for(Milestone earlier, Milestone later);
std::optional<Milestone> milestone_from(std::string_view key);

// A job's first entry gives it its id. Later entries name the id in `about` and supersede the entry before.
struct JobBody {
    std::string what{}, why{};
    std::optional<Milestone> before{};   // must be done before it; nullopt: nothing waits for it
    std::string part{}, from{};          // the part it waits for, and who sends it; empty: it waits for none
    std::string ordered{}, due{};        // as typed, "22 October", "Friday"; empty: not said
    bool arrived = false;                // the part is here
    std::vector<Id> blocked_by{};        // jobs of the same bike that must be done first
    Id who{};                            // the person who does it; nil: nobody yet
    std::optional<double> minutes_planned{}, minutes_taken{};
    bool done = false;
    bool dropped = false;                // it need not be done any more
    friend bool operator==(const JobBody&, const JobBody&) = default;
};
inline bool is_open(const JobBody& job) { return !job.done && !job.dropped; }
inline bool waits_for_part(const JobBody& job) { return !job.part.empty() && !job.arrived; }

}  // namespace restand
