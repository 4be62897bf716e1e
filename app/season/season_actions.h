#pragma once
// The history, changes outside a swap, events, comparisons, the restore plan, trends.

#include "app/action.h"
#include "core/ledger/trend.h"

namespace restand {

namespace act {
struct FindKind { std::string kind; };             // filter of the timeline: this kind only; "" = all
struct FindPart { std::string part; };             // name of a part; "" = any
struct FindWords { std::string words; };
struct OlderMoments {};
struct OpenMoment { Id entry; };
struct OpenBoth { Id one, other; };                // compare; other nil: the bike as it is now
struct TakeOver { Id entry, to; };                 // its settings, as a target of another bike
struct TakeForCompare { Id entry; };               // compared with the entry opened next
struct StartChange { Id bike; };
struct StartReading { Id bike; End end; Point point; };   // of what stands on the bike; its pad is open
struct Nudge { End end; Point point; double by; }; // one step of a setting, stored at once; canonical
struct KeepAsItStands { Id bike; };                // its set-up becomes its baseline
struct StartEvent { Id bike; };
struct SaveEvent {};
struct DropEvent {};                               // the half-written session is thrown away
struct ShowPlan { Id bike, target; };               // shows the steps needed; nothing is written
struct BeginPlan {};
struct CompleteStep { std::string key; };
struct EndPlan { bool reached; };
struct KeepThis { Id baseline; };                  // of two baselines that replace the same one
struct ShowSame { bool shown; };                   // in a comparison: also show what did not change
struct ShowTrend { Id bike; Watched what; End end; Point point; };
}  // namespace act

void act_on(AppState&, const act::FindKind&);
void act_on(AppState&, const act::FindPart&);
void act_on(AppState&, const act::FindWords&);
void act_on(AppState&, const act::OlderMoments&);
void act_on(AppState&, const act::OpenMoment&);
void act_on(AppState&, const act::OpenBoth&);
void act_on(AppState&, const act::TakeOver&);
void act_on(AppState&, const act::TakeForCompare&);
void act_on(AppState&, const act::StartChange&);
void act_on(AppState&, const act::StartReading&);
void act_on(AppState&, const act::Nudge&);
void act_on(AppState&, const act::KeepAsItStands&);
void act_on(AppState&, const act::StartEvent&);
void act_on(AppState&, const act::SaveEvent&);
void act_on(AppState&, const act::DropEvent&);
void act_on(AppState&, const act::ShowPlan&);
void act_on(AppState&, const act::BeginPlan&);
void act_on(AppState&, const act::CompleteStep&);
void act_on(AppState&, const act::EndPlan&);
void act_on(AppState&, const act::KeepThis&);
void act_on(AppState&, const act::ShowSame&);
void act_on(AppState&, const act::ShowTrend&);

}  // namespace restand
