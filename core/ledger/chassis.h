#pragma once
// How a bike stands on its wheels at a set-up, by what the ledger knows: measured ride heights in place of masses.
//
// The bike's geometry is taken as measured with the bike standing alone, set as in `described` (the baseline it was
// kept with). From there ride heights move the arm and the fork; the axle's place in its slot, tyres by what
// one turn rolls or by their marking, and the fork's position come with the set-up.
//
//   droop:  sin α = (L₀ sin α₀ + h − h₀)/L     fork travel: (h₀ − h)/ratio     L₀, h₀: alone, as described
//   Without a linkage a moved axle is in no height map: then L = L₀ there.
//
// Simplification: rear height square to the frame's x, as on the bike's day of measuring.

#include "core/ledger/setup.h"
#include "core/machine/gearing.h"
#include "core/machine/squat.h"
#include "core/machine/travel_table.h"

namespace restand {

// Ride heights of one end by State: where settings changed since they were read, where those put them; none where that
// cannot be said.
using EndHeights = std::array<std::optional<Length>, 3>;
EndHeights heights_of(const BikeBody& bike, End end, const SetUp& setup);
// Set to another value since they were read, and it cannot be said where that puts them: why.
std::optional<Error> heights_lost(const BikeBody& bike, End end, const SetUp& setup);

struct Chassis {
    WholeBike bike;                    // arm, wheels, front geometry, chain; no linkage and no units
    std::array<std::optional<Angle>, 3> droops; // by State, of the arm; needs no front height
    std::array<std::optional<Pose>, 3> poses;   // by State; nullopt: that height was never read
    Radii radii;
    std::optional<Attitude> in(State state) const;
};
// Errors: missing; subject the key of the bike's number or of the point, detail the end for a point.
Result<Chassis> chassis_of(const BikeBody& bike, const SetUp& setup, const SetUp& described);

// The chain of a set-up, its real length from the slack that was read, wheel hanging, with `slack_read` (or with
// `described`). Errors: missing (subject the point's key, or "front_sprocket", the bike's own number); contradiction
// (links, pitch and slack cannot all be right).
struct ChainNow {
    ChainRun run;
    Length arm;
    Angle top, full;                   // droops: wheel hanging; at the end of the travel, as far as it is known
    SlackAt hanging, tight;
};
Result<ChainNow> chain_of(const BikeBody& bike, const SetUp& setup, const SetUp& described, const SetUp& slack_read);
Result<ChainNow> chain_of(const BikeBody& bike, const SetUp& setup, const SetUp& described);

// From the engine to the ground at a set-up: its gears up to the first that is missing or not below the one before, its
// sprockets, and the wheel by what one turn rolls; else by what it rolled when described, or its radius then, and what
// another tyre adds. Errors: missing, as above; subject of the bike's numbers "primary",
// "gear_1", "rear_wheel_radius".
Result<Drive> drive_of(const BikeBody& bike, const SetUp& setup, const SetUp& described);

// What a mm of axle does, by moving it one: rider on, else alone; ride height only where the linkage is known.
ArmEffect arm_effect(const BikeBody& bike, const SetUp& setup, const SetUp& described);

// The rear end over its travel by its linkage. Errors: missing (linkage, a point of the unit), as travel_table().
Result<std::vector<TravelRow>> travel_of(const BikeBody& bike, const SetUp& setup, const SetUp& described);

}  // namespace restand
