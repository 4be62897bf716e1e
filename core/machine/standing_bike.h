#pragma once
// Static equilibrium of the bike on its wheels: compression of both ends and load on each wheel.
//
//   rear: moments on arm and rear wheel about the pivot are in balance
//   fork: F(s) = (N_f − m_front·g)·cos(rake)
//   wheel loads from the centre of mass and the wheelbase; tyres deflect by N/k
//   an end is on its top-out stop if its spring pushes harder than the load
//
// A rest is a stable equilibrium: a small displacement is pushed back from either side. There can be several
// (falling leverage, a softening rubber). The result is the least compressed one: a bike that is lowered off
// its stands from topped out stays there.
//
// Needs the masses, or what the ends carry. With masses the test checks that the potential energy is
// stationary at the result (tests/unit/machine_standing_bike.cpp). Without them the ends are independent:
//   rear: unit force · dl/dh = carried load, h along frame z     fork: unit force = carried load

#include "core/machine/attitude.h"

namespace restand {

enum class Rider { off, on };
// True if masses, or the loads of this state, are known.
bool has_loads(const WholeBike& bike, Rider rider);

struct WheelLoads {
    Force rear, front;               // at the ground
    Length mass_ahead, mass_height;  // centre of mass: ahead of the rear contact, above the ground
};

struct StandingBike {
    Pose pose;
    Radii radii;  // loaded
    Attitude attitude;
    Length shock_length, shock_travel;
    Force shock_force, fork_force;
    std::optional<WheelLoads> loads;  // nullopt: no masses
    Length rear_travel;               // rise of the rear axle in frame z, from topped out
    double motion_ratio;              // −dl/dz; z: rise of the rear axle in frame axes
    double motion_ratio_slope;        // its derivative by z, 1/mm
    Rate wheel_rate;                  // rear, by z; topped out: of the spring; load taken as constant
    bool rear_topped_out = false, fork_topped_out = false;
    bool rear_bottomed = false, fork_bottomed = false;
};

// `map` must belong to the bike's own linkage. Errors: missing (neither masses nor loads); no_solution (a
// limit of the linkage; centre of mass not between the wheels; springs that carry their load nowhere).
Result<StandingBike> standing(const WholeBike& bike, const LinkageMap& map, Rider rider);
Result<StandingBike> standing(const WholeBike& bike, Rider rider);
// Shock travel at every rest, least compressed first (the result of standing()). Errors: as standing().
Result<std::vector<Length>> rests(const WholeBike& bike, Rider rider);

}  // namespace restand
