#pragma once
// The swingarm with its axle slot, and the linkage that drives the shock. Arm length and angle are to scale,
// the linkage is schematic: a rocker on the frame, pulled by a rod from the arm's underside, carries the
// shock's lower eye.

#include "app/views/drawing/pen.h"
#include "app/views/drawing/plan.h"

namespace restand::drawing {

struct ArmSpots {
    Vec2 axle;
    Vec2 slot_zero, slot_end;  // where the axle stands at axle position 0, and the slot's far end
};

ArmSpots draw_arm(Pen& pen, const Plan& plan, double height, Ink ink);
void ghost_arm(Pen& pen, const Plan& plan, double height, Ink ink);

// Joints of the shock and its linkage at a ride height.
struct Linkage {
    Vec2 shock_top, shock_foot;  // eyes
    Vec2 rocker, rod_rocker, rod_arm;
    bool plate = true;           // there is a rocker; false: the unit stands on the arm
};
Linkage linkage_at(const Plan& plan, double height);
void draw_linkage(Pen& pen, const Linkage& linkage, Ink ink);  // under the shock

}  // namespace restand::drawing
