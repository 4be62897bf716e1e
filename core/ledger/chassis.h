#pragma once
// The attitude of a bike on its wheels at a set-up, from the ledger. Measured ride heights are used in place
// of masses.
//
// The bike's geometry was measured with the bike standing without a rider, set as in `described`
// (described.h). From that state the ride heights move the arm and the fork. The set-up gives the axle
// position in its slot, the tyres (by rolling circumference or by marking) and the fork position.
//
//   droop:  sin α = (L₀ sin α₀ + h − h₀)/L     fork travel: (h₀ − h)/ratio
//   L₀, α₀, h₀: without a rider, as described.
//   Without a linkage the height map does not contain the axle position: then L = L₀ in this formula.
//
// Simplification: the rear height is perpendicular to the frame's x axis, as when the bike was measured.

#include "core/ledger/setup.h"
#include "core/machine/gearing.h"
#include "core/machine/squat.h"
#include "core/machine/travel_table.h"

namespace restand {

// Ride heights of one end, by State. If settings changed since the heights were read, these are the predicted
// heights; nullopt if they cannot be predicted.
using EndHeights = std::array<std::optional<Length>, 3>;
EndHeights heights_of(const BikeBody& bike, End end, const SetUp& setup);
// The reason why heights_of() cannot predict the heights after a change of settings; nullopt: it can, or
// nothing changed.
std::optional<Error> heights_lost(const BikeBody& bike, End end, const SetUp& setup);

// A setting of either end is one that no part can have, as a length beyond its adjuster.
bool cannot_be_set(const BikeBody& bike, const SetUp& setup);

// Arm from pivot to axle, and unloaded wheel radii, at a set-up. The bike's own numbers must be known.
Length arm_of(const BikeBody& bike, const SetUp& setup, const SetUp& described);
Radii radii_of(const BikeBody& bike, const SetUp& setup, const SetUp& described);

// The set-up with heights that a later change moved put where it put them; those that cannot be predicted are
// left out. Nothing in it is stale.
SetUp as_it_stands(const BikeBody& bike, const SetUp& setup);

// as_it_stands(), and the chain's slack where a setting moved it since it was read, as it is expected; left
// out where that cannot be computed.
SetUp expected(const BikeBody& bike, const SetUp& setup, const SetUp& described);
// The same of how the bike stands `now` (setup_now()).
SetUp expected_now(const Ledger& ledger, const Bike& bike, const SetUp& now);
SetUp expected_now(const Ledger& ledger, const Bike& bike);

struct Chassis {
    WholeBike bike;                    // arm, wheels, front geometry; whole_bike.h adds the rest
    std::array<std::optional<Angle>, 3> droops; // by State, of the arm; needs no front height
    std::array<std::optional<Pose>, 3> poses;   // by State; nullopt: a height is not known
    Radii radii;
    std::optional<Attitude> in(State state) const;
};
// Error missing. Subject: the key of the bike's number or of the point. Detail: "bike", or the point's end.
Error lacks(Point point, End end);
Result<Chassis> chassis_of(const BikeBody& bike, const SetUp& setup, const SetUp& described);

// The chain of a set-up. Its real length follows from the slack read on the stand at set-up `slack_read`
// (without that argument: slack_read()). Where the bike's stand lifts the swingarm, the shock carries the
// bike while slack is read: the arm then lies as it does standing alone. Errors: missing (subject: the
// point's key, or "front_sprocket", the bike's own number); contradiction (links, pitch and slack cannot all
// be right).
struct ChainNow {
    ChainRun run;
    Length arm;
    Angle top, full;                   // droops: wheel hanging; at the end of the travel, as far as known
    Angle stand;                       // droop on the stand on which slack is read
    SlackAt on_stand, tight;
    bool too_short() const { return tight.excess <= mm(0); }   // no slack is left at the tight spot
};
Result<ChainNow> chain_of(const BikeBody& bike, const SetUp& setup, const SetUp& described,
                          const SetUp& slack_read);
// True if a setting that moves the slack is another one than when the slack was read.
bool slack_moved(const BikeBody& bike, const SetUp& setup);
// The set-up that the slack tells about: `setup` itself, or the one before the settings that moved it.
const SetUp& slack_read(const BikeBody& bike, const SetUp& setup);
Result<ChainNow> chain_of(const BikeBody& bike, const SetUp& setup, const SetUp& described);

// Front sprocket's centre to the axle, with the wheel hanging. Errors: missing, as chain_of().
Result<Length> sprocket_to_axle(const BikeBody& bike, const SetUp& setup, const SetUp& described);

// The drive from the engine to the ground at a set-up. Gears: up to the first that is missing or not below
// the one before. Rear wheel radius: from the rolling circumference; else from the circumference or the
// radius as described, plus the difference that another tyre makes. Errors: missing, as above; subjects for
// the bike's numbers: "primary", "gear_1", "rear_wheel_radius".
Result<Drive> drive_of(const BikeBody& bike, const SetUp& setup, const SetUp& described);

// The effect of 1 mm of axle position, computed by moving the axle +1 mm: with the rider, else without. The
// effect on ride height needs the linkage.
ArmEffect arm_effect(const BikeBody& bike, const SetUp& setup, const SetUp& described);

// The rear end over its travel, computed from its linkage. Errors: missing (linkage, swingarm, a point of the
// unit), and those of travel_table().
Result<std::vector<TravelRow>> travel_of(const BikeBody& bike, const SetUp& setup, const SetUp& described);

}  // namespace restand
