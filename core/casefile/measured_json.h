#pragma once
// Inside the bike's case file only: what was measured to find its numbers — on scales, with a strut in
// place of the unit. Each reads as absent after an error.

#include "core/casefile/case_fields.h"
#include "core/machine/at_pose.h"
#include "core/machine/centre_of_mass.h"
#include "core/machine/linkage_fit.h"

namespace restand::case_file {

// `bike` with everything but its masses; `unsprung` beside the scales in them.
std::optional<Weighed> read_scales(const Json* node, const WholeBike& bike, const Unsprung& unsprung,
                                   FirstError& error);
// "pose" of the case: the bike as somebody wants to see it, within its travel.
std::optional<AskedPose> read_pose(const Json* node, const WholeBike& bike, FirstError& error);
std::optional<LinkageTable> read_linkage_table(const Json* node, FirstError& error);

}  // namespace restand::case_file
