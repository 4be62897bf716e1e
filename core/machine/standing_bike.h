#pragma once
// The bike stands on its wheels: how far are both ends pushed in, and what does each wheel carry?
//
//   arm and rear wheel in moment balance about the pivot; fork F(s) = (N_f − m_front·g)·cos(rake); loads from
//   the centre of mass over the wheelbase; tyres sink by N/k. An end that its spring holds out stands on its stop.
//
// A rest is where it is pushed back from either side. There may be several (falling leverage, a rubber that gives
// way): it stands at the least compressed one, where it stays when it is let down off its stands from topped out.
//
// Needs the masses. Check of it: the potential energy is stationary there (tests/unit/machine_standing_bike.cpp).

#include "core/machine/attitude.h"

namespace restand {

enum class Rider { off, on };

struct StandingBike {
    Pose pose;
    Radii radii;  // loaded
    Attitude attitude;
    Length shock_length, shock_travel;
    Force shock_force, fork_force;
    Force rear_load, front_load;     // at the ground
    Length mass_ahead, mass_height;  // centre of mass: ahead of the rear contact, above the ground
    Length rear_travel;              // rise of the rear axle in frame z from where the unit tops out
    double motion_ratio;             // −dl/dz, z the rise of the rear axle in frame axes
    double motion_ratio_slope;       // its derivative by z, 1/mm
    Rate wheel_rate;                 // rear, by z, of the spring also when topped out; the load's own change left out
    bool rear_topped_out = false, fork_topped_out = false;
    bool rear_bottomed = false, fork_bottomed = false;
};

// `map` must be of the bike's own linkage. Errors: missing (no masses), no_solution (linkage: where it ends;
// the bike falls over: no centre of mass between the wheels; springs that carry their load nowhere in the travel).
Result<StandingBike> standing(const WholeBike& bike, const LinkageMap& map, Rider rider);
Result<StandingBike> standing(const WholeBike& bike, Rider rider);
// Shock travel of every rest, the one it stands at first. Errors as standing().
Result<std::vector<Length>> rests(const WholeBike& bike, Rider rider);

}  // namespace restand
