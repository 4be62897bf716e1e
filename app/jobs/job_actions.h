#pragma once
// The jobs of a bike, and what it may go out for.

#include <optional>
#include <string>

#include "app/action.h"
#include "app/pad/field.h"
#include "core/ledger/job_body.h"

namespace restand {

namespace act {
struct AddJob {};                                  // on the bike shown, from any of its pages
struct OpenJob { Id job; };
struct SetJobText { Id bike, job; JobField field; std::string text; };   // job nil: a new one
struct SetJobBefore { Id job; std::optional<Milestone> before; };
struct SetJobWho { Id job, person; };              // person nil: nobody
struct SetJobAfter { Id job, first; bool waits; }; // whether `first` must be done first
struct SetJobArrived { Id job; bool arrived; };
struct SetJobDone { Id job; bool done; };
struct SetJobDropped { Id job; bool dropped; };
struct AddUsualJobs { Id bike; };                  // of the usual preparation what is not there yet
struct TakeJobsOf { Id from, to; };                // bikes; done there or not, all are to be done here
struct AddRechecks { Id swap; };                   // what its parts need after the first run
struct ShowDoneJobs { bool shown; };
struct ReadyFor { Milestone milestone; };
struct PutRight { Action by; };                    // leads to a page from which Back leads to the list again
}  // namespace act

void act_on(AppState&, const act::AddJob&);
void act_on(AppState&, const act::OpenJob&);
void act_on(AppState&, const act::SetJobText&);
void act_on(AppState&, const act::SetJobBefore&);
void act_on(AppState&, const act::SetJobWho&);
void act_on(AppState&, const act::SetJobAfter&);
void act_on(AppState&, const act::SetJobArrived&);
void act_on(AppState&, const act::SetJobDone&);
void act_on(AppState&, const act::SetJobDropped&);
void act_on(AppState&, const act::AddUsualJobs&);
void act_on(AppState&, const act::TakeJobsOf&);
void act_on(AppState&, const act::AddRechecks&);
void act_on(AppState&, const act::ShowDoneJobs&);
void act_on(AppState&, const act::ReadyFor&);
void act_on(AppState&, const act::PutRight&);

}  // namespace restand
