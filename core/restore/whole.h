#pragma once
// After any swap on the bike: which settings of all adjusters restore how the whole bike stands and steers?
// The general form of restore.h. It covers linkage, fork, chain and both wheels at once.
//
//   targets      each is a number the bike had or should have; it must hold or it is weighted
//   adjusters    each has a range, a pitch and a settable step
//   answer       bounded least squares in this order: the chain slack (a slack target must always hold if an
//                adjuster moves the chain, unless its weight is 0), the other must-hold targets, the weighted
//                targets, the smallest change; then the best of the settable steps around the result
//
// If an end stands on its stop, the search is repeated with the end held on the stop and with the end on its
// spring, for each end alone and for both. The results are compared by the misses of the bike as it stands,
// never by which targets count as held.
//
// The search never aims at a slack below 1 mm. The standing bike is differentiated implicitly
// (bike_kernel.h). The derivatives are exact with one exception: the slope of the wheel rate leaves out that
// the unit's own rate changes with travel (gas). Two adjusters with the same effect are allowed: both move a
// little. For a target that is not reached, the answer names the adjusters at an end that prevent it.
//
// Values of targets: mm, degrees, N/mm, %, ratio. Values of adjusters: mm, teeth, links. A change of an
// adjuster counts in the unit in which it is read: 1 mm at the shock's eyes and 1 mm at the axle have the
// same weight.

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "core/machine/standing_bike.h"
#include "core/restore/restore.h"

namespace restand {

enum class TargetKind {
    rear_height,   // axle to the tail mark; without a mark: axle to pivot, perpendicular to frame x
    front_height,  // head point to the foot of the axle, along the fork
    rear_sag,
    front_sag,  // height topped out − height in this state
    rake,
    trail,
    arm_to_ground,  // deg, mm, deg
    wheelbase,
    pivot_height,
    wheel_rate,  // rear, N/mm
    stand_slack,  // of the chain, topped out
    tight_slack,  // of the chain, at its tight spot within the travel
    anti_squat,   // %, rider on
    final_drive,  // ratio
};
std::string_view key(TargetKind kind);
bool is_slack(TargetKind kind);  // chain slack
// Default tolerance in the target's unit: what a reading of this kind can resolve. The tolerance of the final
// drive is smaller, because a ratio of teeth is exact: no other pair with a front sprocket of up to 30 teeth
// comes that near.
double usual_tolerance(TargetKind kind);

// State: topped_out: both ends hang at their stops; static_: bike without rider; rider: with the rider.
struct Target {
    TargetKind what;
    State state = State::rider;  // ignored for slack and final drive
    double value = 0.0;
    bool must_hold = false;
    double weight = 1.0;  // of the squared miss in tolerances, if it need not hold; 0: reported only
    std::optional<double> tolerance{};  // a miss up to this counts as held; in the target's unit
};
double tolerance_of(const Target& t);  // the target's own, else usual_tolerance()

struct WholeAdjuster {
    Adjustable what;
    double now, min, max;   // as read on the bike; for the arm: the axle's position in its slot
    double detent = 0.0;    // settable step, counted from `now`; 0: continuous
    double per_turn = 0.0;  // pitch; 0: no thread
};

struct WholeCase {
    WholeBike bike;  // with the new parts, set as found
    std::vector<Target> targets;
    std::vector<WholeAdjuster> adjusters;  // at most six
};

// The usable range of an adjuster and the reason for each end.
enum class EndWhy { range, no_preload, coils_touch };
std::string_view key(EndWhy why);
struct AdjusterEnds {
    double low, high;
    EndWhy low_why = EndWhy::range, high_why = EndWhy::range;
};

struct TargetAnswer {
    double found;                         // with all adjusters as found
    double setting, detent;               // at the continuous and at the settable answer
    bool held;                            // `detent` is within the tolerance
    std::vector<std::size_t> in_the_way;  // adjusters at an end that would have to go further
};
struct WholeAnswer {
    std::vector<AdjusterEnds> ends;  // by adjuster
    std::vector<double> wanted;      // the best without ends; equals `setting` if that search fails
    std::vector<double> setting;     // the best inside the ranges
    std::vector<double> detent;      // the best of the settable steps
    std::vector<TargetAnswer> targets;
    // Change of a target per unit of an adjuster (mm, tooth or link), at `setting`: [target][adjuster].
    std::vector<std::vector<double>> sensitivity;
    WholeBike bike;  // with `detent` set
    std::optional<StandingBike> alone, with_rider;
    std::optional<Length> chain_short;  // by how much the chain is too short at its tight spot, with `detent`
    std::optional<Length> shock_margin, fork_margin;  // gap between the coils at full travel; < 0: they touch
    // Every must-hold target is held (slack too, if an adjuster moves the chain), the chain is long enough,
    // no coils touch at full travel and no spring is loose.
    bool held = false;
};

// These targets with the values that the bike has now; the first step of a swap. Only `value` changes.
// Errors: as standing(); missing if a target needs masses or a chain that are not given (subject: its key).
Result<std::vector<Target>> measured_by(const WholeBike& bike, std::vector<Target> targets);
// Errors: those of measured_by(); missing (no target, no adjuster, no chain for teeth or links); out_of_range
// (more than six adjusters or 24 targets; an adjuster outside its range; a bad step, tolerance or weight);
// contradiction (an adjuster given twice; a rod that the linkage does not have).
Result<WholeAnswer> restore(const WholeCase& whole);

}  // namespace restand
