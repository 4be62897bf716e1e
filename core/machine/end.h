#pragma once
// One end of the bike: a suspension unit and a height map. Where does it stand under a load, and how stiff
// is it?
//
//   W = F(x)·i,  i = dl/dh (motion ratio),  x = unit.length − l
//   topped out when W <= F(0)·i(0); wheel rate = −dW/dh = k·i² − F·di/dh
//
// W: vertical wheel force on the sprung side, positive up on the bike. Front and rear are the same
// mathematics. Simplifications: frame at rest (no pitch: the load stays vertical on the map), no friction.
// Source: virtual work; wheel rate as in Milliken & Milliken, ch. 16.

#include "core/machine/height_map.h"
#include "core/machine/unit_force.h"

namespace restand {

struct EndModel {
    SuspensionUnit unit;
    HeightMap map;       // anchored to this bike's readings
};

struct Standing {
    Length length;       // of the unit, as it stands
    Length travel;       // of the unit, 0 = topped out
    Length height;       // ride height
    Force load;          // wheel load W
    double leverage;     // dh/dl there
    Rate wheel_rate;     // > 0; of the spring also when topped out
    bool topped_out;     // held by the top-out stop
};

// The unit as load cell: which wheel load makes it stand at this ride height? Error: off the map, height
// above topped out by more than `slack` (contradiction), travel exhausted.
Result<Standing> standing_at(const EndModel& end, Length height, Length slack = mm(2.0));
// Where the end stands under a wheel load. Error no_solution: travel exhausted, off the map.
Result<Standing> standing_under(const EndModel& end, Force load);

}  // namespace restand
