#pragma once
// One end of the bike: a suspension unit and a height map. Computes its equilibrium under a load, and its
// wheel rate.
//
//   W = F(x)·i,  i = dl/dh (motion ratio),  x = unit.length − l
//   topped out if W <= F(0)·i(0); wheel rate = −dW/dh = k·i² − F·di/dh
//
// W: vertical wheel force on the sprung mass, positive upwards. Front and rear use the same equations.
// Simplifications: the frame does not pitch (the load stays vertical on the map); no friction.
// Source: virtual work; wheel rate as in Milliken & Milliken, ch. 16.

#include "core/machine/height_map.h"
#include "core/machine/unit_force.h"

namespace restand {

struct EndModel {
    SuspensionUnit unit;
    HeightMap map;       // anchored to readings on this bike
};

struct Standing {
    Length length;       // of the unit, at equilibrium
    Length travel;       // of the unit, 0 = topped out
    Length height;       // ride height
    Force load;          // wheel load W
    double leverage;     // dh/dl at this length
    Rate wheel_rate;     // > 0; when topped out, the rate of the spring
    bool topped_out;     // held by the top-out stop
};

struct WheelLoad {
    double load, rate;   // W and the wheel rate, N and N/mm
    MapPoint map;
};

// The wheel load at a given ride height: the unit serves as a load cell. Errors: contradiction (height above
// topped out by more than `slack`), no_solution (off the map, travel exhausted).
Result<Standing> standing_at(const EndModel& end, Length height, Length slack = mm(2.0));
// Equilibrium under a given wheel load. Error: no_solution (travel exhausted, off the map).
Result<Standing> standing_under(const EndModel& end, Force load);

// The same for several loads of one end; what they share is worked out once.
class LoadedEnd {
public:
    explicit LoadedEnd(const EndModel& end);   // refers to `end`
    // `near`: a length at which it may stand, where the search begins.
    Result<Standing> under(Force load, std::optional<Length> near = {}) const;

private:
    const EndModel& end_;
    double low_, high_;             // travel to search: limited by the map, the unit's travel and its gas
    bool map_ends_it_;
    std::optional<WheelLoad> top_, last_;   // at low_ and at high_; nullopt: low_ is above high_
};

}  // namespace restand
