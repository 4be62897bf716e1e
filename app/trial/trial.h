#pragma once
// Attitude and chain: a set-up that is only looked at.

#include <optional>
#include <vector>

#include "app/trial/trial_actions.h"
#include "core/ledger/setup.h"

namespace restand {

struct AppState;

// What is tried, looked at and wished for on attitude and chain: of one bike, not set on it, not on disk.
struct Trial {
    Id tried_on{};
    std::vector<SetValue> tried{};
    TravelPlot over_travel = TravelPlot::none;
    std::optional<double> wanted_ratio{};   // nullopt: as it is
    double wanted_slack = 0;               // at the tight spot, mm; 0: as much as there is
    bool gears = false;                    // on the chain screen: speed in each gear in place of the chain
    State looked_at = State::rider;
    double at_kmh = 100;                   // of which the engine speed in each gear is shown
};

SetUp setup_tried(const AppState& state, const Id& bike);           // as it is, with what is only tried over it
// The set-up a bike's own geometry belongs to: its newest baseline, else as it is.
SetUp setup_described(const AppState& state, const Id& bike);
void keep_tried(AppState& state, End end, Reading reading);

}  // namespace restand
