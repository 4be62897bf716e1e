#pragma once
// Internal to core/casefile, for bike cases: measurements that give the bike's data, made on scales or with a
// strut in place of the unit; and the pose. After an error every part counts as absent.

#include "core/casefile/case_fields.h"
#include "core/machine/at_pose.h"
#include "core/machine/centre_of_mass.h"
#include "core/machine/linkage_fit.h"

namespace restand::case_file {

// `bike`: complete except for its masses. `unsprung`: from "masses", beside "scales".
std::optional<Weighed> read_scales(const Json* node, const WholeBike& bike, const Unsprung& unsprung,
                                   FirstError& error);
// "pose" of the case: a position of the bike to be shown, within its travel.
std::optional<AskedPose> read_pose(const Json* node, const WholeBike& bike, FirstError& error);
std::optional<LinkageTable> read_linkage_table(const Json* node, FirstError& error);

}  // namespace restand::case_file
