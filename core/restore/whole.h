#pragma once
// After any swap on the bike: what to set on everything that can be set, so that the whole bike stands and
// steers as before? The general form of restore.h, through linkage, fork, chain and both wheels at once.
//
//   targets      each a number the bike had or should have: must hold, or weighted
//   adjusters    each with its range, pitch and settable step
//   answer       bounded least squares: the chain's slack first (a target of it always must hold, unless its weight is
//                0), then what must hold, then the weighted ones, then the smallest change;
//                then the best of the settable steps around it
//
// Where an end stands on its stop, the search goes with it held there and with it on its spring, each end alone and
// both; the bike as it stands decides, never what counts as held.
//
// A slack of less than 1 mm is not aimed at. Derivatives are exact, but for the unit's own rate, whose change with
// travel (gas) is left out of the slope of the wheel rate: the standing bike is differentiated implicitly (bike_kernel.h). Two adjusters that do
// the same are no trouble: both move a little. Where a target is not reached, the adjusters whose ends are in the
// way are named.
//
// Values of targets: mm, degrees, N/mm, %, ratio; of adjusters: mm, teeth, links. Changes of an adjuster are
// measured as it is read: 1 mm at the shock's eyes and 1 mm at the axle count alike.

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "core/machine/standing_bike.h"
#include "core/restore/restore.h"

namespace restand {

enum class TargetKind {
    rear_height,   // axle to the tail mark; without a mark square to frame x, from the pivot
    front_height,  // head point to the foot of the axle, along the fork
    rear_sag,
    front_sag,  // height topped out − height in this state
    rake,
    trail,
    arm_to_ground,  // deg, mm, deg
    wheelbase,
    pivot_height,
    wheel_rate,  // rear, N/mm
    stand_slack,
    tight_slack,  // of the chain, topped out; at its tight spot within the travel
    anti_squat,   // %, rider on
    final_drive,  // ratio
};
std::string_view key(TargetKind kind);
bool is_slack(TargetKind kind);  // of the chain
// How near counts as held unless a target says otherwise, in its unit: what a reading of it can tell.
// A ratio of teeth is exact: no other pair with a front sprocket of up to 30 comes so near.
double usual_tolerance(TargetKind kind);

// State: topped_out hangs both ends at their stops; static_ the bike alone; rider with the rider.
struct Target {
    TargetKind what;
    State state = State::rider;  // means nothing to slack and final drive
    double value = 0.0;
    bool must_hold = false;
    double weight = 1.0;  // among those that need not hold, of its miss in tolerances; 0 only watches
    std::optional<double> tolerance{};  // how near counts as held, in the target's unit
};
double tolerance_of(const Target& t);  // its own, or the usual one of its kind

struct WholeAdjuster {
    Adjustable what;
    double now, min, max;   // as it is read; of the arm: the axle's position in its slot
    double detent = 0.0;    // settable step from `now`; 0: any
    double per_turn = 0.0;  // 0: no thread
};

struct WholeCase {
    WholeBike bike;  // with the new parts, set as found
    std::vector<Target> targets;
    std::vector<WholeAdjuster> adjusters;  // at most six
};

// How far an adjuster may go, and what ends it there.
enum class EndWhy { range, no_preload, coils_touch };
std::string_view key(EndWhy why);
struct AdjusterEnds {
    double low, high;
    EndWhy low_why = EndWhy::range, high_why = EndWhy::range;
};

struct TargetAnswer {
    double found;                         // with everything as found
    double setting, detent;               // at the answer, continuous and settable
    bool held;                            // at the settable one, within its tolerance
    std::vector<std::size_t> in_the_way;  // adjusters that stand at an end and would have to go on
};
struct WholeAnswer {
    std::vector<AdjusterEnds> ends;  // by adjuster
    std::vector<double> wanted;      // without any end; as `setting` where that leads nowhere
    std::vector<double> setting;     // the best inside the ranges
    std::vector<double> detent;      // the best of settable steps
    std::vector<TargetAnswer> targets;
    // What one unit of an adjuster does to a target (mm, tooth or link), at the answer: [target][adjuster].
    std::vector<std::vector<double>> sensitivity;
    WholeBike bike;  // as it is with the settable answer
    std::optional<StandingBike> alone, with_rider;
    std::optional<Length> chain_short;  // by how much the chain is too short at its tight spot with all this
    std::optional<Length> shock_margin, fork_margin;  // coils apart at full travel; < 0: they touch
    // Every must-hold target, a chain that goes round, no coils that touch and no loose spring.
    bool held = false;
};

// What the bike as it is says to these targets; the first step of a swap. Values only are filled in.
// Errors as standing(); missing where a target needs masses or a chain that are not given (subject its key).
Result<std::vector<Target>> measured_by(const WholeBike& bike, std::vector<Target> targets);
// Errors: those, and out_of_range (more than six adjusters, an adjuster outside its range, fewer than one target).
Result<WholeAnswer> restore(const WholeCase& whole);

}  // namespace restand
