#pragma once
// Attitude and chain: set-ups that are only tried until they are recorded as a change.

#include "app/action.h"
#include "core/ledger/swap.h"

namespace restand {

// What the attitude screen plots over the travel. none: it draws the bike.
enum class TravelPlot { none, motion_ratio, wheel_rate, slack };

namespace act {
struct ShowAttitude { Id bike; };
struct ShowChain { Id bike; };
struct Try { End end; Point point; double by; };   // one step, canonical
struct TryTo { End end; Point point; double value; };   // dragged to this value; canonical
struct TryGear { int front, rear, links; double axle; };
struct TryNothing {};
struct KeepTried {};                               // the bike is now set like this: stores a change
struct KeepAsTarget {};                            // writes the tried values down; the bike stays as it is
struct LookAt { State state; };                    // at which the attitude is shown
struct OverTravel { TravelPlot plot; };
struct WantRatio { double by; };
struct WantSlack { double by; };                   // at the tight spot, mm
struct ShowGears { bool shown; };
struct AtSpeed { double by; };                     // km/h
}  // namespace act

void act_on(AppState&, const act::ShowAttitude&);
void act_on(AppState&, const act::ShowChain&);
void act_on(AppState&, const act::Try&);
void act_on(AppState&, const act::TryTo&);
void act_on(AppState&, const act::TryGear&);
void act_on(AppState&, const act::TryNothing&);
void act_on(AppState&, const act::KeepTried&);
void act_on(AppState&, const act::KeepAsTarget&);
void act_on(AppState&, const act::LookAt&);
void act_on(AppState&, const act::OverTravel&);
void act_on(AppState&, const act::WantRatio&);
void act_on(AppState&, const act::WantSlack&);
void act_on(AppState&, const act::ShowGears&);
void act_on(AppState&, const act::AtSpeed&);

}  // namespace restand
