#pragma once
// A bike case's results as JSON and CSV. Every key is in case.md. Numbers are printed so that reading them
// back gives the same double; an unknown number is null.

#include <span>

#include "core/casefile/bike_json.h"
#include "core/machine/squat.h"
#include "core/machine/stop_force.h"
#include "core/machine/travel_table.h"

namespace restand {

struct StanceResult {
    std::optional<StandingBike> alone, with_rider;
    StopForces alone_stops{}, rider_stops{};
    // Shock travel of each equilibrium; it stands at the first
    std::vector<Length> alone_rests{}, rider_rests{};
    std::optional<AtPose> at_pose;  // only if the case asks for a pose
    std::optional<Squat> squat;  // with the rider
    std::optional<Weighed> weighed;  // only if the case has scale readings
};
// Error: of the bike without rider, if it has no equilibrium.
Result<StanceResult> stance(const WholeBike& bike);
// How far each point moved from the typed position to the best fit: keys of the case file; mm.
using Moves = std::vector<std::pair<std::string, std::vector<double>>>;
Moves moves_of(const MeasuredLinkage& typed, const LinkageCheck::Best& best);

std::string stance_json(const StanceResult& stance);
// A sound case whose bike has no answer: `of` is "stance", "linkage", "chain" or, of a swap, "result".
std::string no_answer_json(std::string_view of, const Error& error);
// With the check of the table it was measured by, if there is one, or the reason why it cannot be checked.
struct TableCheck {
    MeasuredLinkage of;
    LinkageCheck check;
};
std::string travel_json(std::span<const TravelRow> rows,
                        const std::optional<Result<TableCheck>>& table = {});
std::string travel_csv(std::span<const TravelRow> rows);
struct ChainResult {
    ChainRun run;
    ChainSetting setting;
    bool wanted = false;         // a slack at the tight spot was asked for
    std::optional<Length> axle;  // position for the wanted slack, where the slot is known
    bool fits = true;            // inside the slot
    std::vector<TravelRow> rows;
    double rpm = 0;              // the engine's, of the speeds
    std::vector<GearSpeed> gears;  // first to top; empty: no gearbox in the case
};
Result<ChainResult> chain_result(const BikeCase& bike_case);
std::string chain_json(const ChainResult& chain);
std::string chain_csv(std::span<const TravelRow> rows);
std::string whole_json(const BikeCase& bike_case, const WholeAnswer& answer);

}  // namespace restand
