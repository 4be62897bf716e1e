#pragma once
// The rear end over its whole travel, row by row: what a linkage does, and what the chain does with it.

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
    std::optional<Squat> squat;  // rider on, fork and tyres as it then stands; of travel_table() only
};
// From topped out to the end of the unit's travel, every `step` of wheel travel and at the end itself. Errors as
// LinkageMap, in detail the wheel travel it closes to; missing: the unit's travel.
Result<std::vector<TravelRow>> travel_table(const WholeBike& bike, Length step = mm(10));
Result<TravelRow> travel_row(const WholeBike& bike, const LinkageMap& map, Angle droop);

// With the unit all the way in; where its travel is not known, or the linkage ends before it: the linkage's end.
Angle least_droop(const WholeBike& bike, const LinkageMap& map);
Result<Angle> full_droop(const WholeBike& bike);   // with the unit pushed all the way in; errors as travel_table()
// The chain at its tight spot within that travel.
Result<SlackAt> tight_spot(const WholeBike& bike);

// The chain there, and the slack to set with the wheel hanging so that `wanted` is left
// there; the axle is moved for it by `axle`.
struct ChainSetting {
    SlackAt tight, hanging;  // as it is
    Length slack_to_set;     // hanging, after moving the axle
    Length axle;             // further back: positive
};
Result<ChainSetting> chain_setting(const WholeBike& bike, Length wanted);

}  // namespace restand
