#pragma once
// Sprockets and the chain run between them. Pitch circles follow from the teeth and the pitch; the runs are
// their outer tangents.
//
//      r = p / (2·sin(π/z));   upper and lower run: tangents to both pitch circles

#include "app/views/drawing/pen.h"
#include "app/views/drawing/plan.h"

namespace restand::drawing {

struct ChainRun {
    Vec2 upper_rear, upper_front, lower_rear, lower_front;                              // tangent points
    Vec2 lower(double t) const { return lower_rear + (lower_front - lower_rear) * t; }  // t = 0 at the rear
    Vec2 upper(double t) const { return upper_rear + (upper_front - upper_rear) * t; }
};

ChainRun chain_run(const ChainSizes& sizes, Vec2 rear, Vec2 front);
void draw_chain_axes(Pen& pen, const ChainSizes& sizes, Vec2 rear, Vec2 front);      // pitch line only
void draw_chain(Pen& pen, const ChainSizes& sizes, Vec2 rear, Vec2 front, Ink ink);  // with width and play
void draw_sprocket(Pen& pen, Vec2 centre, double teeth, double pitch, Ink ink);      // toothed outline

}  // namespace restand::drawing
