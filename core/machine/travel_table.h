#pragma once
// Table of the rear end over its whole travel: linkage, wheel force and rate, chain slack, squat.

#include <vector>

#include "core/machine/squat.h"

namespace restand {

struct TravelRow {
    Length wheel_travel;  // rise of the axle in frame z from topped out
    Angle droop;
    Length unit_length, unit_travel;
    double motion_ratio;        // −dl/dz
    double motion_ratio_slope;  // by z, 1/mm
    Force wheel_force;          // unit force times motion ratio
    Rate wheel_rate;
    std::optional<SlackAt> chain;
    std::optional<Squat> squat;  // rider on, fork and tyres at rest; only from travel_table()
};
// Rows from topped out to the end of the unit's travel: one every `step` of wheel travel, and one at the end.
// Errors: as LinkageMap (detail also gives the wheel travel at which the linkage ends); missing (the unit's
// travel).
Result<std::vector<TravelRow>> travel_table(const WholeBike& bike, Length step = mm(10));
Result<TravelRow> travel_row(const WholeBike& bike, const LinkageMap& map, Angle droop);

// Droop with the unit fully compressed. If its travel is unknown or exceeds the linkage: the linkage's end.
Angle least_droop(const WholeBike& bike, const LinkageMap& map);
Result<Angle> full_droop(const WholeBike& bike);   // the same, without fallback; errors: as travel_table()
// The chain at its tightest droop, from topped out to least_droop().
Result<SlackAt> tight_spot(const WholeBike& bike);
Result<SlackAt> tight_spot(const WholeBike& bike, const LinkageMap& map);

// How to set the chain: slack to set with the wheel hanging, and the axle move for it, so that the slack at
// the tightest droop is `wanted`.
struct ChainSetting {
    SlackAt tight, hanging;  // now, before moving the axle
    Length slack_to_set;     // hanging, after moving the axle
    Length axle;             // positive: rearwards
};
Result<ChainSetting> chain_setting(const WholeBike& bike, Length wanted);

}  // namespace restand
