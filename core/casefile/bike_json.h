#pragma once
// The whole bike in a case file: "bike", what a swap changes on it ("new"), "targets" and "adjusters"; and a
// linkage wherever one stands. Every key is in case.md, with the drawing of axes.
//
// Errors as case_json.h.

#include "core/casefile/case_json.h"
#include "core/machine/at_pose.h"
#include "core/machine/centre_of_mass.h"
#include "core/machine/gearing.h"
#include "core/machine/linkage_fit.h"
#include "core/restore/whole.h"

namespace restand {

// The points as the table's bike has them, and the table.
struct MeasuredLinkage {
    Linkage linkage;
    Length arm;
    LinkageTable table;
};

struct EngineDrive {
    Drive drive;
    double rpm;  // shifted up at
};

struct BikeCase {
    std::string note;
    WholeBike before;             // "bike"
    WholeBike bike;               // the same with "new" over it (JSON merge patch, RFC 7396)
    bool changed = false;         // there is a "new"
    std::vector<Target> targets;  // those without a value get what `before` says
    std::vector<WholeAdjuster> adjusters;
    std::optional<AxleSlot> slot;  // of the axle
    Length wanted_slack = mm(0);   // at the tight spot; 0: not said
    std::optional<EngineDrive> engine;  // of `bike`, where its gearbox is known
    std::optional<Weighed>
        weighed;  // on scales, as `masses.scales` says; of `before` unless "new" was weighed
    std::optional<MeasuredLinkage> measured;  // the same way by `linkage_table`
    std::optional<AskedPose> pose;            // of `bike`
    std::vector<std::size_t> untold;          // targets that have no value yet, measure_aims()
};

// Whether a case is of the whole bike: it has a "bike".
bool is_bike_case(std::string_view text);
// Only a swap asks what targets and adjusters are: `as_typed` leaves that to measure_aims().
enum class Aims { measured, as_typed };
Result<BikeCase> read_bike_case(std::string_view text, Aims aims = Aims::measured);
// Errors as measured_by(), no_solution: the bike as it was finds no place to stand; and of an adjuster that is not in
// its own range.
Outcome measure_aims(BikeCase& bike_case);
// The core names the linkage as a swap case has it; in a bike case it stands under "bike".
Error of_bike(Error error);

}  // namespace restand
