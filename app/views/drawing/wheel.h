#pragma once
// A wheel from the side: tyre, rim, spokes, hub and axle. Only its outer radius is known; a 17-inch rim's
// proportions are drawn into it.

#include "app/views/drawing/pen.h"

namespace restand::drawing {

struct WheelSpots {
    Vec2 tyre;   // on the tread
    Vec2 valve;  // at the rim: pressure
};

// `toward`: direction from the axle in which tyre and valve are named.
WheelSpots draw_wheel(Pen& pen, Vec2 axle, double radius, Vec2 toward, Ink ink);
void ghost_wheel(Pen& pen, Vec2 axle, double radius, Ink ink);
void draw_axle(Pen& pen, Vec2 axle, Ink ink);

}  // namespace restand::drawing
