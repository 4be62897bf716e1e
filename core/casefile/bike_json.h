#pragma once
// The whole bike in a case file: "bike", the changes made by a swap ("new"), "targets" and "adjusters".
// case.md lists every key and has the drawing of the axes.
//
// Errors: as in case_json.h.

#include "core/casefile/case_json.h"
#include "core/machine/at_pose.h"
#include "core/machine/centre_of_mass.h"
#include "core/machine/gearing.h"
#include "core/machine/linkage_fit.h"
#include "core/restore/whole.h"

namespace restand {

// The linkage of the bike on which the table was measured, and the table.
struct MeasuredLinkage {
    Linkage linkage;
    Length arm;
    LinkageTable table;
};

struct EngineDrive {
    Drive drive;
    double rpm;  // engine speed at which the rider shifts up
};

struct BikeCase {
    std::string note;
    bool of_ledger = false;       // format 2 (ledger_case.h)
    WholeBike before;             // "bike"
    WholeBike bike;               // `before` with "new" applied (JSON merge patch, RFC 7396)
    bool changed = false;         // the case has "new"
    std::vector<Target> targets;  // a target without a value gets the value that `before` has
    std::vector<WholeAdjuster> adjusters;
    std::optional<AxleSlot> slot;  // of the rear axle
    Length wanted_slack = mm(0);   // at the tight spot; 0: not given
    std::optional<EngineDrive> engine;  // of `bike`; nullopt: gearbox not given
    std::optional<Weighed>
        weighed;  // from `masses.scales`; of `before`, unless "new" has its own scales
    std::optional<MeasuredLinkage> measured;  // from `linkage_table`; of `before`, unless "new" has its own
    std::optional<AskedPose> pose;            // of `bike`
    std::vector<std::size_t> untold;          // targets that have no value yet, see measure_aims()
    std::optional<Error> no_chain;            // of format 2: why `before` has no chain
};

// True if the case describes the whole bike: it has the key "bike" or is of format 2.
bool is_bike_case(std::string_view text);
// Only a swap needs the values of targets and adjusters: `as_typed` leaves them to measure_aims().
enum class Aims { measured, as_typed };
Result<BikeCase> read_bike_case(std::string_view text, Aims aims = Aims::measured);
// Fills in the values that the case leaves to `before`. Errors: as measured_by(); no_solution: the bike
// before the swap finds no equilibrium; and the error of an adjuster outside its own range.
Outcome measure_aims(BikeCase& bike_case);
// Changes the error's subject to a place in this case: the core names the linkage by its path in a swap case,
// and other parts by the keys of format 1.
Error of_bike(Error error, const BikeCase& bike_case);

}  // namespace restand
