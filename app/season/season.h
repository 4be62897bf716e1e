#pragma once
// State of the season's pages: what was requested, what the disk delivered, and unfinished input.

#include <optional>
#include <set>
#include <string>
#include <vector>

#include "app/pad/field.h"
#include "app/season/season_actions.h"
#include "core/ledger/history.h"
#include "core/ledger/restore_plan.h"
#include "core/ledger/trend.h"

namespace restand {

struct EventForm {
    Id bike;
    EventBody body;
    friend bool operator==(const EventForm&, const EventForm&) = default;
};
struct PartForm {
    Id bike, part;                         // part nil: a new one
    PartBody body;
    friend bool operator==(const PartForm&, const PartForm&) = default;
};

struct Season {
    HistoryQuery query;
    std::vector<Entry> moments, with_them; // newest first
    std::set<Id> set_aside;
    bool more = false, asked = false;      // asked: a page was requested from disk
    bool outdated = false;                 // something was written since it was

    std::optional<Entry> moment;           // opened from the timeline
    std::optional<Entry> one, other;       // compared; other nullopt: the bike as it is now
    Id taken;                              // kept for the next comparison
    bool same_shown = false;               // the comparison also shows what did not change
    Id target;                             // of the plan shown; the open plan has its own

    Watched what = Watched::rider_sag;
    End end = End::rear;
    Point point = Point::spring_free_length;
    std::vector<Sample> samples;
    std::vector<PartUse> parts;
    bool watched = false;                  // samples belong to what/end/point

    std::optional<EventForm> event;
    std::optional<PartForm> part;
};

void read_time_line(AppState& state);        // from its newest entry, as it is searched now
void refresh_time_line(AppState& state);     // reads it again where it is shown and outdated
const Entry* moment_of(const AppState& state, const Id& id);   // on the page of history, or in the ledger
SetUp setup_then(const Ledger& ledger, const Entry& moment);        // from its entries that are loaded
// A session of this bike was begun: more is in it than what it is offered with.
bool half_written(const AppState& state, const Id& bike);
// Present text of a field of the season's forms.
std::string standing_season_text(const AppState& state, const Field& field);
// The restore plan on the screen: the bike's open plan, else the one that is only viewed. `stands`: now, and
// what a setting has moved since it was read as it is expected.
struct PlanShown {
    Id bike, target;
    const RestorePlan* open = nullptr;
    PlanActions plan;
    SetUp stands, then;
};
// Holds the last one; it is made at most once a revision of the ledger.
class PlanSolver {
public:
    // nullptr: the target is not loaded. Valid until the ledger changes or another plan is asked for.
    const PlanShown* shown(const Ledger& ledger, const Bike& bike, const Id& target);
    int plans_made() const { return plans_made_; }   // for tests

private:
    std::optional<PlanShown> shown_;
    std::uint64_t revision_ = 0;
    int plans_made_ = 0;
};
const PlanShown* plan_shown(const AppState& state);   // nullptr: none
// What a height or the slack is to read at the check of a swap, at the end of the way back, or outside both
// where a setting has moved it since it was read. nullopt: another field, or nothing is predicted.
std::optional<double> expected_of(const AppState& state, const Field& field);
// A slack that a setting moved since it was read goes into the baseline as it is expected; if that is not
// known, none does.
void put_expected_slack(const AppState& state, const Id& bike, BaselineBody& body);
// Something is known of the bike, it is not the newest baseline already, and no swap is open that makes one.
bool may_keep_as_it_stands(const AppState& state, const Id& bike, const SetUp& now);
std::string reason_as_it_stands(const AppState& state, const Id& bike);   // as typed for it, or the usual
// Stores the text typed in a field of the season's forms.
void keep_season_field(AppState& state, const Field& field, const std::string& text);
void keep_outside_swap(AppState& state, const Field& field, const Reading& reading);   // change or plan

}  // namespace restand
