#pragma once
// An upside-down fork leg along its own axis, from the axle (u = 0) to the top of its tube (u = length).
//
//   (axle foot)==stanchion==[wiper]======outer tube======|cap     u →
//
// The outer tube is held in the yokes; the foot moves by what the leg is compressed.
// Simplification: both legs are one; diameters and the foot are of usual proportions.

#include "app/views/drawing/coil.h"
#include "app/views/drawing/plan.h"

namespace restand::drawing {

struct ForkSpots {
    Vec2 axle, top;                // top: end of the tube, on the axis
    Vec2 cap, cap_side;            // preload and rebound adjusters
    Vec2 foot, foot_side;          // compression adjusters
    Vec2 spring_low, spring_high;  // its seats inside the leg, on the axis
    double half_width = 27;        // of the outer tube
};

struct LegLook {
    bool from_front = false;          // the axle is not seen end on
    std::optional<double> broken_at;  // middle left out, here along the outer tube
};
// `now`: axle to top of the tube as drawn.
ForkSpots draw_leg(Pen& pen, const Place& place, const UnitSizes& sizes, double now, Ink ink,
                   LegLook look = {});
void draw_hidden_spring(Pen& pen, const Place& place, const UnitSizes& sizes, double now, Ink ink);
void ghost_foot(Pen& pen, const Place& place, const UnitSizes& sizes, double now, Ink ink);  // compressed

}  // namespace restand::drawing
