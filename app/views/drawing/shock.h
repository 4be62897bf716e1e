#pragma once
// A coil-over shock with a piggyback reservoir, drawn along its own axis from the body's eye to the rod's.
//
//   (eye)=[head]==thread=|collar|/\/\/\spring/\/\/\|seat|=[adjusters]=(eye)     u →
//           [reservoir]
//
// The body stands still against the upper eye; rod, seat and lower eye move by what the unit is compressed.
// Simplification: everything but the eye-to-eye length, the travel and the spring's lengths is of usual
// proportions.

#include "app/views/drawing/coil.h"
#include "app/views/drawing/plan.h"

namespace restand::drawing {

struct ShockSpots {  // where its points are measured, in the drawing
    Vec2 body_eye, rod_eye;
    Vec2 collar, seat;  // the spring's two ends, on the axis
    Vec2 spring_side;   // outer edge of the spring at mid length, away from the reservoir
    Vec2 gas;           // filling valve at the reservoir's far end
    Vec2 compression_low, compression_high, rebound_low, rebound_high;
    Vec2 length_adjuster, body;
    double spring_radius = 0;
};

inline constexpr double eye_radius = 13;

// `side`: +1 reservoir at v > 0, −1 at v < 0. `now`: eye to eye as drawn.
ShockSpots draw_shock(Pen& pen, const Place& place, const UnitSizes& sizes, double now, double side, Ink ink);

// Only what moves, compressed to `now`: rod eye, seat and rod in ghost lines.
void ghost_rod(Pen& pen, const Place& place, const UnitSizes& sizes, double now, Ink ink);

Coil shock_coil(const UnitSizes& sizes, double length);

}  // namespace restand::drawing
