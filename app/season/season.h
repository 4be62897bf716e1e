#pragma once
// The season's pages: what was asked for and has come from disk, and what is half typed.

#include <optional>
#include <set>
#include <string>
#include <vector>

#include "app/pad/field.h"
#include "app/season/season_actions.h"
#include "app/task.h"
#include "core/ledger/restore_plan.h"

namespace restand {

struct AppState;

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
    bool more = false, asked = false;      // asked: a page is on its way

    std::optional<Entry> moment;           // opened from the time line
    std::optional<Entry> one, other;       // compared; other nullopt: the bike as it is
    Id taken;                              // remembered for a comparison
    bool same_shown = false;               // of the comparison, also what did not change
    Id target;                             // of the way shown; the open way has its own

    Watched what = Watched::rider_sag;
    End end = End::rear;
    Point point = Point::spring_free_length;
    std::vector<Sample> samples;
    std::vector<PartUse> parts;
    bool watched = false;                  // samples are those of what/end/point

    std::optional<EventForm> event;
    std::optional<PartForm> part;
};

const Entry* moment_of(const AppState& state, const Id& id);   // on the page of history, or in the ledger
SetUp setup_now(const AppState& state, const Id& bike);
SetUp setup_then(const AppState& state, const Entry& moment);       // as far as its entries are loaded
// What a field of the season's forms stands at.
std::string standing_season_text(const AppState& state, const Field& field);
// The restore plan on the screen: the open one of the bike, else the one that is looked at.
struct PlanShown { Id bike, target; const RestorePlan* open = nullptr; PlanActions plan; SetUp now, then; };
std::optional<PlanShown> plan_shown(const AppState& state);
// Keeping what was typed in a field of the season's forms.
void keep_season_field(AppState& state, const Field& field, const std::string& text);
void keep_outside_swap(AppState& state, const Field& field, const Reading& reading);   // change or way

}  // namespace restand
