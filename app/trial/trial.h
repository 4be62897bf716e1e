#pragma once
// Attitude and chain: a set-up that is tried but not set on the bike.

#include <optional>
#include <vector>

#include "app/trial/trial_actions.h"
#include "core/ledger/setup.h"

namespace restand {

// Tried values, views and wishes on attitude and chain. They belong to one bike, are not set on it and are
// not on disk.
struct Trial {
    Id tried_on{};
    std::vector<SetValue> tried{};
    TravelPlot over_travel = TravelPlot::none;
    std::optional<double> wanted_ratio{};   // nullopt: as it is
    double wanted_slack = 0;               // at the tight spot, mm; 0: keep the present slack
    bool gears = false;                    // chain screen: speed in each gear instead of the chain
    State looked_at = State::rider;
    double at_kmh = 100;                   // road speed at which the engine speed in each gear is shown
};

SetUp setup_tried(const AppState& state, const Id& bike);           // current, with the tried values over it
// The set-up that a bike's own geometry belongs to: the newest baseline with the static heights of both ends,
// else the newest baseline, else the current set-up.
SetUp setup_described(const AppState& state, const Id& bike);
std::size_t tried_on(const AppState& state, const Id& bike);   // how many settings are tried on it
void keep_tried(AppState& state, End end, Reading reading);
// On attitude and chain the setting tried last is tried no more. False: none is.
bool undo_trial(AppState& state);

}  // namespace restand
