#pragma once
// The numbers the drawing is made from: known values of the bike, clamped; schematic guesses for the rest.
// Nothing behind this header sees a NaN, an infinity or a length that cannot be drawn.
//
//   rear:   axle(h) = (−L·cos α, −L·sin α),  sin α = sin α0 − (h0 − h)/L
//           sin α0 = (pivot height − wheel radius)/L at static height, carried to topped out by the heights
//           read; α0 = 15° where the pivot height is not known.
//   front:  both ends topped out stand on level ground, a wheelbase apart; the far end sinks with the near
//           one. The axle moves along the steering axis; the height is read along the fork, or vertically
//           where the bike's front leverage is not 1.
//
// Simplification: heights and lengths are those of one plane; chain line and lean of the bike are not drawn.

#include "app/views/bike_drawing.h"
#include "app/views/drawing/vec.h"
#include "core/machine/chain.h"

namespace restand::drawing {

// The value if finite, else the guess; clamped to low..high.
double tame(std::optional<double> value, double guess, double low, double high);

struct UnitSizes {        // a shock, or a fork leg, topped out; mm
    double length = 310;  // eye to eye; fork: axle to top of the tube
    double length_min = 300, length_max = 316;
    double travel = 65;
    double installed = 150, free = 160, block = 80;
    // Tube end above the upper yoke.
    double fork_position = 6, fork_position_min = 0, fork_position_max = 12;
};

struct ChainSizes {
    double teeth_front = 16, teeth_rear = 42;
    double pitch = in_mm(usual_chain_pitch);
    double slack = 32;
    double axle_position = 18;  // axle behind the front of its slot
    double radius_front() const { return pitch / (2 * std::sin(pi / teeth_front)); }  // pitch circle
    double radius_rear() const { return pitch / (2 * std::sin(pi / teeth_rear)); }
};

struct Heights {  // of one end
    double topped_out = 0;
    double drawn = 0;  // full lines
    std::optional<double> ghost;
    double of_static = 0, of_rider = 0;  // as read, else as drawn
};

struct Plan {
    double swingarm = 580, rear_radius = 315, front_radius = 300;
    double rake_rad = 0, offset = 30, wheelbase = 1400;
    double droop_sin = 0;    // sin α0
    bool along_fork = true;  // front heights are read along the fork
    double rear_leverage = 2;
    Heights rear, front;
    UnitSizes shock, fork;
    ChainSizes chain;
    std::optional<restand::Linkage> linkage;   // measured: drawn by its own points
    // Front sprocket, from the swingarm pivot; schematic until measured
    Vec2 output_shaft = {92, 16};

    Vec2 rear_axle(double height) const;
    Vec2 rear_mark() const;  // straight above the topped-out axle
    Vec2 steering() const { return {-std::sin(rake_rad), std::cos(rake_rad)}; }  // up the axis
    Vec2 front_axle(double height) const;
    Vec2 front_mark() const;
    double fork_travel(double height) const;   // of the leg, at that ride height
    double shock_length(double height) const;  // eye to eye
};
Plan plan_of(const PictureInput& input);

// True if everything this scene shows of this end was measured, except frame, seat and linkage.
bool all_measured(const PictureInput& input);

}  // namespace restand::drawing
